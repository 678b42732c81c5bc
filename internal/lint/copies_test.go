package lint

import (
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/report"
	"printlint/internal/shapes"
)

// sevenfold is one model under seven names, and another of the same size.
func sevenfold(t testing.TB) (files []collection.File) {
	for _, name := range []string{"a/t.stl", "a/u.stl", "b/t.stl", "b/u.stl", "c/t.STL", "c/my t.stl", "pack.zip!/t.stl"} {
		files = append(files, model(t, name, shapes.T()))
	}
	return append(files, model(t, "other.stl", shapes.Scale(shapes.T(), 0.5)))
}

// oneByOne judges each file in a run of its own, and joins the models.
func oneByOne(t testing.TB, text string, files []collection.File) (models []finding.Model) {
	for i := range files {
		for _, m := range check(t, load(t, text), Options{Jobs: 1, Advice: advise.Options{Depth: advise.Short}}, files[i]).Models {
			if m.Kind != finding.KindConfig {
				models = append(models, m)
			}
		}
	}
	return models
}

// TestCopiesAreJudgedOnce holds that content is read as a model once, however many names it
// has, and that each name gets what it would have got alone.
func TestCopiesAreJudgedOnce(t *testing.T) {
	const placed = "places:\n  - {paths: [\"b/**\"], rules: {hangs: {level: warning}}}\n"
	for _, c := range []struct {
		name, more string
		judged     int // of the eight
	}{
		{"nothing by name", "", 2},
		{"another level at a place", placed, 3},
		{"a waiver of one", "waivers: [{path: a/u.stl, rule: hangs, reason: x}]\n", 8},
		{"a rule over the name", "  spaced: {per: model, find: 'file.name matches \" \"', level: error, say: a blank, because: b}\n", 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := sevenfold(t)
			var hashes int64
			for i := range files {
				hashes += files[i].Size
			}
			var alone, together atomic.Int64
			check(t, load(t, hangRules+c.more), Options{Jobs: 1}, counting(files[:1], &alone)...)
			each := alone.Load() - files[0].Size // what reading a model takes beside its hash
			require.Positive(t, each)
			r := check(t, load(t, hangRules+c.more), Options{Jobs: 3, Advice: advise.Options{Depth: advise.Short}}, counting(files, &together)...)
			assert.Equal(t, int64(c.judged)*each, together.Load()-hashes)
			models := oneByOne(t, hangRules+c.more, files)
			want := *r
			want.Models = nil
			for i := range r.Models {
				for k := range models {
					if models[k].Path == r.Models[i].Path {
						want.Models = append(want.Models, models[k])
					}
				}
			}
			for _, format := range report.Formats() {
				assert.Equal(t, bytesOf(t, format, &want), bytesOf(t, format, r), format)
			}
		})
	}
}

// TestCopiesOfWhatCannotBeRead holds that each name of a broken model says what is wrong.
func TestCopiesOfWhatCannotBeRead(t *testing.T) {
	broken := []byte("solid x\nfacet normal 0 0 1\n")
	r := check(t, load(t, hangRules), Options{Jobs: 2}, fileOf("a.stl", broken), fileOf("b.stl", broken), fileOf("c.stl", broken))
	require.Len(t, r.Models, 3)
	for i := range r.Models {
		assert.Equal(t, finding.Unreadable, r.Models[i].Status)
		assert.NotZero(t, r.Models[i].Line)
	}
	assert.Equal(t, "b.stl", r.Models[1].Path)
}
