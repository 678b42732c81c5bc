package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// splitOf asks for advice on a solid, saves what is advised, and returns the advice on pieces,
// the pieces written, and what was said of them.
func splitOf(t *testing.T, solid *mesh.Triangles, config string) (a *finding.Advice, pieces []*mesh.Mesh, told string) {
	t.Helper()
	dir := t.TempDir()
	if config != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte("version: 1\n"+config), 0o600))
	}
	path := saveSTL(t, dir, "m.stl", solid)
	code, out, told := run(t, Env{}, "advise", "--format", "json", "--write", filepath.Join(dir, "out"), "--cut", path)
	require.Equal(t, 0, code, told)
	var r finding.Report
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	require.Len(t, r.Models, 1)
	a = r.Models[0].Advice
	require.NotNil(t, a)
	if a.Split != nil {
		for i := range a.Split.Pieces {
			pieces = append(pieces, readSTL(t, filepath.Join(dir, "out", fmt.Sprintf("m-%d.stl", i+1))))
		}
	}
	return a, pieces, told
}

// cross is three rods along the axes through one place.
func cross() *mesh.Triangles {
	at := func(end float64) []float64 { return []float64{-end, -4, 4, end} }
	return shapes.Blocks(at(30), at(30.5), at(31), func(i, j, k int) bool {
		return i == 1 && j == 1 || j == 1 && k == 1 || i == 1 && k == 1
	})
}

// TestACrossIsCutInTwo: no way up is clean, and the two pieces are, each laid on the cut.
func TestACrossIsCutInTwo(t *testing.T) {
	a, pieces, told := splitOf(t, cross(), "")
	require.NotNil(t, a.Split)
	assert.Contains(t, a.Words, "; or, if its designer agrees, cut it in two pieces, ")
	assert.Contains(t, a.Words, ": then both print without support")
	require.Len(t, a.Split.Planes, 1)
	require.Len(t, pieces, 2)
	sum := 0.0
	for i, m := range pieces {
		p := a.Split.Pieces[i]
		assert.True(t, m.Topology().Closed())
		assert.InEpsilon(t, p.Volume, m.Volume(), 1e-3)
		assert.InDelta(t, p.Size[2], m.Box().Size().Z, 0.01)
		assert.Zero(t, p.Pose.Findings)
		assert.Contains(t, told, fmt.Sprintf("m-%d.stl: written from ", i+1))
		assert.Contains(t, told, fmt.Sprintf(", piece %d of 2; checked again, no finding as promised", i+1))
		sum += m.Volume()
	}
	assert.InEpsilon(t, mesh.Weld(cross()).Volume(), sum, 1e-6)
	assert.Contains(t, a.Split.Caution, "its designer decides")
}

// TestRoundPartsAreCutAcross: one flange of a spool comes off at the stem, whichever way it lies, and an axle
// is cut between its wheels, which stay round, though a flat on them would do without errors.
func TestRoundPartsAreCutAcross(t *testing.T) {
	spool := shapes.Revolve(shapes.Polygon{{0, 0}, {30, 0}, {30, 5}, {8, 5}, {8, 55}, {30, 55}, {30, 60}, {0, 60}}, 72)
	axle := shapes.Revolve(shapes.Polygon{{0, 0}, {16, 0}, {16, 8}, {4, 8}, {4, 52}, {16, 52}, {16, 60}, {0, 60}}, 72)
	for name, c := range map[string]struct {
		solid *mesh.Triangles
		axis  int
		at    float64
	}{
		"spool": {spool, 2, 55}, "spool that lies": {shapes.OnBed(shapes.Turn(spool, shapes.X, 90)), 1, -5},
		"axle": {shapes.OnBed(shapes.Turn(axle, shapes.X, 90)), 1, -30},
	} {
		a, pieces, told := splitOf(t, c.solid, "")
		require.NotNil(t, a.Split, name)
		require.Len(t, a.Split.Planes, 1, name)
		assert.InDelta(t, 1, a.Split.Planes[0].Normal[c.axis], 1e-9, name)
		assert.InDelta(t, c.at, a.Split.Planes[0].Offset, 0.6, name)
		sum := 0.0
		for i, m := range pieces {
			assert.True(t, m.Topology().Closed(), name)
			assert.Zero(t, a.Split.Pieces[i].Pose.Findings, name)
			assert.Contains(t, told, fmt.Sprintf(", piece %d of 2; checked again, no finding as promised", i+1), name)
			sum += m.Volume()
		}
		assert.InEpsilon(t, mesh.Weld(c.solid).Volume(), sum, 1e-6, name)
	}
}

