package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// whole is all bodies of a model as one mesh.
func whole(t *testing.T, path string) *mesh.Mesh {
	t.Helper()
	for _, m := range shelf {
		if m.path == path {
			return mesh.Weld(shapes.Join(m.bodies()...))
		}
	}
	require.Fail(t, "no such model", path)
	return nil
}

// lowest and steepest describe how a mesh stands: its flat area within 0.05 mm of its
// lowest point, and the steepest lean from vertical of anything above that, in deg.
func stands(m *mesh.Mesh) (flat, steepest float64) {
	floor := m.Box().Min.Z + 0.05
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		n := b.Sub(a).Cross(c.Sub(a))
		if max(a.Z, b.Z, c.Z) <= floor {
			flat += max(0, -n.Z/2)
			continue
		}
		steepest = max(steepest, math.Asin(min(1, -n.Unit().Z))*180/math.Pi)
	}
	return flat, steepest
}

func TestModelsAreClosedAndSmall(t *testing.T) {
	for _, m := range shelf {
		t.Run(m.path, func(t *testing.T) {
			s := whole(t, m.path)
			assert.LessOrEqual(t, len(s.Tris), 480)
			top := s.Topology()
			assert.Empty(t, top.Open)
			assert.Empty(t, top.Crowded)
			assert.Empty(t, top.Reversed)
			assert.Empty(t, top.Zero)
			assert.Empty(t, top.Duplicate)
			if m.path == "pots/rain-funnel.obj" {
				assert.Negative(t, s.Volume())
			} else {
				assert.Positive(t, s.Volume())
			}
		})
	}
}

// TestModelsAreWhatTheyAreThereFor checks the plain facts behind each reason, without
// any measure of the program.
func TestModelsAreWhatTheyAreThereFor(t *testing.T) {
	cases := []struct {
		path           string
		flatLo, flatHi float64 // mm2 on the bed
		leanLo, leanHi float64 // deg from vertical, steepest above the bed
	}{
		{"labels/row marker Möhre.stl", 1000, 2000, 0, 0},
		{"tools/seed-dibber.stl", 300, 315, 25, 45},
		{"tools/seed-dibber-lying.stl", 0, 40, 80, 90},
		{"tools/fence-hook.stl", 84, 84, 90, 90},
		{"tools/shelf-bracket.obj", 100, 100, 90, 90},
		{"tools/cable-clip.obj", 264, 264, 90, 90},
		{"tools/soil-scraper.stl", 840, 840, 0, 0},
		{"pots/pot-feet.stl", 4 * 288, 4 * 288, 0, 0},
		{"pots/tray-divider.stl", 72 * 24, 72 * 24, 0, 0},
		{"garden/bird-feeder-lid.stl", 4400, 4550, 90, 90},
		{"garden/cold-frame-vent.stl", 640, 640, 90, 90},
		{"garden/gate-finial.stl", 0, 1, 80, 90},
		{"garden/potting-bench.stl", 4 * 64, 4 * 64, 90, 90},
		{"figures/hedgehog.stl", 0, 5, 60, 90},
	}
	for _, c := range cases {
		t.Run(c.path, func(t *testing.T) {
			flat, lean := stands(whole(t, c.path))
			assert.GreaterOrEqual(t, flat, c.flatLo-1e-2)
			assert.LessOrEqual(t, flat, c.flatHi+1e-2)
			assert.GreaterOrEqual(t, lean, c.leanLo-1e-2)
			assert.LessOrEqual(t, lean, c.leanHi+1e-2)
		})
	}
}

func TestBodiesAndPlaces(t *testing.T) {
	assert.Len(t, whole(t, "pots/pot-feet.stl").Topology().Shells, 4)
	assert.Len(t, whole(t, "garden/bird-feeder-lid.stl").Topology().Shells, 2)
	assert.Len(t, whole(t, "tools/fence-hook.stl").Topology().Shells, 1)
	hinge := whole(t, "garden/hinge-plate.stl").Box()
	assert.Negative(t, hinge.Min.Z)
	assert.Negative(t, hinge.Max.X)
	for _, m := range shelf {
		if m.path != "garden/hinge-plate.stl" {
			assert.Zero(t, whole(t, m.path).Box().Min.Z, "%s does not lie on the bed", m.path)
		}
	}
}
