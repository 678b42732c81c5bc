package ruleset

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// clips is a folder with known lists.
func clips(names ...string) *catalog.Folder {
	lists := map[string][]string{"models": {"a.stl", "b.stl"}, "copies": {"b.stl (equal to a.stl)"}, "others": {"x.png"}}
	return &catalog.Folder{
		Path: "parts/clips", Name: "clips", Names: names, List: func(value string) []string { return lists[value] },
		Later: func(source func(string) bool) []string {
			return slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !source(n) })
		},
	}
}

// TestARuleOverFolders holds what it sees and how its words name it.
func TestARuleOverFolders(t *testing.T) {
	c, err := loadText(`
rules:
  tidy:
    per: folder
    limits: {most: 1}
    find: folder.models > limits.most and holds("*.png","*.JPG") > 0 and later("*.step") > 0 and not beside("LICENSE*") and folder.path matches "^parts/"
    level: warning
    say: '{folder.models} models in {folder.name}, copies: {which folder.copies}, {holds("*.png", "*.JPG")} images: {which holds("*.png", "*.JPG")}'
    do: 'look at {which later( "*.step" )} in {folder.path}'
    because: more than {limits.most} of them are a mess
`)
	require.NoError(t, err)
	r := rule(t, c.Rules(), "tidy")
	assert.Equal(t, PerFolder, r.Per)
	assert.Equal(t, "each folder that holds models", r.Over())
	assert.Equal(t, "folder", r.Judges())
	assert.False(t, slices.Contains(c.For("parts/clips").Rules, r), "it is no rule over models")
	assert.False(t, r.opens())
	require.Len(t, c.For("parts/clips").Folder, 1)
	assert.False(t, r.ByNames())
	d := clips("a.jpg", "a.step", "a.stl", "b.png", "b.step", "c.step", "d.step", "e.step", "f.step", "g.step")
	values := r.GatherFolder(d)
	holds, err := r.Match(values)
	require.NoError(t, err)
	assert.True(t, holds)
	about := r.AboutFolder(d)
	assert.Equal(t, "2 models in clips, copies: b.stl (equal to a.stl), 2 images: a.jpg, b.png", about.Message(values))
	assert.Equal(t, "look at a.step, b.step, c.step, d.step, e.step and 2 more in parts/clips", about.Action(values))
	assert.Equal(t, []string{"folder.models", `holds("*.png", "*.JPG")`}, about.Says(), "names are no values")
	values = r.GatherFolder(clips("a.step", "b.png", "License.md"))
	holds, err = r.Match(values)
	require.NoError(t, err)
	assert.False(t, holds)
	words, found := r.Example()
	assert.True(t, found, words)
}

// TestMistakesInRulesOverFolders holds what is answered to each.
func TestMistakesInRulesOverFolders(t *testing.T) {
	of := func(per, find string) string {
		return "rules: {mine: {per: " + per + ", find: '" + find + "', level: note, say: s, because: b}}"
	}
	for _, c := range []struct{ text, want string }{
		{of("folder", "folder.copy > 0"), `1:36: nothing here is called "folder.copy" (known here: clash, copies, models, name, others, path, same, uneven)`},
		{of("folder", "copies > 0"), `1:36: nothing here is called "copies"; a rule with per: folder names the measure before the value, as in folder.copies`},
		{of("folder", "size.z > 3 mm"), `1:36: nothing here is called "size.z"; values of a model are for rules with per: model`},
		{of("folder", "count(bridge) > 3"), `1:36: count stands in find, say and do of a rule with per: model, and nowhere else`},
		{of("folder", "process.layer > 1 mm"), `1:36: find names no value of the folder; name one, as in folder.copies > 0`},
		{of("folder", "folder.copies > 1 mm"), `1:52: a bare number on the left of >, but mm on its right`},
		{of("folder", `holds("a/*.png") > 0`), `1:42: the look is into one folder, so names stand without a folder, as in README*`},
		{of("folder", `holds(png) > 0`), `1:42: holds needs a name in quotes, as in holds("*.png")`},
		{of("folder", `holds("*.png")`), `1:36: find must be true or false, this is a bare number; compare it with a limit`},
		{of("folder", `folder.copies / (folder.models - 1) > 1`), `folder.models - 1 can be 0, and nothing can be divided by 0; write max(folder.models - 1, 1) here: then it counts as at least 1`},
		{of("model", `holds("*.png") > 0`), `1:35: holds stands in find, say and do of a rule with per: folder, and nowhere else`},
		{of("model", `folder.copies > 0`), `1:35: nothing here is called "folder.copies"; values of a folder are for rules with per: folder`},
		{"rules: {mine: {find: folder.copies > 0, level: note, say: s, because: b}}", `1:9: rule mine is new and lacks measure; over folders it is written per: folder, without measure`},
		{"rules: {mine: {per: folder, measure: size, find: folder.copies > 0, level: note, say: s, because: b}}", `1:38: a rule with per: folder measures no model and has no measure; leave it out`},
		{"rules: {mine: {per: folder, find: folder.copies > 0, level: note, say: '{which folder.path}', because: b}}", `1:80: nothing here is called "folder.path"`},
		{"rules: {mine: {per: folder, find: folder.copies > 0, level: note, say: '{which holds(\"*\" > 1}', because: b}}", `1:90: `},
		{"rules: {mine: {measure: bridge, find: 'holds(\"*.png\") > 0', level: note, say: s, because: b}}", `holds stands in find of a rule with per: folder, and nowhere else`},
	} {
		_, err := loadText(c.text)
		require.Error(t, err, c.text)
		assert.Contains(t, err.Error(), c.want, c.text)
	}
}
