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
		require.Len(t, parts, len(c.kinds)+1, "with a model beside them they are passed over")
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
	for i := range maxBindings + 1 {
		many += " xmlns:a" + strings.Repeat("b", i) + `="u"`
	}
	_, errs := parts3MF(t, strings.Replace(model3MF(object3MF(1, "", tetra), item1), "<resources>", "<resources><x"+many+"/>", 1))
	assert.ErrorContains(t, errs[0], "line 3: more than 128 prefixes declared at once")
}

// TestPackedAMFOfSeveral holds that none of several files in one AMF is passed over.
func TestPackedAMFOfSeveral(t *testing.T) {
	e := failure(t, "a.amf", string(writeZip(entry{"a.amf", amfText(tetra)}, entry{"b/c.AMF", amfText(tetra)})))
	assert.Equal(t, `a packed AMF holds one AMF file, this one holds 2: "a.amf" and "b/c.AMF"; if it is a pack of models, name it .zip`, e.Error())
}
