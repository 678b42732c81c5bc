package meshfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Test3MFOfHelpersOnly holds that a build without a model to judge is an error, whatever
// the helpers are.
func Test3MFOfHelpersOnly(t *testing.T) {
	for _, c := range []struct {
		kinds []string
		want  string
	}{
		{[]string{"support"}, "only objects of the type support"},
		{[]string{"surface"}, "only objects of the type surface"},
		{[]string{"support", "other", "support", "solidsupport"}, "only objects of the type other, solidsupport, support"},
	} {
		resources, build := "", ""
		for i, kind := range c.kinds {
			resources += object3MF(i+1, ` type="`+kind+`"`, tetra)
			build += strings.Replace(item1, "1", string(rune('1'+i)), 1)
		}
		parts, errs := parts3MF(t, model3MF(resources, build))
		require.Len(t, parts, 1)
		assert.ErrorContains(t, errs[0], "the build holds no model to judge, "+c.want+"; give what is to be printed the type model")
		assert.Empty(t, parts[0].Skip)

		resources += object3MF(9, "", tetra)
		parts, errs = parts3MF(t, model3MF(resources, build+strings.Replace(item1, "1", "9", 1)))
		require.Len(t, parts, len(c.kinds)+1, "with a model beside them they are ignored")
		assert.NoError(t, errs[len(c.kinds)])
	}
}

// TestPrefixesAreDeclared holds that a name whose prefix stands for nothing is refused in
// every format in XML, as an element and as an attribute.
func TestPrefixesAreDeclared(t *testing.T) {
	good := model3MF(object3MF(1, "", tetra), item1)
	for _, c := range []struct{ old, new string }{
		{"<resources>", "<resources><q:own/>"},
		{"<mesh>", "<q:beamlattice/><mesh>"},
		{"<object ", `<object q:shape="1" `},
		{"<build>", `<x:b xmlns:x="u"/><build><x:b/>`},
		{"<build>", `<build><x:b xmlns:x=""/>`},
	} {
		model := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, model)
		parts, errs := parts3MF(t, model)
		require.Len(t, parts, 1)
		require.Error(t, errs[0], c.new)
		assert.Contains(t, errs[0].Error(), "is not declared; export or download the file again")
	}
	only3MF(t, strings.Replace(good, "<object ", `<object xml:lang="de" `, 1))
	e := failure(t, "a.amf", strings.Replace(amfText(tetra), "<mesh>", "<q:x/><mesh>", 1))
	assert.Equal(t, `line 3: the prefix of "q:x" is not declared; export or download the file again`, e.Error())
}

// TestManyPrefixes holds that looking up a prefix stays cheap: each element could
// otherwise be held against any number of them.
func TestManyPrefixes(t *testing.T) {
	many := ""
	for i := range 128 + 1 {
		many += " xmlns:a" + strings.Repeat("b", i) + `="u"`
	}
	_, errs := parts3MF(t, strings.Replace(model3MF(object3MF(1, "", tetra), item1), "<resources>", "<resources><x"+many+"/>", 1))
	assert.ErrorContains(t, errs[0], "line 3: more than 128 prefixes declared at once")
}

// TestPackedAMFOfSeveral holds that none of several files in one AMF is ignored.
func TestPackedAMFOfSeveral(t *testing.T) {
	e := failure(t, "a.amf", string(writeZip(entry{"a.amf", amfText(tetra)}, entry{"b/c.AMF", amfText(tetra)})))
	assert.Equal(t, `a packed AMF holds one AMF file, this one holds 2: "a.amf" and "b/c.AMF"; if it is a pack of models, name it .zip`, e.Error())
}

// Test3MFStrangersMayBeShape holds that what may be part of a shape, and is ignored,
// leaves the model undecided.
func Test3MFStrangersMayBeShape(t *testing.T) {
	good := model3MF(object3MF(1, "", tetra), item1)
	const of = `of the extension "urn:x", which is not known here, may be part of the shape; export the model as plain triangles`
	for _, c := range []struct{ old, new, want string }{
		{"<mesh>", `<x:own xmlns:x="urn:x"><x:y/></x:own><mesh>`, "<own> in line 4, " + of},
		{"</mesh>", `</mesh><x:own xmlns:x="urn:x"/>`, "<own> in line 14, " + of},
		{"<vertices>", `<vertices><x:vertex xmlns:x="urn:x" x="9"/>`, "<vertex> in line 4, " + of},
		{"<triangles>", "<triangles>\n" + `<x:curve xmlns:x="urn:x"/>`, "<curve> in line 10, " + of},
		{"</triangles>", `</triangles><x:more xmlns:x="urn:x"/><x:less xmlns:x="urn:x"/>`, "<more> in line 14, " + of},
		{"</triangles>", `</triangles><more/>`, "<more> in line 14, which 3MF does not have there, may be part of the shape; export the model as plain triangles"},
		{"</triangles>", `</triangles><x xmlns=""/>`, "<x> in line 14, which 3MF does not have there, may be part of the shape; export the model as plain triangles"},
		{"</build>", `<x:item xmlns:x="urn:x" objectid="77"/></build>`, "<item> in line 18, " + of},
	} {
		model := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, model, c.new)
		p := only3MF(t, model)
		assert.Equal(t, tetra, p.Triangles.Corners, c.new)
		assert.Equal(t, c.want, p.Undecided, c.new)
		assert.Empty(t, p.Notes)
	}
	inner := strings.Replace(object3MF(1, "", tetra), "</mesh>", `<x:y xmlns:x="urn:x"/></mesh>`, 1)
	parts, errs := parts3MF(t, model3MF(inner+`<object id="2"><components><component objectid="1"/></components></object>`+object3MF(3, "", tetra),
		`<item objectid="2"/><item objectid="3"/>`))
	require.NoError(t, errs[0])
	assert.Equal(t, "<y> in line 14, "+of, parts[0].Undecided, "what is inside makes the whole undecided")
	assert.Empty(t, parts[1].Undecided, "and nothing else")
	p := only3MF(t, model3MF(object3MF(1, "", tetra)+`<object id="2"><components><component objectid="1"/><x:c xmlns:x="urn:x"/></components></object>`, `<item objectid="2"/>`))
	assert.Contains(t, p.Undecided, "<c> in line 15, of the extension")
}

// TestLongNamesAreCut holds that a name is short enough to stand in a report for each of
// many models, and that models stay apart by name.
func TestLongNamesAreCut(t *testing.T) {
	long := strings.Repeat("ü", 300)
	resources := object3MF(1, ` name="`+long+`"`, tetra) + object3MF(2, ` name="`+long+`"`, tetra) + object3MF(3, ` name="`+strings.Repeat("ü", 200)+`"`, tetra)
	parts, _ := parts3MF(t, model3MF(resources, `<item objectid="1"/><item objectid="2"/><item objectid="3"/>`))
	assert.Equal(t, strings.Repeat("ü", 199)+"…", parts[0].Name)
	assert.Equal(t, strings.Repeat("ü", 199)+"… (2)", parts[1].Name)
	assert.Equal(t, strings.Repeat("ü", 200), parts[2].Name)
}
