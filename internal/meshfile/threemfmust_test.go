package meshfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Test3MFMusts breaks the rules of the 3MF core specification 1.4 one at a time, each in a
// file with a second, sound model, which must still be read where the file can be.
func Test3MFMusts(t *testing.T) {
	good := model3MF(object3MF(1, "", tetra)+object3MF(2, "", tetra), item1+"<item objectid=\"2\"/>\n")
	for _, c := range []struct{ name, old, new, want string }{
		{"vertex out of range", `<triangle v1="0" v2="1" v3="2"/>`, `<triangle v1="0" v2="1" v3="4"/>`, "line 10: the triangle names vertex 4 of 4, the first is 0"},
		{"vertex twice", `<triangle v1="0" v2="1" v3="2"/>`, `<triangle v1="1" v2="1" v3="2"/>`, "line 10: the triangle names a vertex twice, v1 1, v2 1, v3 2, which 3MF forbids"},
		{"last and first", `<triangle v1="0" v2="1" v3="2"/>`, `<triangle v1="1" v2="0" v3="1"/>`, "line 10: the triangle names a vertex twice, v1 1, v2 0, v3 1"},
		{"negative vertex", `<triangle v1="0" v2="1" v3="2"/>`, `<triangle v1="-1" v2="1" v3="2"/>`, `line 10: "-1" is no number of a vertex`},
		{"no v3", `<triangle v1="0" v2="1" v3="2"/>`, `<triangle v1="0" v2="1"/>`, "line 10: a triangle without v3"},
		{"no z", `<vertex x="0" y="0" z="0"/>`, `<vertex x="0" y="0"/>`, "line 5: a vertex without z"},
		{"no number", `<vertex x="0" y="0" z="0"/>`, `<vertex x="a" y="0" z="0"/>`, `line 5: expected a number, found "a"`},
		{"empty number", `<vertex x="0" y="0" z="0"/>`, `<vertex x="" y="0" z="0"/>`, `line 5: expected a number, found nothing`},
		{"comma", `<vertex x="0" y="0" z="0"/>`, `<vertex x="0,5" y="0" z="0"/>`, `line 5: "0,5" has a decimal comma`},
		{"NaN", `<vertex x="0" y="0" z="0"/>`, `<vertex x="NaN" y="0" z="0"/>`, `line 5: the coordinate "NaN" is not a number`},
		{"infinite", `<vertex x="0" y="0" z="0"/>`, `<vertex x="1e99" y="0" z="0"/>`, `line 5: the coordinate "1e99" is too large`},
		{"type", `<object id="1">`, `<object id="1" type="solid">`, `line 4: "solid" is no type of object`},
		{"no triangles", mesh3MF(tetra), "<mesh><vertices/><triangles/></mesh>", "line 4: object 1 has no triangles"},
		{"no lists", mesh3MF(tetra), "<mesh/>", "line 4: the mesh of object 1 has 0 lists of vertices and 0 of triangles"},
		{"triangles first", "<mesh><vertices>", `<mesh><triangles><triangle v1="0" v2="1" v3="2"/></triangles><vertices>`, "line 4: the triangle names vertex 0 of 0"},
		{"two meshes", "</mesh>", "</mesh><mesh/>", "line 4: object 1 has more than one mesh or list of components"},
		{"nothing in it", mesh3MF(tetra), "", "line 4: object 1 has neither a mesh nor components"},
		{"no components", mesh3MF(tetra), "<components/>", "line 4: object 1 has no triangles"},
		{"itself", mesh3MF(tetra), `<components><component objectid="1"/></components>`, "line 4: there is no object 1 before this line"},
		{"a later one", mesh3MF(tetra), `<components><component objectid="2"/></components>`, "line 4: there is no object 2 before this line"},
		{"another part", mesh3MF(tetra), `<components><component objectid="2" p:path="/gone.model"/></components>`, `the part "gone.model" is not in the file`},
		{"no reference", mesh3MF(tetra), `<components><component/></components>`, `line 4: nothing is no number of an object`},
		{"item of nothing", item1, `<item objectid="7"/>` + "\n", "line 28: there is no object 7 before this line"},
		{"transform of 11", item1, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0"/>` + "\n", "line 28: the transform has 11 numbers, it needs 12"},
		{"transform of words", item1, `<item objectid="1" transform="1 0 0 0 x 0 0 0 1 0 0 0"/>` + "\n", `line 28: expected a number, found "x"`},
		{"flat transform", item1, `<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>` + "\n", "line 28: the transform flattens the object"},
		{"far transform", item1, `<item objectid="1" transform="1e38 0 0 0 1e38 0 0 0 1e38 3e38 3e38 3e38"/>` + "\n", "a corner is moved too far to be a length"},
		{"beam lattice", "</triangles></mesh>", `</triangles><b:beamlattice xmlns:b="` + spaceBeams + `"/></mesh>`, "not evaluated: a beam lattice is part of the shape"},
		{"another kind of shape", mesh3MF(tetra), `<x:levels xmlns:x="urn:x"/>`, "line 4: not evaluated: the shape is given by levels, not by triangles"},
		{"slices", `<object id="1">`, `<object id="1" s:meshresolution="lowres" xmlns:s="` + spaceSlice + `">`, "line 4: not evaluated: the shape is given by slices"},
	} {
		model := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, model, c.name)
		model = strings.Replace(model, "<model ", `<model xmlns:p="`+spaceProduction+`" `, 1)
		parts, errs := parts3MF(t, model)
		require.Len(t, parts, 2, c.name)
		assert.ErrorContains(t, errs[0], c.want, c.name)
		require.NoError(t, errs[1], c.name)
		assert.Equal(t, tetra, parts[1].Triangles.Corners, c.name)
	}
}

