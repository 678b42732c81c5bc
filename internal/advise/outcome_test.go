package advise

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/support"
	"printlint/internal/verdict"
)

// asked is the question after a solid by the rules of the set standard.
func asked(t *testing.T, solid *mesh.Triangles) *Question {
	t.Helper()
	config, err := ruleset.Load("", ruleset.Options{Catalog: measure.Catalog()})
	require.NoError(t, err)
	s := verdict.New(mesh.Weld(solid), "", config.For("m.stl"), Extra...)
	results, err := s.Body.Measure(context.Background(), measure.AsIs, s.View.Process, measure.Options{Jobs: 1}, s.Requests)
	require.NoError(t, err)
	v, err := s.Judge(results)
	require.NoError(t, err)
	return &Question{Options: Options{Depth: Full}, AsItLies: v, Findings: verdict.Unite([]*verdict.Verdict{v}).Findings(nil), Config: config, Path: "m.stl", Jobs: 1}
}

// TestStandingOnSupportIsARisk, where a rule warns that the body would fall without it as
// where one has it for an error. A coarse look knows as much.
func TestStandingOnSupportIsARisk(t *testing.T) {
	q := asked(t, shapes.Slab(5))
	down := mesh.Vec{X: -1, Z: -.3}.Unit()
	out, err := q.at(context.Background(), down, false)
	require.NoError(t, err)
	warned := false
	for i := range out.hits {
		h := &out.hits[i]
		of := out.measureOf(h.Rule)
		warned = warned || h.Level == finding.Warning && of == measure.Stability.Name() && out.held(h, of)
	}
	require.True(t, warned, "the slab on its edge stands on support")
	cured := 0
	for _, c := range out.left() {
		if c.Cured {
			assert.Equal(t, finding.Error, c.Level)
			cured++
		}
	}
	assert.Positive(t, cured)
	assert.Equal(t, out.Carried, cured, "what support cures is told by rule")
	p := out.View.Process
	print := support.Minutes(support.Plastic(out.Mesh.Volume(), out.Mesh.Area(), p), p)
	assert.InDelta(t, (balancing+heldUp)*print, out.Risk, 1e-9)
	out, err = q.at(context.Background(), down, true)
	require.NoError(t, err)
	assert.Greater(t, out.Risk, (balancing+0.9*heldUp)*print)
}

// TestWhatSupportCuresHasSupport, be it a place that is too small for support beside others.
func TestWhatSupportCuresHasSupport(t *testing.T) {
	crumb := shapes.Box(mesh.Vec{X: 30, Z: 10}, mesh.Vec{X: 31.2, Y: 1.2, Z: 14})
	q := asked(t, shapes.Join(shapes.Cube(20), crumb))
	out, err := q.at(context.Background(), pose.Down, false)
	require.NoError(t, err)
	assert.Equal(t, 1, out.Errors)
	assert.True(t, out.left()[0].Cured)
	require.Len(t, out.structures, 1)
	assert.InDelta(t, 1.44, out.structures[0].Below.Area, 0.3)
	assert.Positive(t, out.total.Grams)
}
