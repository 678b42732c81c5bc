package verdict

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

const ownProcess = "process: {nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bed: [220 mm, 220 mm, 250 mm]}\n"

const wholeRules = `rules:
  tall: {per: model, find: size.z > 30 mm, level: warning, say: "{size.z}", because: b}
  pieces: {per: model, find: mesh.shells > 1 or mesh.volume > 99999 mm3, level: error, say: "{mesh.shells}", because: b}
  bridges: {per: model, limits: {long: 20 mm}, find: "count(bridge, span > limits.long) > 1", level: error, say: "{count(bridge, span > limits.long)}", because: b}
`

// twoPortals have a bridge each, of which the second is higher.
func twoPortals(at mesh.Vec) *mesh.Triangles {
	return shapes.Move(shapes.Join(shapes.Portal(40), shapes.Move(shapes.Portal(50), mesh.Vec{X: 100})), at)
}

// judgeWhole judges a solid by rules over the whole model alone.
func judgeWhole(t *testing.T, set string, solid *mesh.Triangles) *Verdict {
	t.Helper()
	s := New(mesh.Weld(solid), "", ruled(t, "pla", ownProcess+set))
	results, err := s.Body.Measure(context.Background(), measure.AsIs, s.View.Process, measure.Options{}, s.Requests)
	require.NoError(t, err)
	v, err := s.Judge(results)
	require.NoError(t, err)
	return v
}

// TestWhereTheWholeModelIsFound holds where such findings stand, and that they are known
// again when the model is moved.
func TestWhereTheWholeModelIsFound(t *testing.T) {
	v := judgeWhole(t, wholeRules, twoPortals(mesh.Vec{}))
	list := Unite([]*Verdict{v}).Findings(nil)
	require.Len(t, list, 2)
	assert.Equal(t, "pieces", list[0].Rule)
	assert.Equal(t, finding.Values{{Name: "mesh.shells", Value: 2}, {Name: "mesh.volume", Unit: "mm3", Value: finding.Round(v.Mesh.Volume())}}, list[0].Values)
	assert.Zero(t, list[0].Triangle, "nothing in particular is at fault")
	bridges := list[1]
	assert.Equal(t, "2", bridges.Message)
	assert.NotZero(t, bridges.Triangle, "the first of the bridges")
	assert.Less(t, bridges.Box[1][0]-bridges.Box[0][0], v.Mesh.Box().Size().X)
	assert.Greater(t, bridges.Box[1][0]-bridges.Box[0][0], 100.0, "both bridges are in it")
	moved := Unite([]*Verdict{judgeWhole(t, wholeRules, twoPortals(mesh.Vec{X: 7.3, Y: -4.1, Z: 2}))}).Findings(nil)
	require.Len(t, moved, 2)
	for i := range list {
		assert.Equal(t, list[i].Fingerprint, moved[i].Fingerprint)
	}
	taller := Unite([]*Verdict{judgeWhole(t, wholeRules, shapes.Join(twoPortals(mesh.Vec{}), shapes.Box(mesh.Vec{Y: 50}, mesh.Vec{X: 40, Y: 80, Z: 60})))}).Findings(nil)
	require.Len(t, taller, 3)
	assert.Equal(t, list[0].Fingerprint, taller[0].Fingerprint, "the same trouble on a changed model")
}

// TestARuleAsksForNoMore holds that a rule over the mesh needs no layers.
func TestARuleAsksForNoMore(t *testing.T) {
	view := ruled(t, "pla", ownProcess+"rules: {pieces: {per: model, find: mesh.shells > 1, level: error, say: s, because: b}}")
	s := New(mesh.Weld(shapes.Cube(20)), "", view)
	assert.Equal(t, []measure.Request{measure.Mesh.Request(measure.None{})}, s.Requests)
	assert.False(t, Turns(view.Rules[0]))
	view = ruled(t, "pla", ownProcess+"rules: {tall: {per: model, find: size.z > 9 mm, level: error, say: s, because: b}}")
	s = New(mesh.Weld(shapes.Cube(20)), "", view)
	assert.Equal(t, []measure.Request{measure.Size.Request(measure.None{})}, s.Requests, "its size is seen without layers")
	assert.True(t, Turns(view.Rules[0]))
}

// TestTheWholeModelIsEveryPlace lets rules over places and over the whole model yield to
// each other.
func TestTheWholeModelIsEveryPlace(t *testing.T) {
	set := func(milder, worse string) string {
		return "rules:\n  milder: {" + milder + ", yields-to: [worse], level: warning, say: s, because: b}\n  worse: {" + worse + ", level: error, say: s, because: b}\n"
	}
	const place, whole = "measure: bridge, find: span > 20 mm", "per: model, find: 'count(bridge, span > 20 mm) > 1'"
	for _, text := range []string{set(place, whole), set(whole, place), set("per: model, find: size.z > 1 mm", whole)} {
		for _, f := range Unite([]*Verdict{judgeWhole(t, text, twoPortals(mesh.Vec{}))}).Findings(nil) {
			assert.Equal(t, "worse", f.Rule, text)
		}
	}
}
