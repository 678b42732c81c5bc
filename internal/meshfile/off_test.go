package meshfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

const offSquare = "0 0 0\n1 0 0\n1 1 0\n0 1 0\n"

func TestOFFInAllItsForms(t *testing.T) {
	a, b, c, d := mesh.Point{0, 0, 0}, mesh.Point{1, 0, 0}, mesh.Point{1, 1, 0}, mesh.Point{0, 1, 0}
	two := []mesh.Point{a, b, c, a, c, d}
	for _, k := range []struct {
		name, data string
		lines      []uint32
		notes      []string
	}{
		{"a quadrilateral", "OFF\n4 1 4\n" + offSquare + "4 0 1 2 3\n", []uint32{7, 7}, nil},
		{"triangles", "OFF\n4 2 0\n" + offSquare + "3 0 1 2\n3 0 2 3\n", []uint32{7, 8}, nil},
		{"no number of edges", "OFF\n4 1\n" + offSquare + "4 0 1 2 3\n", []uint32{7, 7}, nil},
		{"counts in the first line", "OFF 4 1 0\n" + offSquare + "4 0 1 2 3\n", []uint32{6, 6}, nil},
		{"no word", "4 1 0\n" + offSquare + "4 0 1 2 3\n", []uint32{6, 6}, nil},
		{"lower case", "off\n4 1 0\n" + offSquare + "4 0 1 2 3\n", []uint32{7, 7}, nil},
		{"comments", "# a\nOFF # b\n# c\n4 1 0 # d\n\n" + offSquare + "# e\n4 0 1 2 3 # f\n# g\n", []uint32{11, 11}, nil},
		{"normals", "NOFF\n4 1 0\n" + strings.ReplaceAll(offSquare, "\n", " 0 0 1\n") + "4 0 1 2 3\n", []uint32{7, 7}, nil},
		{"colours", "COFF\n4 1 0\n" + strings.ReplaceAll(offSquare, "\n", " 255 0 0 255\n") + "4 0 1 2 3 255 0 0\n", []uint32{7, 7}, nil},
		{"colours unannounced", "OFF\n4 1 0\n" + strings.ReplaceAll(offSquare, "\n", " 255 0 0\n") + "4 0 1 2 3 0.5 0.5 0.5 1\n", []uint32{7, 7}, nil},
		{"edges among the faces", "OFF\n4 3 0\n" + offSquare + "2 0 1\n4 0 1 2 3\n1 0\n", []uint32{8, 8}, nil},
		{"CR", strings.ReplaceAll("OFF\n4 1 0\n"+offSquare+"4 0 1 2 3\n", "\n", "\r"), []uint32{7, 7}, nil},
		{"no last line end", "OFF\n4 1 0\n" + offSquare + "4 0 1 2 3", []uint32{7, 7}, []string{"the last line has no end, the file may be cut short"}},
		{"a point in no face", "OFF\n5 1 0\n" + offSquare + "9 9 9\n4 0 1 2 3\n", []uint32{8, 8}, []string{"1 point of 5 in no face"}},
	} {
		t.Run(k.name, func(t *testing.T) {
			p := readOne(t, "a.off", k.data)
			assert.Equal(t, "off", p.Kind)
			assert.Equal(t, two, p.Triangles.Corners)
			assert.Equal(t, k.lines, p.Triangles.Source.Lines)
			assert.Equal(t, k.notes, p.Notes)
		})
	}
}

func TestOFFThatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, data, want string }{
		{"nothing", "OFF\n", "line 2: expected the numbers of points and faces, found nothing"},
		{"words", "OFF\nfour one\n", `line 2: expected the numbers of points and faces, found "four"`},
		{"one count", "OFF\n4\n", "line 2: expected the numbers of points and faces, found nothing"},
		{"too many", "OFF\n4000000 1 0\n" + offSquare, "line 2: the header claims 4000000 points and 1 face, more than a file of 40 bytes can hold"},
		{"binary", "OFF BINARY\n\x00\x00", "line 1: a binary OFF file, which is not read; export it as text"},
		{"any dimensions", "nOFF 5\n4 1 0\n", `line 1: points of four or more coordinates, "nOFF"`},
		{"binary over lines", "OFF\nBINARY\n", "line 2: expected the numbers of points and faces"},
		{"four dimensions", "4OFF\n4 1 0\n", `line 1: points of four or more coordinates, "4OFF"`},
		{"two coordinates", "OFF\n4 1 0\n0 0\n1 0 0\n1 1 0\n0 1 0\n4 0 1 2 3\n", "line 3: point 1 has 2 of 3 coordinates"},
		{"cut in a point", "OFF\n3 1 0\n0 0 0\n1 0 0\n1                     ", "line 5: the file ends too early: point 3 has 1 of 3 coordinates"},
		{"no number", "OFF\n3 1 0\n0 0 0\n1 x 0\n1 1 0\n3 0 1 2\n", `line 4: expected a number, found "x"`},
		{"NaN", "OFF\n3 1 0\n0 0 0\n1 nan 0\n1 1 0\n3 0 1 2\n", `line 4: the coordinate "nan" is not a number`},
		{"a point too many", "OFF\n4 1 0\n" + offSquare + "3 0 1 4\n", `line 7: the face names point "4" of 4, the first is 0`},
		{"a negative point", "OFF\n4 1 0\n" + offSquare + "3 0 1 -1\n", `line 7: the face names point "-1" of 4, the first is 0`},
		{"three of four corners", "OFF\n4 1 0\n" + offSquare + "4 0 1 2\n", "line 7: the face has 3 of 4 corners"},
		{"too few faces", "OFF\n4 2 0\n" + offSquare + "3 0 1 2\n       ", "line 8: the file ends too early: fewer faces than the header claims"},
		{"more faces", "OFF\n4 1 0\n" + offSquare + "3 0 1 2\n3 0 2 3\n", `line 8: "3" behind the last of 1 face`},
		{"no faces", "OFF\n4 0 0\n" + offSquare, "line 7: the model has no faces"},
		{"a face of words", "OFF\n4 1 0\n" + offSquare + "three 0 1 2\n", `line 7: "three" is no number of corners`},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := failure(t, "a.off", c.data)
			assert.Contains(t, e.Error()+"\n", c.want)
			assert.NotEmpty(t, e.Cure)
		})
	}
}

