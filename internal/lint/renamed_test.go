package lint

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/shapes"
)

// leftIn runs over files and lists what is not accepted.
func leftIn(t *testing.T, accepted string, around Around, files ...collection.File) []string {
	t.Helper()
	return left(check(t, loadWith(t, accepted), Options{Around: around}, files...))
}

// TestCopiesAreNotAccepted holds that what was accepted on a model serves one model: the
// one under its path, or else one that took its place.
func TestCopiesAreNotAccepted(t *testing.T) {
	at := func(path string) collection.File { return model(t, path, shapes.T()) }
	was := acceptedText(t, hangRules, at("m.stl"))
	twice := func(path string) []string { return []string{path + " hangs", path + " hangs"} }
	gone := Around{There: func(string) bool { return false }}
	assert.Empty(t, leftIn(t, was, gone, at("renamed.stl")))
	assert.Equal(t, twice("copy.stl"), leftIn(t, was, gone, at("copy.stl"), at("m.stl")), "the original is there")
	assert.Equal(t, twice("copy2.stl"), leftIn(t, was, gone, at("copy1.stl"), at("copy2.stl")), "one takes its place")
	assert.Equal(t, twice("copy2.stl"), leftIn(t, was, gone, at("copy2.stl"), at("copy1.stl")), "whichever comes first")
	there := Around{There: func(path string) bool { return path == "m.stl" }}
	assert.Equal(t, twice("copy.stl"), leftIn(t, was, there, at("copy.stl")), "the original is there, but not in the run")
	gone.Rest = func() ([]collection.File, error) { return []collection.File{at("moved.stl"), at("copy.stl")}, nil }
	assert.Equal(t, twice("copy.stl"), leftIn(t, was, gone, at("copy.stl")), "another that lies there already took its place")
}

// TestRenamesAreFollowedInPacks holds the same of models in packs.
func TestRenamesAreFollowedInPacks(t *testing.T) {
	at := func(path string) collection.File { return model(t, path, shapes.T()) }
	was := acceptedText(t, hangRules, at("p.zip!/m.stl"))
	only := func(there string) Around { return Around{There: func(path string) bool { return path == there }} }
	assert.Empty(t, leftIn(t, was, only(""), at("new.zip!/m.stl")), "the pack was renamed")
	assert.Empty(t, leftIn(t, was, only("p.zip"), at("p.zip!/n.stl")), "a model in the pack was")
	assert.Len(t, leftIn(t, was, only("p.zip"), at("new.zip!/m.stl")), 2, "the pack is there, and nobody looked into it")
	broken := collection.New("p.zip", "p.zip", 3, func() (collection.Content, error) { return nil, os.ErrInvalid })
	assert.Len(t, leftIn(t, was, only("p.zip"), at("new.zip!/m.stl"), broken), 2, "the pack cannot be opened")
}

// TestSharesAgreeOnRenames holds that renames are settled by the whole run, so that a
// share accepts what the run in one piece does, and merged it is the same.
func TestSharesAgreeOnRenames(t *testing.T) {
	at := func(path string) collection.File { return model(t, path, shapes.T()) }
	was := acceptedText(t, hangRules, at("m.stl"), at("n.stl"))
	files := []collection.File{at("a.stl"), at("b.stl"), at("c.stl"), model(t, "d.stl", shapes.Cube(10))}
	opt := Options{Whole: true, Around: Around{All: files, There: func(string) bool { return false }}}
	one := check(t, loadWith(t, was), opt, files...)
	assert.Equal(t, []string{"c.stl hangs", "c.stl hangs"}, left(one))
	for _, count := range []int{1, 2, 4} {
		var list []*finding.Report
		for k := 1; k <= count; k++ {
			opt.Shard = &finding.Shard{Index: k, Count: count, All: ListingOf(files)}
			list = append(list, check(t, loadWith(t, was), opt, collection.Shard(files, k, count)...))
		}
		merged, _, err := Merge(list, make([]string, count))
		require.NoError(t, err)
		assert.Equal(t, bytesOf(t, "json", one), bytesOf(t, "json", merged))
	}
}

// TestOnlyFilesOfTheRightSizeAreHashed holds that looking for renames reads little.
func TestOnlyFilesOfTheRightSizeAreHashed(t *testing.T) {
	was := acceptedText(t, hangRules, model(t, "m.stl", shapes.T()))
	opened := 0
	count := func(path string, size int64) collection.File {
		return collection.New(path, path, size, func() (collection.Content, error) { opened++; return nil, os.ErrInvalid })
	}
	size := model(t, "m.stl", shapes.T()).Size
	require.NoError(t, follow(context.Background(), loadWith(t, was).NewUsage(), []collection.File{count("a.stl", size), count("b.stl", size+1)}, Around{}))
	assert.Equal(t, 1, opened)
}
