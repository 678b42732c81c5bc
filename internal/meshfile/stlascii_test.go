package meshfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

const facet = `facet normal 0 0 -1
  outer loop
    vertex 0 0 0
    vertex 0 1 0
    vertex 1 0 0
  endloop
endfacet
`

var corners = []mesh.Point{{0, 0, 0}, {0, 1, 0}, {1, 0, 0}}

func TestASCIISTLInAllItsForms(t *testing.T) {
	crlf := strings.ReplaceAll("solid a\n"+facet+facet+"endsolid a\n", "\n", "\r\n")
	for _, c := range []struct {
		name, data string
		lines      []uint32
		notes      []string
	}{
		{"plain", "solid a\n" + facet + facet + "endsolid a\n", []uint32{2, 9}, nil},
		{"no name", "solid\n" + facet + "endsolid\n", []uint32{2}, nil},
		{"no last line end", "solid\n" + facet + "endsolid", []uint32{2}, nil},
		{"names of several words", "solid a b  c\n" + facet + "endsolid a b  c\n", []uint32{2}, nil},
		{"a name with letters beyond ASCII", "solid Tür für Öse 箱\n" + facet + "endsolid Tür für Öse 箱\n", []uint32{2}, nil},
		{"a name in Latin-1", "solid T\xfcr\n" + facet + "endsolid T\xfcr\n", []uint32{2}, nil},
		{"a name of keywords", "solid facet normal vertex\n" + facet + "endsolid facet\n", []uint32{2}, nil},
		{"CR LF", crlf, []uint32{2, 9}, nil},
		{"CR", strings.ReplaceAll(crlf, "\n", ""), []uint32{2, 9}, nil},
		{"upper case", strings.ToUpper("solid a\n" + facet + "endsolid a\n"), []uint32{2}, nil},
		{"tabs and blank lines", "\n\n solid a\n\n" + strings.ReplaceAll(facet, "  ", "\t") + "\n \t\n" + facet + "\nendsolid\n\n", []uint32{5, 14}, nil},
		{"byte order mark", "\xef\xbb\xbfsolid a\n" + facet + "endsolid a\n", []uint32{2}, nil},
		{"several solids", "solid a\n" + facet + "endsolid a\nsolid b\n" + facet + "endsolid b\n", []uint32{2, 11}, nil},
		{"an empty solid between", "solid a\n" + facet + "endsolid a\nsolid\nendsolid\nsolid b\n" + facet + "endsolid b\n", []uint32{2, 13}, nil},
		{"one line", strings.ReplaceAll("solid a "+facet+facet+"endsolid a", "\n", " "), []uint32{1, 1}, nil},
		{"a word a line", strings.Join(strings.Fields("solid "+facet+"endsolid"), "\n"), []uint32{2}, nil},
		{"endsolid is missing", "solid a\n" + facet, []uint32{2},
			[]string{"the last endsolid is missing, the file may be cut short"}},
		{"endsolid is missing between", "solid a\n" + facet + "solid b\n" + facet + "endsolid b\n", []uint32{2, 10},
			[]string{"endsolid is missing before line 9"}},
		{"no normal", "solid\n" + strings.Replace(facet, " normal 0 0 -1", "", 1) + facet + "endsolid\n", []uint32{2, 9},
			[]string{"1 facet without a whole normal, the first in line 2; it was computed from the corners"}},
		{"the word normal alone", "solid\n" + facet + strings.Replace(facet, " 0 0 -1", "", 1) + "endsolid\n", []uint32{2, 9},
			[]string{"1 facet without a whole normal, the first in line 9; it was computed from the corners"}},
		{"half a normal", "solid\n" + strings.Replace(facet+facet, " 0 -1", "", 2) + "endsolid\n", []uint32{2, 9},
			[]string{"2 facets without a whole normal, the first in line 2; it was computed from the corners"}},
		{"a normal that is none", "solid\n" + strings.Replace(facet, "0 0 -1", "nan -nan inf", 1) + "endsolid\n", []uint32{2}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := readOne(t, "a.stl", c.data)
			assert.Equal(t, "stl-ascii", p.Kind)
			assert.Equal(t, c.lines, p.Triangles.Source.Lines)
			assert.Equal(t, c.notes, p.Notes)
			assert.Zero(t, p.Triangles.Source.Stride)
			for i := range c.lines {
				assert.Equal(t, corners, p.Triangles.Corners[3*i:3*i+3])
			}
		})
	}
}

