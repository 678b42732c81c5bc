package lint

import (
	"context"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestObserversSeeEveryJudgedModel holds what is handed on: each model once, its findings in
// the order of the report, each with the triangles of its site.
func TestObserversSeeEveryJudgedModel(t *testing.T) {
	files, config := mixed(t), load(t, hangRules)
	var mutex sync.Mutex
	seen := map[string]int{}
	found := 0
	opt := Options{Jobs: 2, Observer: ObserverFunc(func(_ context.Context, s *Judged) error {
		mutex.Lock()
		defer mutex.Unlock()
		seen[s.Model.Path]++
		assert.Len(t, s.Surfaces, len(s.Model.Findings), s.Model.Path)
		assert.NotEmpty(t, s.Mesh.Tris)
		assert.Positive(t, s.Process.Layer)
		assert.Positive(t, s.Overhang)
		for i, site := range s.Surfaces {
			if f := &s.Model.Findings[i]; f.Triangle > 0 {
				found++
				assert.Equal(t, f.Triangle, s.Mesh.Source.Of(int(site.Tris[0])).Triangle, "%s: %s", s.Model.Path, f.Rule)
			}
		}
		return nil
	})}
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

// TestNotesOfObserversStand, and change no verdict.
func TestNotesOfObserversStand(t *testing.T) {
	files, config := mixed(t), load(t, hangRules)
	plain := check(t, config, Options{Jobs: 1}, files...)
	noted := check(t, config, Options{Jobs: 1, Observer: ObserverFunc(func(_ context.Context, m *Judged) error {
		m.Note("seen")
		return nil
	})}, files...)
	assert.Equal(t, plain.Summary, noted.Summary)
	n := 0
	for i := range noted.Models {
		assert.Equal(t, plain.Models[i].Findings, noted.Models[i].Findings)
		if slices.Contains(noted.Models[i].Notes, "seen") {
			n++
		}
	}
	assert.Positive(t, n)
}
