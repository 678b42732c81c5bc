package advise

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/shapes"
	"printlint/internal/support"
	"printlint/internal/work"
)

// TestLumps: what is drawn into each other is one, and a hollow is no part of its own.
func TestLumps(t *testing.T) {
	assert.Len(t, lumps(mesh.Weld(shapes.Figure()), true), 1)
	assert.Len(t, lumps(mesh.Weld(shapes.HollowBox(20, 2)), false), 1)
	cup := shapes.Blocks([]float64{0, 5, 25, 30}, []float64{0, 5, 25, 30}, []float64{0, 5, 30}, func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 })
	inside := shapes.Join(cup, shapes.Move(shapes.Cube(10), mesh.Vec{X: 10, Y: 10, Z: 7}))
	assert.Len(t, lumps(mesh.Weld(inside), false), 2, "the cube in the cup touches nothing")
	assert.Len(t, lumps(mesh.Weld(inside), true), 1)
	two := lumps(mesh.Weld(shapes.FloatingCube()), true)
	require.Len(t, two, 2)
	assert.InDelta(t, 8000, two[0].volume, 1e-3)
}

// TestPiecesThatNobodyGlues: a sheet, and a crumb beside what is large.
func TestPiecesThatNobodyGlues(t *testing.T) {
	horned := shapes.Join(shapes.Cube(30), shapes.Box(mesh.Vec{X: 10, Y: 10, Z: 30}, mesh.Vec{X: 20, Y: 20, Z: 50}), shapes.Box(mesh.Vec{X: 22, Y: 22, Z: 30}, mesh.Vec{X: 25, Y: 25, Z: 40}))
	for name, c := range map[string]struct {
		solid *mesh.Triangles
		z     float64
		sound bool
	}{
		"halves": {shapes.Cube(30), 15, true},
		"sheet":  {shapes.Cube(30), 28, false},
		"legs":   {shapes.Table(), 15, true},
		"crumb":  {horned, 32, false},
		"horn":   {horned, 43, true},
	} {
		m := mesh.Weld(c.solid)
		pieces, err := along(work.Of(t.Context()), m, []plane{{normal: mesh.Vec{Z: 1}, offset: c.z}})
		require.NoError(t, err)
		require.Len(t, pieces, 2)
		assert.Equal(t, c.sound, sound(pieces, len(lumps(m, false)) > 1, m.Volume()), name)
	}
}

// TestDrawnPartsAreCutSquare: a bracket only along its axes and large faces, a body without any also aslant.
func TestDrawnPartsAreCutSquare(t *testing.T) {
	aslant := []pose.Candidate{{Down: mesh.Vec{X: 1, Y: 1, Z: 1}.Unit(), Contact: 100}}
	assert.Len(t, normals(mesh.Weld(shapes.T()), aslant), 3)
	assert.Greater(t, len(normals(mesh.Weld(shapes.Icosphere(20, 3)), aslant)), 3)
}

// TestWhatPays: a change that leaves no error is told of; one that needs support only where it
// is better than the model as it is, and pieces only where glue is not much more work.
func TestWhatPays(t *testing.T) {
	way := func(errors, left int, minutes float64) wayUp {
		o := &outcome{figures: figures{Errors: errors, Minutes: minutes}, leftOver: left}
		if minutes > 0 {
			o.structures = append(o.structures, support.Structure{})
		}
		return wayUp{Candidate: pose.Candidate{Origin: pose.AsItLies}, outcome: o}
	}
	best := way(3, 0, 8)
	for name, c := range map[string]struct {
		to   wayUp
		pays bool
	}{
		"clean": {way(0, 0, 0), true}, "less support": {way(2, 0, 2), true}, "as much work": {way(2, 0, 5), false}, "an error left": {way(2, 1, 1), false},
	} {
		n := changed{wayUp: c.to}
		assert.Equal(t, c.pays, n.pays(sinkWork, &best), name)
	}
	pieces := func(onCut bool, joints int, one wayUp) *split {
		a, b := one, way(0, 0, 0)
		if !onCut {
			a.Origin, b.Origin = pose.Rest, pose.Rest
		}
		return &split{pieces: []*laid{{wayUp: a}, {wayUp: b}}, joints: joints, planes: []plane{{seam: 40}}}
	}
	clean, helped := way(0, 0, 0), way(1, 0, 1)
	assert.True(t, pieces(true, 1, clean).pays(&best))
	assert.True(t, pieces(true, 4, clean).pays(&best), "19 minutes of glue for 8 of support")
	assert.False(t, pieces(true, 12, clean).pays(&best), "43 minutes of glue")
	assert.True(t, pieces(false, 1, clean).pays(&best), "each lies on its own flat, and the cuts look up")
	large := way(3, 0, 30)
	assert.True(t, pieces(true, 1, helped).pays(&large), "10 minutes of glue, 2 of the seam and 1 of support instead of 30")
	fair := way(3, 0, 20)
	assert.False(t, pieces(true, 1, helped).pays(&fair), "nobody cuts it and takes support off for 7 minutes")
	stuck := way(3, 1, 20)
	assert.True(t, pieces(true, 1, helped).pays(&stuck), "as it is, support does not cure all errors")
	assert.False(t, pieces(true, 4, helped).pays(&large), "9 more")
	assert.False(t, pieces(false, 1, helped).pays(&large), "no piece stands on the cut, and one needs support")
	little := way(1, 0, 1)
	assert.False(t, pieces(true, 1, clean).pays(&little))
}
