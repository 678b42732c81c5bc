package meshfile

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// parts3MF reads a root model with other parts beside it; each part is loaded.
func parts3MF(t *testing.T, model string, others ...entry) ([]Part, []error) {
	t.Helper()
	parts, err := readLazily("a.3mf", pack3MF(model, others...))
	require.NoError(t, err)
	errs := make([]error, len(parts))
	for i := range parts {
		if parts[i].Skip == "" {
			errs[i] = parts[i].Load()
		}
	}
	return parts, errs
}

// only3MF reads a root model that must hold one good model.
func only3MF(t *testing.T, model string, others ...entry) Part {
	t.Helper()
	parts, errs := parts3MF(t, model, others...)
	require.Len(t, parts, 1)
	require.NoError(t, errs[0])
	return parts[0]
}

const (
	item1      = "<item objectid=\"1\"/>\n"
	production = ` xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" requiredextensions="p"`
)

func Test3MFUnits(t *testing.T) {
	for unit, mm := range map[string]float32{"micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000} {
		p := only3MF(t, strings.Replace(model3MF(object3MF(1, "", tetra), item1), "millimeter", unit, 1))
		assert.Equal(t, mesh.Point{mm, 0, 0}, p.Triangles.Corners[2], unit)
		moved := strings.Replace(item1, "/>", ` transform="1 0 0 0 1 0 0 0 1 2 0 0"/>`, 1)
		p = only3MF(t, strings.Replace(model3MF(object3MF(1, "", tetra), moved), "millimeter", unit, 1))
		assert.InEpsilon(t, 3*mm, p.Triangles.Corners[2][0], 1e-6, unit)
	}
	p := only3MF(t, strings.Replace(model3MF(object3MF(1, "", tetra), item1), ` unit="millimeter"`, "", 1))
	assert.Equal(t, mesh.Point{1, 0, 0}, p.Triangles.Corners[2], "millimeters where nothing is said")
}

// volumeOf is the signed volume of closed triangles.
func volumeOf(corners []mesh.Point) float64 {
	v := 0.0
	for i := 0; i < len(corners); i += 3 {
		a, b, c := mesh.Of64(corners[i]), mesh.Of64(corners[i+1]), mesh.Of64(corners[i+2])
		v += a.Dot(b.Cross(c)) / 6
	}
	return v
}

// Test3MFTransforms holds that transforms nest from the inside outwards, and that a mirror
// image stays right side out (3MF core specification 1.4, 3.3).
func Test3MFTransforms(t *testing.T) {
	const (
		mirror = ` transform="-1 0 0 0 1 0 0 0 1 0 0 0"`
		turn   = ` transform="0 1 0 -1 0 0 0 0 1 0 0 0"` // x goes to y
		move   = ` transform="1 0 0 0 1 0 0 0 1 10 20 30"`
		double = ` transform="2 0 0 0 2 0 0 0 2 0 0 0"`
	)
	for _, c := range []struct {
		component, item string
		x               mesh.Point // where (1, 0, 0) goes
		volume          float64
	}{
		{"", "", mesh.Point{1, 0, 0}, 1. / 6},
		{move, "", mesh.Point{11, 20, 30}, 1. / 6},
		{"", move, mesh.Point{11, 20, 30}, 1. / 6},
		{move, turn, mesh.Point{-20, 11, 30}, 1. / 6},
		{turn, move, mesh.Point{10, 21, 30}, 1. / 6},
		{move, double, mesh.Point{22, 40, 60}, 8. / 6},
		{double, move, mesh.Point{12, 20, 30}, 8. / 6},
		{mirror, "", mesh.Point{-1, 0, 0}, 1. / 6},
		{"", mirror, mesh.Point{-1, 0, 0}, 1. / 6},
		{mirror, mirror, mesh.Point{1, 0, 0}, 1. / 6},
		{mirror, double, mesh.Point{-2, 0, 0}, 8. / 6},
	} {
		resources := object3MF(1, "", tetra) + "<object id=\"2\"><components><component objectid=\"1\"" + c.component + "/></components></object>\n"
		p := only3MF(t, model3MF(resources, "<item objectid=\"2\""+c.item+"/>"))
		assert.Contains(t, p.Triangles.Corners, c.x, "%s in %s", c.component, c.item)
		assert.InDelta(t, c.volume, volumeOf(p.Triangles.Corners), 1e-4, "%s in %s", c.component, c.item)
	}
}

