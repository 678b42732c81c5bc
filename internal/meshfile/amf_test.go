package meshfile

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

func TestAMFUnits(t *testing.T) {
	for unit, mm := range map[string]float32{"millimeter": 1, "inch": 25.4, "feet": 304.8, "meter": 1000, "micron": 0.001, "Millimeter": 1} {
		p := readOne(t, "a.amf", strings.Replace(amfText(tetra), "millimeter", unit, 1))
		assert.Equal(t, mesh.Point{mm, 0, 0}, p.Triangles.Corners[2], unit)
	}
	p := readOne(t, "a.amf", strings.Replace(amfText(tetra), ` unit="millimeter"`, "", 1))
	assert.Equal(t, tetra, p.Triangles.Corners)
}

// amfOf puts more behind the object 0.
func amfOf(more string) string { return strings.Replace(amfText(tetra), "</amf>", more+"</amf>", 1) }

// namedParts reads a file and returns where the corner (1, 0, 0) went, by model.
func namedParts(t *testing.T, text string) map[string]mesh.Point {
	t.Helper()
	parts, err := read("a.amf", []byte(text))
	require.NoError(t, err)
	out := map[string]mesh.Point{}
	for _, p := range parts {
		assert.Equal(t, "amf", p.Kind)
		out[p.Name] = p.Triangles.Corners[2]
	}
	require.Len(t, out, len(parts), "names are distinct")
	return out
}

func TestAMFObjectsAndConstellations(t *testing.T) {
	second := strings.NewReplacer("id=\"0\"", "id=\"1\"", "<mesh>", "<metadata type=\"name\">a &amp; b</metadata><mesh>").Replace(
		amfText(tetra)[strings.Index(amfText(tetra), "<object"):strings.Index(amfText(tetra), "</amf>")])
	x := mesh.Point{1, 0, 0}
	assert.Equal(t, map[string]mesh.Point{"": x}, namedParts(t, amfOf("")), "the file is the model")
	assert.Equal(t, map[string]mesh.Point{"object 0": x, "a & b": x}, namedParts(t, amfOf(second)))

	place := func(id string, words string) string {
		return "<instance objectid=\"" + id + "\">" + words + "</instance>"
	}
	group := func(id string, instances ...string) string {
		return "<constellation id=\"" + id + "\">" + strings.Join(instances, "") + "</constellation>\n"
	}
	assert.Equal(t, map[string]mesh.Point{"object 0": {0, 1, 0}, "object 0 (2)": {11, 20, 30}, "a & b": x},
		namedParts(t, amfOf(second+group("c", place("0", "<rz>90</rz>"), place("0", "<deltax>10</deltax><deltay>20</deltay><deltaz>30</deltaz>")))),
		"what no constellation holds stands where it is")
	assert.Equal(t, map[string]mesh.Point{"": {-10, 1, 5}},
		namedParts(t, amfOf(group("d", place("c", "<deltaz>5</deltaz><rz>90</rz>"))+group("c", place("0", "<deltay>10</deltay>")))),
		"constellations nest, and may be named before they are there")
	for _, c := range []struct {
		words string
		want  mesh.Point
	}{
		{"<ry>90</ry>", mesh.Point{0, 0, -1}}, {"<rx>90</rx>", x}, {"<rx>180</rx><ry>180</ry>", mesh.Point{-1, 0, 0}},
		{"<ry>90</ry><rz>90</rz>", mesh.Point{0, 0, -1}}, {"<rz>-90</rz>", mesh.Point{0, -1, 0}},
	} {
		assert.Equal(t, map[string]mesh.Point{"": c.want}, namedParts(t, amfOf(group("c", place("0", c.words)))), c.words)
	}
}

func TestAMFPacked(t *testing.T) {
	for _, name := range []string{"a.amf", "a.3mf", "a.stl"} {
		p := readOne(t, name, string(writePackedAMF(tetra)))
		assert.Equal(t, tetra, p.Triangles.Corners)
		assert.Equal(t, "model.amf", p.Inner)
	}
	parts, err := readLazily("a.amf", writeZip(entry{"b.amf", "<amf>"}))
	require.NoError(t, err)
	assert.Equal(t, "b.amf", parts[0].Inner)
	assert.ErrorContains(t, parts[0].Load(), "line 1: the file ends inside <amf>")
}

func TestAMFPassesOver(t *testing.T) {
	for _, c := range []struct {
		old, new string
		notes    []string
	}{
		{"<mesh>", "<color><r>1</r></color><mesh>", nil},
		{"</mesh>", "</mesh><x/>", nil},
		{"<triangle>", "<triangle><texmap><u1>0</u1></texmap>", nil},
		{"<object", "<material id=\"3\"/><texture/><metadata type=\"name\">t</metadata><object", nil},
		{"<volume>", "<volume type=\"object\" materialid=\"1\"><metadata/>", nil},
		{"<volume>", "<volume type=\"support\"><triangle><v1>0</v1><v2>1</v2><v3>2</v3></triangle></volume><volume>", []string{"left out a volume of support in line 8"}},
	} {
		text := strings.Replace(amfText(tetra), c.old, c.new, 1)
		require.NotEqual(t, amfText(tetra), text)
		p := readOne(t, "a.amf", text)
		assert.Equal(t, tetra, p.Triangles.Corners, c.new)
		assert.Equal(t, c.notes, p.Notes, c.new)
		assert.Empty(t, p.Undecided, c.new)
	}
}

