package ruleset

import (
	"testing"

	"github.com/stretchr/testify/require"
)

var sink int

// BenchmarkLoad reads the example with its sets and places, as each run begins.
func BenchmarkLoad(b *testing.B) {
	files := one(string(example(b)))
	files[".printlint-accepted.yml"] = "version: 1\naccepted: []\n"
	b.ReportAllocs()
	for b.Loop() {
		c, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files)})
		if err != nil {
			b.Fatal(err)
		}
		sink += len(c.Rules())
	}
}

// BenchmarkMatch judges one site by one rule, the innermost step of a run.
func BenchmarkMatch(b *testing.B) {
	c, err := Load("", Options{Catalog: fixture(), sets: frozen})
	require.NoError(b, err)
	for _, r := range c.Rules() {
		if r.ID != "rough-underside" {
			continue
		}
		values := []float64{50, 1.5, 1.5, 30, 8, 8}
		b.ReportAllocs()
		for b.Loop() {
			if ok, _ := r.Match(values); ok {
				sink++
			}
		}
	}
	require.Positive(b, sink)
}

// TestMatchDoesNotAllocate holds what the hot path promises.
func TestMatchDoesNotAllocate(t *testing.T) {
	c, err := Load("", Options{Catalog: fixture(), sets: frozen})
	require.NoError(t, err)
	for _, r := range c.Rules() {
		values := make([]float64, len(r.def.Values))
		require.Zero(t, testing.AllocsPerRun(100, func() {
			if ok, _ := r.Match(values); ok {
				sink++
			}
		}), r.ID)
	}
}