// TestTwoCuts where one leaves something, or a seam along all of a round part: the bowl of a chalice
// comes off its foot, and its floor off the bowl; of three flanges two come off.
func TestTwoCuts(t *testing.T) {
	chalice := shapes.Revolve(shapes.Polygon{
		{0, 0}, {22, 0}, {22, 3}, {5, 8}, {4, 30}, {6, 34}, {20, 36}, {26, 44}, {26, 70}, {24, 70}, {24, 45}, {18, 38}, {0, 38},
	}, 72)
	flanges := shapes.Revolve(shapes.Polygon{
		{0, 0}, {28, 0}, {28, 4}, {9, 4}, {9, 30}, {28, 30}, {28, 34}, {9, 34}, {9, 60}, {28, 60}, {28, 64}, {0, 64},
	}, 72)
	for name, solid := range map[string]*mesh.Triangles{"chalice": chalice, "flanges": flanges} {
		a, pieces, told := splitOf(t, solid, "")
		require.NotNil(t, a.Split, name)
		require.Len(t, a.Split.Planes, 2, name)
		require.Len(t, pieces, 3, name)
		assert.Contains(t, a.Split.Words, "cut it in three pieces, level, at z = ", name)
		assert.Contains(t, a.Split.Words, ": then all print without support", name)
		sum := 0.0
		for i, m := range pieces {
			assert.True(t, m.Topology().Closed(), name)
			assert.Zero(t, m.Box().Min.Z, name)
			assert.Contains(t, told, fmt.Sprintf(", piece %d of 3; checked again, no finding as promised", i+1), name)
			sum += m.Volume()
		}
		assert.InEpsilon(t, mesh.Weld(solid).Volume(), sum, 1e-6, name)
	}
}

// TestWhatIsLargerThanTheBed is cut so that each piece fits.
func TestWhatIsLargerThanTheBed(t *testing.T) {
	a, pieces, told := splitOf(t, shapes.Box(mesh.Vec{}, mesh.Vec{X: 250, Y: 30, Z: 20}), "process: {bed: [100 mm, 100 mm, 100 mm]}\n")
	require.NotNil(t, a.Split)
	require.Len(t, pieces, 3)
	for i, m := range pieces {
		size := m.Box().Size()
		assert.LessOrEqual(t, max(size.X, size.Y, size.Z), 100.0)
		assert.Contains(t, told, fmt.Sprintf("piece %d of 3; checked again, no finding as promised", i+1))
	}
	assert.Contains(t, a.Words, "cut it in three pieces, upright, at x = ")
	assert.Contains(t, a.Words, "all print without support")
}

// TestNoPiecesWithoutNeed: what turning or a flat cures is not cut in pieces.
func TestNoPiecesWithoutNeed(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{
		"T": shapes.T(), "cube": shapes.Cube(20), "table": shapes.Table(), "ball": shapes.Icosphere(20, 4), "bust": shapes.Bust(40),
	} {
		a, _, told := splitOf(t, solid, "")
		assert.Nil(t, a.Split, name)
		assert.NotContains(t, a.Words, "pieces", name)
		assert.NotContains(t, told, "piece 1", name)
	}
}