// TestAMFThatIsBent holds that a surface which the triangles only stand for, or a place
// that is not known, leaves the model undecided, and no other one of the file.
func TestAMFThatIsBent(t *testing.T) {
	other := strings.Replace(amfText(tetra)[strings.Index(amfText(tetra), "<object"):strings.Index(amfText(tetra), "</amf>")], "\"0\"", "\"1\"", 1)
	group := `<constellation id="c"><instance objectid="0"><deltax>5</deltax>%s</instance></constellation>`
	for _, c := range []struct{ old, new, want string }{
		{"</coordinates>", "</coordinates><normal><nx>1</nx></normal>",
			"the surface is bent by 1 direction, the first in line 4, and was taken as flat triangles; export the model again as a triangle mesh"},
		{"</vertices>", "<edge><v1>0</v1></edge>\n<edge/></vertices>", "the surface is bent by 2 directions, the first in line 8, and was taken as flat triangles"},
		{"</amf>", fmt.Sprintf(group, "<scale>2</scale>") + "</amf>", "<scale> in line 14, which is not known here, may move the shape; export the model again as a triangle mesh"},
		{"</amf>", fmt.Sprintf(group, "<metadata>x</metadata>") + "</amf>", ""},
	} {
		text := strings.Replace(strings.Replace(amfText(tetra), c.old, c.new, 1), "</amf>", other+"</amf>", 1)
		parts, err := read("a.amf", []byte(text))
		require.NoError(t, err)
		require.Len(t, parts, 2)
		doubted := 0
		for i := range parts {
			assert.Equal(t, 4, parts[i].Triangles.Count())
			if parts[i].Undecided != "" {
				doubted++
				assert.Contains(t, parts[i].Undecided, c.want)
			}
		}
		assert.Equal(t, c.want != "", doubted == 1, c.new)
	}
}

// TestAMFOfSeveralMeshes holds that points are numbered anew in each mesh of an object.
func TestAMFOfSeveralMeshes(t *testing.T) {
	text := amfText(tetra)
	body := text[strings.Index(text, "<mesh>") : strings.Index(text, "</mesh>")+len("</mesh>")]
	p := readOne(t, "a.amf", strings.Replace(text, body, body+strings.ReplaceAll(body, "<x>1</x>", "<x>7</x>"), 1))
	require.Equal(t, 8, p.Triangles.Count())
	assert.Equal(t, tetra, p.Triangles.Corners[:12])
	assert.Equal(t, mesh.Point{7, 0, 0}, p.Triangles.Corners[14])
}

func TestAMFThatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"root", "<amf", "<amv", "line 2: <amv> where the amf element was expected"},
		{"unit", "millimeter", "yard", `line 2: "yard" is no unit; use millimeter`},
		{"second object", "</amf>", "<object id=\"0\"/></amf>", `there is a second object "0"`},
		{"no objects", amfText(tetra)[strings.Index(amfText(tetra), "<object"):strings.Index(amfText(tetra), "</amf>")], "", "the file has no objects"},
		{"no triangles", "</vertices>", "</vertices></mesh></object></amf><!--", "the file ends inside"},
		{"no z", "<z>0</z>", "", "line 4: a vertex without all of x, y and z"},
		{"number", "<z>0</z>", "<z>a</z>", `line 4: expected a number, found "a"`},
		{"empty number", "<z>0</z>", "<z/>", `line 4: expected a number, found nothing`},
		{"infinite", "<z>0</z>", "<z>1e99</z>", `too large to be a length`},
		{"element in a number", "<z>0</z>", "<z><y/></z>", `line 4: <y> where only text may stand`},
		{"vertex", "<v3>2</v3>", "<v3>4</v3>", `the triangle names vertex "4" of 4`},
		{"negative vertex", "<v3>2</v3>", "<v3>-1</v3>", `the triangle names vertex "-1" of 4`},
		{"no v3", "<v3>2</v3>", "", `a triangle without all of v1, v2 and v3`},
		{"instance of nothing", "</amf>", `<constellation id="c"><instance objectid="9"/></constellation></amf>`, `there is no object "9"`},
		{"angle", "</amf>", `<constellation id="c"><instance objectid="0"><rx>a</rx></instance></constellation></amf>`, `expected a number, found "a"`},
		{"circle", "</amf>", `<constellation id="c"><instance objectid="d"/></constellation><constellation id="d"><instance objectid="c"/></constellation></amf>`,
			"constellations hold one another in a circle"},
		{"circle below", "</amf>", `<constellation id="a"><instance objectid="c"/></constellation><constellation id="c"><instance objectid="c"/></constellation></amf>`,
			"constellations hold one another more than 64 deep, or in a circle"},
		{"DTD", "<amf", "<!DOCTYPE amf><amf", "a document type declaration"},
	} {
		text := strings.Replace(amfText(tetra), c.old, c.new, 1)
		require.NotEqual(t, amfText(tetra), text)
		e := failure(t, "a.amf", text)
		assert.Contains(t, e.Error(), c.want, c.name)
		assert.NotEmpty(t, e.Cure, c.name)
	}
}

// TestAMFUnfoldsWithinBounds asks for constellations of constellations.
func TestAMFUnfoldsWithinBounds(t *testing.T) {
	for _, leaf := range []string{`<instance objectid="0"/>`, ""} {
		more := "<constellation id=\"c1\">" + leaf + "</constellation>"
		for i := 2; i < 12; i++ {
			more += fmt.Sprintf("<constellation id=\"c%d\">%s</constellation>", i, strings.Repeat(fmt.Sprintf("<instance objectid=\"c%d\"/>", i-1), 10))
		}
		e := failure(t, "a.amf", amfOf(more))
		assert.Contains(t, e.Error(), "the file unfolds to more than 10000 models")
	}
}