// TestOFFByWords holds that lines mean nothing but where a face ends.
func TestOFFByWords(t *testing.T) {
	a, b, c, d := mesh.Point{0, 0, 0}, mesh.Point{1, 0, 0}, mesh.Point{1, 1, 0}, mesh.Point{0, 1, 0}
	two := []mesh.Point{a, b, c, a, c, d}
	for _, k := range []struct {
		name, data string
		lines      []uint32
	}{
		{"counts over lines", "OFF\n4\n1 # faces\n# edges\n0\n" + offSquare + "4 0 1 2 3\n", []uint32{10, 10}},
		{"counts and points in a line", "OFF 4 1 0 0 0 0 1 0 0 1 1 0\n0 1 0\n4 0 1 2 3\n", []uint32{3, 3}},
		{"a number a line", "OFF\n4\n1\n0\n" + strings.ReplaceAll(offSquare, " ", "\n") + "4\n0\n1\n2\n3\n", []uint32{17, 17}},
		{"all points in a line", "OFF\n4 1 0\n" + strings.ReplaceAll(offSquare, "\n", "  ") + "\n4 0 1 2 3\n", []uint32{4, 4}},
		{"two points in a line", "OFF\n4 1 0\n0 0 0 1 0 0\n1 1 0 0 1 0\n4 0 1 2 3\n", []uint32{5, 5}},
		{"points across lines", "OFF\n4 1 0\n0 0 # x and y\n0 1\n0 0 1\n1 0 0 1 0 4 0 1\n2 3 255 0 0\n", []uint32{6, 6}},
		{"everything in a line", "OFF 4 1 0 0 0 0 1 0 0 1 1 0 0 1 0 4 0 1 2 3\n", []uint32{1, 1}},
		{"normals", "NOFF 4 1 0\n0 0 0 0 0 1 1 0 0 0 0 1\n1 1 0 0 0 1 0 1 0\n0 0 1\n4 0 1 2 3\n", []uint32{5, 5}},
		{"colours", "COFF 4 1 0\n0 0 0 1 1 1 1 1 0 0 1 1 1 1\n1 1 0 1 1 1 1 0 1 0 1 1\n1 1\n4 0 1 2 3\n", []uint32{5, 5}},
		{"texture", "STOFF 4 1 0\n0 0 0 9 9 1 0 0 9 9\n1 1 0 9 9 0 1 0 9\n9\n4 0 1 2 3\n", []uint32{5, 5}},
	} {
		t.Run(k.name, func(t *testing.T) {
			for _, data := range []string{k.data, strings.ReplaceAll(k.data, "\n", "\r\n"), strings.ReplaceAll(k.data, " ", "\t")} {
				p := readOne(t, "a.off", data)
				assert.Equal(t, two, p.Triangles.Corners)
				assert.Equal(t, k.lines, p.Triangles.Source.Lines)
				assert.Empty(t, p.Notes)
			}
		})
	}
}

// TestOFFInTwoWays holds that a file which two readers may read as two models is refused.
func TestOFFInTwoWays(t *testing.T) {
	points := "0 0 0 9 9 9\n1 0 0 9 9 9\n1 1 0 9 9 9\n0 1 0 9 9 9\n"
	assert.Equal(t, 2, readOne(t, "a.off", "OFF\n4 1 0\n"+points+"4 0 1 2 3\n").Triangles.Count(), "colours that are not announced")
	// By lines the third point is (10, 0, 1); by words it begins a face of ten corners, and the
	// points before it are four.
	e := failure(t, "a.off", "OFF\n4 2 0\n0 0 0 1 0 0\n1 1 0 0 1 0\n10 0 1 2\n0 1 2\n3 0 1 2\n3 0 2 3\n")
	assert.Contains(t, e.Error(), "the file can be read in two ways: with a line for each point it has 2 triangles, with 3 numbers for each it has 9; export")
	e = failure(t, "a.off", "OFF\n4 2 0\n0 0 0 1 0 0\n1 1 0 0 1 0\n3 0 1 2 3 0 2 3\n")
	assert.NotEmpty(t, e.Error(), "the second face of a line would be the colour of the first")
}
