package lint

import (
	"context"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSeeShowsEveryJudgedModel holds what is handed on: each model once, its findings in
// the order of the report, each with the triangles of its site.
func TestSeeShowsEveryJudgedModel(t *testing.T) {
	files, config := mixed(t), load(t, hangRules)
	var mutex sync.Mutex
	seen := map[string]int{}
	found := 0
	opt := Options{Jobs: 2, See: func(_ context.Context, s *Seen) {
		mutex.Lock()
		defer mutex.Unlock()
		seen[s.Model.Path]++
		assert.Len(t, s.Sites, len(s.Model.Findings), s.Model.Path)
		assert.NotEmpty(t, s.Mesh.Tris)
		assert.Positive(t, s.Process.Layer)
		assert.Positive(t, s.Lean)
		for i, site := range s.Sites {
			if f := &s.Model.Findings[i]; f.Triangle > 0 {
				found++
				assert.Equal(t, f.Triangle, s.Mesh.Source.Of(int(site.Tris[0])).Triangle, "%s: %s", s.Model.Path, f.Rule)
			}
		}
	}}
	r := check(t, config, opt, files...)
	judged := 0
	for i := range r.Models {
		if m := &r.Models[i]; m.Status == "checked" && m.Kind != KindConfig {
			judged++
			assert.Equal(t, 1, seen[m.Path], m.Path)
		}
	}
	assert.Positive(t, judged)
	assert.Len(t, seen, judged)
	assert.Positive(t, found)
}

// TestWhoeverSeesMayFail holds that a picture which breaks changes no verdict.
func TestWhoeverSeesMayFail(t *testing.T) {
	files, config := mixed(t), load(t, hangRules)
	plain := check(t, config, Options{Jobs: 1}, files...)
	broken := check(t, config, Options{Jobs: 1, See: func(context.Context, *Seen) { panic("no ink") }}, files...)
	assert.Equal(t, plain.Summary, broken.Summary)
	noted := 0
	for i := range broken.Models {
		for _, n := range broken.Models[i].Notes {
			if strings.Contains(n, "no picture: the analysis broke off (no ink)") {
				noted++
			}
		}
		assert.Equal(t, plain.Models[i].Findings, broken.Models[i].Findings)
	}
	assert.Positive(t, noted)
}