// Test3MFMustsOfTheWhole breaks what the file cannot be read without.
func Test3MFMustsOfTheWhole(t *testing.T) {
	good := model3MF(object3MF(1, "", tetra), item1)
	for _, c := range []struct{ name, old, new, want string }{
		{"DTD", "<model", "<!DOCTYPE model [<!ENTITY a \"b\">]>\n<model", "line 2: a document type declaration, which a model must not have"},
		{"encoding", "UTF-8", "UTF-16", `line 1: the text is in the encoding "utf-16"`},
		{"tags", "</triangles>", "</triangle>", "line 14: <triangles> is ended by </triangle>"},
		{"root", "<model ", "<modell ", "line 2: <modell> where the model element of 3MF was expected"},
		{"namespace", core3MF, "urn:x", "line 2: <model> where the model element of 3MF was expected"},
		{"unit", "millimeter", "yard", `line 2: "yard" is no unit; use micron, millimeter, centimeter, inch, foot or meter`},
		{"no number", `id="1"`, `name="1"`, "line 4: the object has no number from 1 on"},
		{"number 0", `id="1"`, `id="0"`, "line 4: the object has no number from 1 on"},
		{"number too large", `id="1"`, `id="2147483648"`, "line 4: the object has no number from 1 on"},
		{"second object", "</resources>", object3MF(1, "", tetra) + "</resources>", "line 15: there is a second object 1"},
		{"nothing to build", item1, "", "the build is empty: nothing would be printed"},
		{"no build", "<build>\n" + item1 + "</build>", "", "there is no build: nothing would be printed"},
		{"more behind it", "</model>", "</model><model/>", "a second element behind the end of the first"},
		{"unknown need", "<model ", `<model xmlns:q="urn:q" requiredextensions="q" `, `line 2: not evaluated: the model needs the extension "urn:q", which is not known here; export the model as plain triangles`},
		{"undeclared need", "<model ", `<model requiredextensions="q" `, `line 2: the required extension "q" is not declared`},
		{"lattices", "<model ", `<model xmlns:b="` + spaceBeams + `" requiredextensions="b" `, "line 2: not evaluated: the model needs beam lattices"},
	} {
		model := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, model, c.name)
		parts, errs := parts3MF(t, model)
		require.Len(t, parts, 1, c.name)
		assert.ErrorContains(t, errs[0], c.want, c.name)
		assert.Equal(t, "3D/3dmodel.model", parts[0].Inner, c.name)
	}
}

// Test3MFPassesOver holds what does not change the shape, known or not.
func Test3MFPassesOver(t *testing.T) {
	good := model3MF(object3MF(1, "", tetra), item1)
	for _, c := range []struct {
		old, new string
	}{
		{"<resources>", `<metadata name="Title">x</metadata><resources><basematerials id="9"><base name="a" displaycolor="#FFFFFF"/></basematerials>`},
		{"<model ", `<model xmlns:m="` + spaceMaterial + `" xmlns:q="urn:q" recommendedextensions="q" requiredextensions="m" q:z="1" `},
		{"<mesh>", `<metadatagroup><metadata name="a">b</metadata></metadatagroup><mesh>`},
		{`v3="1"`, `v3="1" pid="9" p1="0" p2="0" p3="0"`},
		{"</triangles></mesh>", `</triangles><t:trianglesets xmlns:t="` + spaceSets + `"><t:triangleset/></t:trianglesets></mesh>`},
		{"</model>", `<x:end xmlns:x="urn:x"/></model>`},
		{"<mesh>", `<metadata name="a">b</metadata><mesh>`},
		{"<resources>", `<resources><x:own xmlns:x="urn:x"/>`},
		{`x="0"`, `x=" 0 "`},
	} {
		model := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, model, c.new)
		p := only3MF(t, model)
		assert.Equal(t, tetra, p.Triangles.Corners, c.new)
		assert.Empty(t, p.Notes, c.new)
		assert.Empty(t, p.Undecided, c.new)
	}
}

// Test3MFErrorsInOtherParts holds that they name the part they are in.
func Test3MFErrorsInOtherParts(t *testing.T) {
	group := `<object id="2"><components><component objectid="5" p:path="/c.model"/></components></object>` + "\n"
	root := model3MFWith(production, group+object3MF(3, "", tetra), `<item objectid="2"/><item objectid="5" p:path="/c.model"/><item objectid="3"/>`)
	bad := strings.Replace(object3MF(5, "", tetra), `v3="3"`, `v3="9"`, 1)
	for _, c := range []struct{ child, outer, inner string }{
		{model3MF(bad, ""), "in c.model, line 11: the triangle names vertex 9", "line 11: the triangle names vertex 9"},
		{"<model", "in c.model, line 1: the file ends", "in c.model, line 1: the file ends"},
		{model3MF("", ""), `line 4: there is no object 5 before this line in "/c.model"`, `there is no object 5 before this line in "/c.model"`},
		{model3MFWith(production, `<object id="5"><components><component objectid="3" p:path="/3D/3dmodel.model"/></components></object>`, ""),
			"in c.model, line 4: only the first model part may name objects in another part", "line 4: only the first model part"},
	} {
		_, errs := parts3MF(t, root, entry{"c.model", c.child})
		require.Len(t, errs, 3)
		assert.ErrorContains(t, errs[0], c.outer)
		assert.ErrorContains(t, errs[1], c.inner)
		assert.NoError(t, errs[2])
	}
	_, errs := parts3MF(t, strings.ReplaceAll(root, "/c.model", "/3D/3dmodel.model"))
	assert.ErrorContains(t, errs[0], "names itself as another part")
}