func Test3MFItemsHaveNames(t *testing.T) {
	resources := object3MF(1, ` name="left &lt;hand&gt;" partnumber="n1"`, tetra) + object3MF(2, ` partnumber="n2"`, tetra) +
		object3MF(3, "", tetra) + object3MF(4, ` name="left &lt;hand&gt; (2)"`, tetra)
	build := item1 + "<item objectid=\"2\"/><item objectid=\"3\"/><item objectid=\"3\" partnumber=\"p3\"/>" + item1 +
		"<item objectid=\"4\"/><item objectid=\"2\" partnumber=\"own\"/>"
	parts, errs := parts3MF(t, model3MF(resources, build))
	var names []string
	for i, p := range parts {
		require.NoError(t, errs[i])
		names = append(names, p.Name)
		assert.Equal(t, "3mf", p.Kind)
		assert.Equal(t, "3D/3dmodel.model", p.Inner)
		assert.Equal(t, tetra, p.Triangles.Corners)
	}
	assert.Equal(t, []string{"left <hand>", "n2", "item 3", "p3", "left <hand> (3)", "left <hand> (2)", "own"}, names)
	assert.Empty(t, only3MF(t, model3MF(object3MF(1, ` name="x"`, tetra), item1)).Name, "the file is the model")
}

func Test3MFTypes(t *testing.T) {
	for _, kind := range []string{"support", "solidsupport", "surface", "other"} {
		parts, _ := parts3MF(t, model3MF(object3MF(1, "", tetra)+object3MF(2, ` type="`+kind+`"`, tetra), item1+"<item objectid=\"2\"/>"))
		require.Len(t, parts, 2)
		assert.Empty(t, parts[0].Skip)
		assert.Equal(t, "it is of the type "+kind+", no model to judge", parts[1].Skip)
	}
	p := only3MF(t, model3MF(object3MF(1, ` type="model"`, tetra)+object3MF(2, ` type="support"`, torus(5, 5))+
		"<object id=\"3\"><components><component objectid=\"1\"/><component objectid=\"2\"/></components></object>", "<item objectid=\"3\"/>"))
	assert.Equal(t, tetra, p.Triangles.Corners)
	assert.Equal(t, []string{"left out 50 triangles of support"}, p.Notes)
}

// Test3MFOtherParts reads objects from other parts (production extension).
func Test3MFOtherParts(t *testing.T) {
	child := strings.Replace(model3MF("\n\n"+object3MF(5, ` name="ring"`, torus(5, 4)), ""), "millimeter", "centimeter", 1)
	path := ` p:path="/3D/Objects/child.model"`
	others := []entry{{"3D/Objects/child.model", child}, {"3D/_rels/3dmodel.model.rels", relations("/3D/Objects/child.model")}}

	p := only3MF(t, model3MFWith(production, "", "<item objectid=\"5\""+path+"/>"), others...)
	assert.Equal(t, "3D/Objects/child.model", p.Inner)
	assert.Equal(t, 40, p.Triangles.Count())
	lines := strings.Split(child, "\n")
	for i, l := range p.Triangles.Source.Lines {
		require.Contains(t, lines[l-1], "<triangle ", "triangle %d", i)
	}
	assert.InDelta(t, 1000*volumeOf(torus(5, 4)), volumeOf(p.Triangles.Corners), 0.5, "in its own unit")

	// A whole of one other part has that part's lines.
	group := "<object id=\"2\"><components><component objectid=\"5\"" + path + "/></components></object>\n"
	p = only3MF(t, model3MFWith(production, group, "<item objectid=\"2\"/>"), others...)
	assert.Equal(t, "3D/Objects/child.model", p.Inner)

	// One of several parts has the lines that name them.
	group = object3MF(1, "", tetra) + "<object id=\"2\"><components>\n<component objectid=\"5\"" + path + "/>\n<component objectid=\"1\"/></components></object>\n"
	root := model3MFWith(production, group, "<item objectid=\"2\"/>")
	p = only3MF(t, root, others...)
	assert.Equal(t, "3D/3dmodel.model", p.Inner)
	require.Equal(t, 44, p.Triangles.Count())
	lines = strings.Split(root, "\n")
	assert.Contains(t, lines[p.Triangles.Source.Lines[0]-1], `objectid="5"`)
	assert.Contains(t, lines[p.Triangles.Source.Lines[43]-1], `objectid="1"`)
}

