package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// pinnedBar asks for a bar in pieces for a small bed, with holes for pins.
func pinnedBar(t *testing.T, solid *mesh.Triangles, config string) (s *finding.Split, pieces []*mesh.Mesh, told string) {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte("version: 1\nprocess: {bed: [100 mm, 100 mm, 100 mm]}\n"+config), 0o600))
	path := saveSTL(t, dir, "m.stl", solid)
	code, out, told := run(t, Env{}, "advise", "--format", "json", "--write", filepath.Join(dir, "out"), "--cut", "--pins", path)
	require.Equal(t, 0, code, told)
	var r finding.Report
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	s = r.Models[0].Advice.Split
	require.NotNil(t, s)
	for i := range s.Pieces {
		pieces = append(pieces, readSTL(t, filepath.Join(dir, "out", fmt.Sprintf("m-%d.stl", i+1))))
	}
	return s, pieces, told
}

// TestABarWithPins: cut in two, each piece has two holes for pins of 4 mm in its cut, and lacks
// just their volume.
func TestABarWithPins(t *testing.T) {
	s, pieces, told := pinnedBar(t, shapes.Box(mesh.Vec{}, mesh.Vec{X: 160, Y: 30, Z: 20}), "")
	require.Len(t, s.Pins.Holes, 2)
	require.Len(t, pieces, 2)
	// a regular polygon of 32 sides around a circle of 2.2 mm, 8.5 mm deep
	hole := 32 * 2.2 * 2.2 * math.Tan(math.Pi/32) * 8.5
	for i, m := range pieces {
		assert.True(t, m.Topology().Closed())
		assert.InEpsilon(t, 80*30*20-2*hole, m.Volume(), 1e-6)
		assert.Contains(t, told, fmt.Sprintf("piece %d of 2; checked again, no finding as promised", i+1))
	}
	for _, h := range s.Pins.Holes {
		assert.Equal(t, finding.PinHole{Plane: 0, At: h.At, Width: 4.4, Depth: 8.5, Pin: 4, Length: 16}, h)
		assert.InDelta(t, 80, h.At[0], 1e-9)
		for k, end := range map[int]float64{1: 30, 2: 20} {
			assert.GreaterOrEqual(t, min(h.At[k], end-h.At[k]), 2.2+1.6, "wall beside the hole")
		}
	}
	a, b := s.Pins.Holes[0].At, s.Pins.Holes[1].At
	assert.Greater(t, math.Hypot(a[1]-b[1], a[2]-b[2]), 20.0, "far apart")
}

// TestPinsAreLeftOut where a rule finds something on a piece with holes that it does not find on
// the plain one. A rule that only thick holes break leaves the thin ones.
func TestPinsAreLeftOut(t *testing.T) {
	bar := shapes.Box(mesh.Vec{}, mesh.Vec{X: 160, Y: 30, Z: 20})
	rule := "rules:\n  no-hole:\n    measure: hole\n    find: diameter > %s\n    level: %s\n    say: hole of {diameter}\n    do: fill it\n    because: a test\n"
	s, pieces, told := pinnedBar(t, bar, fmt.Sprintf(rule, "1 mm", "note"))
	assert.Empty(t, s.Pins.Holes)
	assert.Equal(t, "no holes for pins: with them the rule no-hole finds more", s.Pins.Words)
	for i, m := range pieces {
		assert.InEpsilon(t, 80*30*20, m.Volume(), 1e-6)
		assert.Contains(t, told, fmt.Sprintf("piece %d of 2 without holes for pins; checked again, no finding as promised", i+1))
	}
	s, pieces, told = pinnedBar(t, bar, fmt.Sprintf(rule, "3 mm", "warning"))
	require.Len(t, s.Pins.Holes, 2)
	for _, h := range s.Pins.Holes {
		assert.Equal(t, 1.75, h.Pin)
	}
	assert.NotContains(t, told, "without holes")
	assert.Less(t, pieces[0].Volume(), 80*30*20-20.0)
}

// TestPinsByTheProcess: the hole is wider by the gap of the process on either side.
func TestPinsByTheProcess(t *testing.T) {
	s, _, _ := pinnedBar(t, shapes.Box(mesh.Vec{}, mesh.Vec{X: 160, Y: 30, Z: 20}), "")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte("version: 1\nprocess: {bed: [100 mm, 100 mm, 100 mm], gap: {holds: 0.35 mm}}\n"), 0o600))
	path := saveSTL(t, dir, "m.stl", shapes.Box(mesh.Vec{}, mesh.Vec{X: 160, Y: 30, Z: 20}))
	code, out, told := run(t, Env{}, "advise", "--write", filepath.Join(dir, "out"), "--cut", "--pins", path)
	require.Equal(t, 0, code, told)
	assert.Contains(t, s.Pins.Words, "4.4 mm wide")
	assert.Contains(t, out, "for 2 pins 4 mm thick and 16 mm long, each hole 4.7 mm wide and 8.5 mm deep")
}