func TestASCIISTLNumbers(t *testing.T) {
	for _, c := range []struct {
		word string
		want float32
	}{
		{"1", 1}, {"+1", 1}, {"-1.5", -1.5}, {".5", .5}, {"5.", 5}, {"1e3", 1000}, {"1E+03", 1000}, {"-2.5e-1", -.25},
		{"1.000000e+000", 1}, {"0.1", .1}, {"16777217", 16777216}, {"3.4028234663852886e38", 3.4028235e38}, {"1e-60", 0},
	} {
		p := readOne(t, "a.stl", "solid\n"+strings.Replace(facet, "vertex 0 1 0", "vertex 0 "+c.word+" 0", 1)+"endsolid\n")
		assert.Equal(t, c.want, p.Triangles.Corners[1][1], c.word)
	}
}

func TestASCIISTLThatCannotBe(t *testing.T) {
	with := func(from, to string) string {
		return "solid a\n" + strings.Replace(facet, from, to, 1) + "endsolid a\n"
	}
	for _, c := range []struct{ name, data, want string }{
		{"no triangles", "solid a\nendsolid a\n", "line 3: the model has no triangles"},
		{"only a name", "solid a", "line 1: the model has no triangles"},
		{"other text", "hello there\n", `line 1: the file begins with "hello"; a text STL begins with "solid", and as a binary STL it is not whole`},
		{"a word too few", with("outer loop", "outer"), `line 4: expected loop, found "vertex"`},
		{"a corner too few", with("vertex 1 0 0", ""), `line 7: expected vertex, found "endloop"`},
		{"a corner too many", with("vertex 1 0 0", "vertex 1 0 0\nvertex 1 1 0"), "line 7: a facet of more than three corners"},
		{"a number too few", with("vertex 0 1 0", "vertex 0 1"), `line 6: expected a number, found "vertex"`},
		{"a number too many", with("vertex 0 1 0", "vertex 0 1 0 0"), `line 5: expected vertex, found "0"`},
		{"no number", with("0 1 0", "0 1x 0"), `line 5: expected a number, found "1x"`},
		{"hexadecimal", with("0 1 0", "0 0x1p4 0"), `line 5: expected a number, found "0x1p4"`},
		{"a decimal comma", with("0 1 0", "0 1,5 0"), `line 5: "1,5" has a decimal comma`},
		{"NaN", with("0 1 0", "0 nan 0"), `line 5: the coordinate "nan" is not a number`},
		{"infinite", with("0 1 0", "0 -Infinity 0"), `line 5: the coordinate "-Infinity" is infinite, or too large to be a length`},
		{"too large", with("0 1 0", "0 4e38 0"), `line 5: the coordinate "4e38" is too large to be a length`},
		{"a facet outside", "solid a\n" + facet + "endsolid a\n" + facet, "line 10: a facet outside solid and endsolid"},
		{"a facet outside, same line", "solid a\n" + facet + "endsolid a " + facet, "line 9: a facet outside solid and endsolid"},
		{"a triangle in a name", "solid a " + strings.ReplaceAll(facet+facet, "\n", " ")[1:], "line 1: a triangle in the name of a solid"},
		{"a misspelt solid", "solid a\n" + facet + "endsolid a\nsollid b\n" + facet, `line 10: expected facet, solid or endsolid, found "sollid"`},
		{"a zero byte", with("0 1 0", "0 1\x00 0"), `line 5: expected a number, found "1\x00"`},
		{"cut in a triangle", "solid a\n" + facet + facet[:40], "line 11: the file ends in triangle 2, where vertex was expected"},
		{"cut in a corner", "solid a\n" + facet + "facet normal 0 0 1 outer loop vertex 1", "line 9: the file ends where a number was expected"},
		{"a very long word", with("0 1 0", "0 "+strings.Repeat("1", 5000)+" 0"), "line 5: a word of more than 4096 characters: this is no text model"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := failure(t, "a.stl", c.data)
			cure := "; " + e.Cure
			assert.Equal(t, c.want+cure, e.Error())
			assert.NotEmpty(t, e.Cure)
		})
	}
}

// TestMessagesAreFitForATerminal holds that a file cannot write into the log with them.
func TestMessagesAreFitForATerminal(t *testing.T) {
	e := failure(t, "a.stl", "solid\n"+facet+"facet normal 0 0 1\nouter \x1b[31mloop"+strings.Repeat("é", 500)+"\xff\n")
	assert.Equal(t, `line 10: expected loop, found "\x1b[31mloopééééééééééééééé…"; export or download the file again`, e.Error())
}