// Test3MFContainers holds how the model is found in its container.
func Test3MFContainers(t *testing.T) {
	model := model3MF(object3MF(1, "", tetra), item1)
	types := entry{"[Content_Types].xml", types3MF}
	for _, c := range []struct {
		name  string
		files []entry
		want  string
	}{
		{"relative target", []entry{types, {"_rels/.rels", relations("3D/3dmodel.model")}, {"3D/3dmodel.model", model}}, ""},
		{"another name", []entry{types, {"_rels/.rels", relations("/x/y.model")}, {"x/y.model", model}}, ""},
		{"another case", []entry{types, {"_rels/.rels", relations("/3d/3DModel.model")}, {"3D/3dmodel.model", model}}, ""},
		{"escaped", []entry{types, {"_rels/.rels", relations("/3D/my%20model.model")}, {"3D/my model.model", model}}, ""},
		{"escaped twice", []entry{types, {"_rels/.rels", relations("/3D/my%20model.model")}, {"3D/my%20model.model", model}}, ""},
		{"no relationships", []entry{types, {"3D/3dmodel.model", model}}, "this zip archive is no 3MF: it has no _rels/.rels, which says where the model is"},
		{"empty relationships", []entry{types, {"_rels/.rels", relations()}, {"3D/3dmodel.model", model}}, "_rels/.rels names 0 models, there must be 1"},
		{"two models", []entry{types, {"_rels/.rels", relations("/a", "/b")}}, "_rels/.rels names 2 models, there must be 1"},
		{"no model", []entry{types, {"_rels/.rels", relations("/3D/3dmodel.model")}}, `_rels/.rels names the model "3D/3dmodel.model", which is not in the file`},
		{"outside", []entry{types, {"_rels/.rels", relations("https://example.org/a.model")}}, `in _rels/.rels, line 2: the model is said to be outside the file`},
		{"climbing target", []entry{types, {"_rels/.rels", relations("/../../3D/3dmodel.model")}, {"3D/3dmodel.model", model}}, `names the model "/../../3D/3dmodel.model", which leads out of the file`},
		{"climbing inside", []entry{types, {"_rels/.rels", relations("/3D/x/../3dmodel.model")}, {"3D/3dmodel.model", model}}, ""},
		{"climbing first", []entry{types, {"_rels/.rels", relations("3D/../../3dmodel.model")}, {"3dmodel.model", model}}, "which leads out of the file"},
		{"another case of it", []entry{types, {"_rels/.rels", relations("/3D/a.model")}, {"3D/a.model", model}, {"3d/A.MODEL", model}},
			`the archive holds "3D/a.model" and "3d/A.MODEL", which are one file on many systems`},
		{"another case of a picture", []entry{types, {"_rels/.rels", relations("/a.model")}, {"a.model", model}, {"b/x.png", ""}, {"B/x.png", ""}}, `"b/x.png" and "B/x.png", which are one file on many systems`},
		{"escaped and not", []entry{types, {"_rels/.rels", relations("/a%20b.model")}, {"a%20b.model", model}, {"a b.model", model}}, "have one name"},
		{"two small forms", []entry{types, {"_rels/.rels", relations("/σ.model")}, {"σ.model", model}, {"ς.model", model}}, "which are one file on many systems"},
		{"broken relationships", []entry{types, {"_rels/.rels", "<a"}}, "in _rels/.rels, line 1: the file ends inside a tag"},
		{"other relationships", []entry{types, {"_rels/.rels", "<a/>"}}, "in _rels/.rels, line 1: <a> where Relationships was expected"},
		{"climbing entry", []entry{types, {"_rels/.rels", relations("/a.model")}, {"a.model", model}, {"../b", ""}}, `"../b": the entry's name climbs out`},
		{"model twice", []entry{types, {"_rels/.rels", relations("/a.model")}, {"a.model", model}, {"a.model", model}}, "several entries of the name"},
	} {
		parts, err := read("a.3mf", writeZip(c.files...))
		if c.want == "" {
			require.NoError(t, err, c.name)
			assert.Equal(t, tetra, parts[0].Triangles.Corners, c.name)
		} else {
			assert.ErrorContains(t, err, c.want, c.name)
		}
	}
	p := readOne(t, "a.3mf", string(writeZip(entry{"_rels/.rels", relations("/a.model")}, entry{"a.model", model})))
	assert.Equal(t, []string{"the file has no [Content_Types].xml; other programs may refuse it"}, p.Notes)
	p = readOne(t, "a.stl", string(pack3MF(model)))
	assert.Equal(t, []string{"the content is 3MF, whatever the name says"}, p.Notes)
}

