package cli

import (
	"encoding/json"
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// cutOf asks for advice on a solid, saves it cut, and returns the advice on the cut, what was
// written, and what was said of it.
func cutOf(t *testing.T, solid *mesh.Triangles) (c *finding.Cut, words string, written *mesh.Mesh, told string) {
	t.Helper()
	dir := t.TempDir()
	path := saveSTL(t, dir, "m.stl", solid)
	code, out, told := run(t, Env{}, "advise", "--format", "json", "--write", filepath.Join(dir, "out"), "--cut", path)
	require.Equal(t, 0, code, told)
	var r finding.Report
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	require.Len(t, r.Models, 1)
	require.NotNil(t, r.Models[0].Advice)
	name := "m.stl"
	if r.Models[0].Advice.Split != nil { // which leaves less
		name = "m-1.stl"
	}
	return r.Models[0].Advice.Cut, r.Models[0].Advice.Words, readSTL(t, filepath.Join(dir, "out", name)), told
}

// TestABallGetsAFlat: its area and what is lost are those of a cap of the ball, and the model
// written is clean, closed and as large as the rest.
func TestABallGetsAFlat(t *testing.T) {
	const r = 20.0
	solid := shapes.Icosphere(r, 5)
	c, words, written, told := cutOf(t, solid)
	require.NotNil(t, c)
	h := c.Height
	assert.Less(t, h, 2.0)
	assert.InEpsilon(t, math.Pi*h*(2*r-h), c.Area, 0.05)
	assert.InEpsilon(t, math.Pi*h*h*(r-h/3), c.Volume, 0.05)
	assert.Contains(t, words, "; if its designer agrees, cut ")
	assert.Contains(t, words, "mm off the bottom: then ")
	assert.Contains(t, words, "lie flat and it prints without support")
	assert.Contains(t, c.Caution, "its designer decides")
	assert.Contains(t, told, "mm cut off the bottom; checked again, no finding as promised")
	assert.InEpsilon(t, mesh.Weld(solid).Volume(), written.Volume()+c.Volume, 1e-5)
	assert.True(t, written.Topology().Closed())
	assert.Zero(t, written.Box().Min.Z)
}

// TestFeetThatAreNotLevel are told of once, with the cut that makes them so.
func TestFeetThatAreNotLevel(t *testing.T) {
	c, words, _, told := cutOf(t, shapes.FiveFeet([5]float64{.3, 0, .5, .6, .9}, 40))
	require.NotNil(t, c)
	assert.Contains(t, words, "four feet begin 0.4 to 0.9 mm above the bed: if its designer agrees, cut ")
	assert.Contains(t, c.Words, "four feet begin 0.4 to 0.9 mm above the bed: cut 1.")
	assert.Zero(t, c.Pose.Findings)
	assert.Equal(t, [3]float64{0, 0, -1}, c.Pose.Down)
	assert.Contains(t, told, "as promised")
}

// TestACutMayLeaveErrors, fewer than before: the belly of the animal still needs support.
func TestACutMayLeaveErrors(t *testing.T) {
	c, _, _, told := cutOf(t, shapes.FourLegs([4]float64{0, .4, .6, .9}, 50))
	require.NotNil(t, c)
	assert.GreaterOrEqual(t, c.Area, 25.0)
	assert.LessOrEqual(t, c.Height, 3.0)
	assert.LessOrEqual(t, c.Pose.Findings.Error, 1)
	assert.Contains(t, told, "as promised")
}

// TestABustGetsAFlat below its shoulders.
func TestABustGetsAFlat(t *testing.T) {
	c, _, _, told := cutOf(t, shapes.Bust(40))
	require.NotNil(t, c)
	assert.Zero(t, c.Pose.Findings)
	assert.Contains(t, told, "checked again, no finding as promised")
}

// TestNoCutWithoutNeed: what prints another way up, or stands well, is not cut, and neither is
// what needs more than may be cut off.
func TestNoCutWithoutNeed(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{
		"T":         shapes.T(),
		"cube":      shapes.Cube(20),
		"table":     shapes.Table(),
		"tiny ball": shapes.Icosphere(2, 3),
	} {
		c, words, _, told := cutOf(t, solid)
		assert.Nil(t, c, name)
		assert.NotContains(t, words, "cut ", name)
		assert.Contains(t, told, "nothing cut off since no cut is advised", name)
	}
}

// TestCutGoesWithWrite.
func TestCutGoesWithWrite(t *testing.T) {
	code, _, complaints := run(t, Env{}, "advise", "--cut", "m.stl")
	assert.Equal(t, 2, code)
	assert.Contains(t, complaints, "--cut goes with --write DIR")
}

// without leaves out the triangles that begin near a place.
func without(s *mesh.Triangles, at shapes.Vec, near float64) *mesh.Triangles {
	left := &mesh.Triangles{}
	for i := range s.Count() {
		if c := s.Corners[3*i : 3*i+3]; mesh.Of64(c[0]).Sub(at).Len() > near {
			left.Corners = append(left.Corners, c...)
		}
	}
	return left
}

// TestAnOpenModelIsClosedFirst: where a flat hole is missing, what is written is closed; where
// what is missing has to be guessed, no cut is advised, and the words say why.
func TestAnOpenModelIsClosedFirst(t *testing.T) {
	ball := shapes.Icosphere(20, 4)
	c, _, written, _ := cutOf(t, &mesh.Triangles{Corners: ball.Corners[3:]})
	require.NotNil(t, c)
	assert.True(t, written.Topology().Closed())
	c, words, _, _ := cutOf(t, without(ball, shapes.Vec{X: 20}, 5))
	assert.Nil(t, c)
	assert.Contains(t, words, "close its surface first, then a place to cut it can be looked for")
}
