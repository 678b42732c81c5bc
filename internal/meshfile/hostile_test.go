package meshfile

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// textForms are the writers of text, with the coordinate 7.25 once in the file.
func textForms() map[string]func(word string) []byte {
	odd := append([]mesh.Point{}, tetra...)
	for i, p := range odd {
		if p == (mesh.Point{0, 0, 1}) {
			odd[i][2] = 7.25
		}
	}
	put := func(text string) func(string) []byte {
		return func(word string) []byte { return []byte(strings.ReplaceAll(text, "7.25", word)) }
	}
	model := model3MF(object3MF(1, "", odd), item1)
	return map[string]func(string) []byte{
		"a.stl": put(string(writeASCIISTL(odd))),
		"a.obj": put(string(writeOBJ(odd))),
		"a.ply": put(string(writePLY(odd))),
		"a.off": put(string(writeOFF(odd))),
		"a.amf": put(amfText(odd)),
		"a.3mf": func(word string) []byte { return pack3MF(strings.ReplaceAll(model, "7.25", word)) },
	}
}

// TestCoordinatesThatAreNone holds that what is no length is an error in every format, and
// what is one, however odd, is that length.
func TestCoordinatesThatAreNone(t *testing.T) {
	seen := 0
	for name, write := range textForms() {
		for _, word := range []string{
			"nan", "NaN", "-nan", "nan(0x1)", "inf", "-Infinity", "1e39", "1e300", "-1E+999999999999", strings.Repeat("9", 400),
			"0x1p3", "1_000", "1e", "e1", "--1", "1-1", ".", "1.2.3", "1,5", "\uff11", "1\u202e2", "1;", "1f",
		} {
			seen++
			parts, err := read(name, write(word))
			if err == nil {
				err = parts[0].Load()
			}
			require.Error(t, err, "%s: %q", name, word)
			checkError(t, err)
			var e *Error
			require.ErrorAs(t, err, &e)
			assert.Positive(t, e.Line, "%s: %q", name, word)
		}
		for word, want := range map[string]float32{
			"1e-320": 0, "1e-45": 1e-45, "-0": 0, "3.4028234e38": 3.4028234e38, "+7": 7, "7.": 7, "7e0": 7,
			"1" + strings.Repeat("0", 400) + "e-400": 1, "0." + strings.Repeat("0", 400) + "1e401": 1,
		} {
			p := readOne(t, name, string(write(word)))
			assert.Contains(t, p.Triangles.Corners, mesh.Point{0, 0, want}, "%s: %q", name, word)
		}
	}
	assert.Equal(t, 6*23, seen)
}

// TestNamesThatActOnATerminal puts such characters wherever a file has words.
func TestNamesThatActOnATerminal(t *testing.T) {
	for _, name := range []string{"\u202efdp", "\u2066a\u2069", "a\u200bb", "\x1b[31m", "\a", "a\r\nerror: b", "\u009b1m", "\ue000", strings.Repeat("long ", 1000)} {
		files := map[string]string{
			"a.obj": square + name + " 1 2 3\nf 1 2 3 4\ncall " + name + "\n",
			"b.obj": square + "f 1 2 " + name + "\n",
			"c.stl": "solid " + name + "\n" + facet + name + "\n",
			"d.ply": strings.Replace(plyText, "end_header", "element "+name+" 1\nproperty list uchar int "+name+"\nend_header", 1) + offSquare + "3 0 1 2\n1 1\n",
			"e.ply": strings.Replace(plyText, "float x", name+" x", 1),
			"f.off": "OFF\n4 1 0\n" + offSquare + "3 0 1 " + name + "\n",
			"g.amf": strings.Replace(amfText(tetra), "<mesh>", "<x "+name+"='1'/><mesh>", 1),
			"h.amf": strings.Replace(amfText(tetra), "</amf>", "<constellation id=\"c\"><instance objectid=\""+name+"\"/></constellation></amf>", 1),
			"i.3mf": string(pack3MF(strings.Replace(model3MF(object3MF(1, "", tetra), item1), "<mesh>", "<q"+name+" xmlns=\""+name+"\"/><mesh>", 1))),
			"j.3mf": string(pack3MF(model3MF(object3MF(1, " type=\""+name+"\"", tetra), item1))),
			"k.3mf": string(writeZip(entry{"_rels/.rels", relations("/" + name)}, entry{"x", ""})),
			"l.3mf": string(writeZip(entry{"_rels/.rels", relations("/a.model")}, entry{"a" + name, ""}, entry{"A" + name, ""})),
		}
		for file, data := range files {
			t.Run(fmt.Sprintf("%s %.8q", file, name), func(t *testing.T) { checkRead(t, file, []byte(data)) })
		}
	}
}

// TestNestingIsBounded holds that no file makes the reader go down without end.
func TestNestingIsBounded(t *testing.T) {
	deep := strings.Repeat("<a>", 100_000)
	for name, data := range map[string]string{
		"a.amf": "<amf>" + deep,
		"b.amf": strings.Replace(amfText(tetra), "<mesh>", "<metadata>"+deep, 1),
		"c.3mf": string(pack3MF(strings.Replace(model3MF("", ""), "<resources>", "<resources>"+deep, 1))),
		"d.3mf": string(writeZip(entry{"_rels/.rels", "<Relationships xmlns=\"" + spaceRelations + "\">" + deep})),
	} {
		parts, err := read(name, []byte(data))
		if err == nil {
			err = parts[0].Load()
		}
		assert.ErrorContains(t, err, "XML elements inside one another, 256 deep", name)
		checkError(t, err)
	}
}

// TestEntityBombs holds that nothing is ever defined and multiplied.
func TestEntityBombs(t *testing.T) {
	bomb := "<!DOCTYPE x [<!ENTITY a \"" + strings.Repeat("lol", 100) + "\">"
	for i := range 9 {
		bomb += fmt.Sprintf("<!ENTITY a%d \"%s\">", i, strings.Repeat("&a;", 10))
	}
	bomb += "]>"
	for _, text := range []string{bomb, "<!DOCTYPE x SYSTEM \"file:///etc/passwd\">", "<!DOCTYPE x PUBLIC \"a\" \"http://example.org/x.dtd\">"} {
		e := failure(t, "a.amf", strings.Replace(amfText(tetra), "<amf", text+"<amf", 1))
		assert.Contains(t, e.Error(), "a document type declaration, which a model must not have")
		_, errs := parts3MF(t, strings.Replace(model3MF(object3MF(1, "", tetra), item1), "<model", text+"<model", 1))
		assert.ErrorContains(t, errs[0], "a document type declaration, which a model must not have")
	}
}