// Test3MFLines holds that each triangle is found where it stands, however lines end.
func Test3MFLines(t *testing.T) {
	model := model3MF(object3MF(1, "", torus(30, 40)), item1)
	for _, end := range []string{"\n", "\r\n", "\r", "\n\n"} {
		text := strings.ReplaceAll(model, "\n", end)
		lines := strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
		if end == "\r" {
			lines = strings.Split(text, "\r")
		}
		p := only3MF(t, text)
		for i, l := range p.Triangles.Source.Lines {
			require.Contains(t, lines[l-1], "<triangle ", "triangle %d, %q", i, end)
		}
	}
	spread := strings.ReplaceAll(model, "<triangle ", "<triangle\n\n")
	p := only3MF(t, spread)
	lines := strings.Split(spread, "\n")
	for _, l := range p.Triangles.Source.Lines {
		require.Equal(t, "<triangle", lines[l-1], "a tag of several lines stands where it begins")
	}
}

// Test3MFUnfoldsWithinBounds asks for copies of copies of copies.
func Test3MFUnfoldsWithinBounds(t *testing.T) {
	resources := object3MF(1, "", tetra)
	for id := 2; id <= 30; id++ {
		ten := strings.Repeat(fmt.Sprintf("<component objectid=\"%d\"/>", id-1), 10)
		resources += fmt.Sprintf("<object id=\"%d\"><components>%s</components></object>\n", id, ten)
	}
	parts, errs := parts3MF(t, model3MF(resources, "<item objectid=\"5\"/><item objectid=\"30\"/>"))
	require.NoError(t, errs[0])
	assert.Equal(t, 40_000, parts[0].Triangles.Count())
	assert.ErrorContains(t, errs[1], "object 30 unfolds to more than the 4194368 triangles that are read from a file of this size")

	deep := object3MF(1, "", tetra)
	for id := 2; id <= 100; id++ {
		deep += fmt.Sprintf("<object id=\"%d\"><components><component objectid=\"%d\"/></components></object>\n", id, id-1)
	}
	_, errs = parts3MF(t, model3MF(deep, "<item objectid=\"65\"/><item objectid=\"66\"/>"))
	require.NoError(t, errs[0])
	assert.ErrorContains(t, errs[1], "object 66 holds other objects 64 deep, the most that is read")

	chain := object3MF(1, "", tetra[:3])
	for id := 2; id <= 57; id++ {
		times := 1
		if id > 51 {
			times = 10
		}
		chain += fmt.Sprintf("<object id=\"%d\"><components>%s</components></object>\n", id, strings.Repeat(fmt.Sprintf("<component objectid=\"%d\"/>", id-1), times))
	}
	_, errs = parts3MF(t, model3MF(chain, "<item objectid=\"57\"/>"))
	assert.ErrorContains(t, errs[0], "object 57 unfolds to more than the 4194320 objects that are read from a file of this size", "a million triangles, each fifty objects deep")

	_, errs = parts3MF(t, model3MF(object3MF(1, "", tetra), strings.Repeat(item1, maxItems+1)))
	assert.ErrorContains(t, errs[0], "the build has more than 10000 models")
}

// Test3MFBuildsWithinBounds holds that what may unfold in a model may not do so again and
// again: a build of ten thousand items could otherwise ask for 40 thousand million triangles.
func Test3MFBuildsWithinBounds(t *testing.T) {
	resources := object3MF(1, "", tetra)
	for id := 2; id <= 7; id++ {
		ten := strings.Repeat(fmt.Sprintf("<component objectid=\"%d\"/>", id-1), 10)
		resources += fmt.Sprintf("<object id=\"%d\"><components>%s</components></object>\n", id, ten)
	}
	parts, err := readLazily("a.3mf", pack3MF(model3MF(resources, strings.Repeat("<item objectid=\"7\"/>\n", 20)+item1)))
	require.NoError(t, err)
	require.Len(t, parts, 21)
	require.NoError(t, parts[15].Load())
	assert.Equal(t, 4_000_000, parts[15].Triangles.Count())
	parts[15].Triangles = nil
	for i := range parts[16:] {
		err := parts[16+i].Load()
		assert.ErrorContains(t, err, "the models of the file unfold to more than the 67109888 triangles that are read from a file of this size; export the models in several files")
	}

	amf := amfText(tetra)
	at := strings.Index(amf, "<object")
	many := strings.Repeat("<instance objectid=\"0\"/>", maxItems-1)
	parts, err = readLazily("a.amf", []byte(amf[:at]+"<constellation id=\"c\">"+many+"</constellation>"+amf[at:]))
	require.NoError(t, err)
	assert.Len(t, parts, maxItems-1, "small ones are as many as may be")
}
