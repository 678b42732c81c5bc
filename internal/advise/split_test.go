package advise

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// somewhere is a direction by chance.
func somewhere(r *rand.Rand) mesh.Vec {
	return mesh.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
}

// TestPiecesAddUp: whatever is cut along any plane, or along two square to axes, the pieces are closed, stand on the
// bed, and have the volume of the whole.
func TestPiecesAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 1))
	for name, s := range map[string]*mesh.Triangles{
		"knobbly": shapes.NoisyBall(15, 4, 4, 3), "torus": shapes.Torus(15, 5, 40, 24), "gyroid": shapes.Gyroid(10),
		"table": shapes.Table(), "hollow": shapes.HollowBox(20, 2), "legs": shapes.FourLegs([4]float64{0, .3, .6, .9}, 30),
	} {
		m := mesh.Weld(shapes.Move(shapes.Turn(s, somewhere(r), 360*r.Float64()), mesh.Vec{X: 90 * r.Float64(), Y: -40, Z: 7}))
		for range 8 {
			list := []plane{{normal: fine(somewhere(r))}}
			if r.IntN(2) == 0 { // as for a bed that is too small
				list = []plane{{normal: mesh.Vec{X: 1}}, {normal: mesh.Vec{Z: 1}}}
			}
			for i, p := range list {
				list[i].offset = p.normal.Dot(m.Box().Middle()) + 6*r.Float64() - 3
			}
			pieces, err := along(work.Of(t.Context()), m, list)
			require.NoError(t, err, name)
			require.Greater(t, len(pieces), 1, name)
			sum := 0.0
			for _, p := range pieces {
				assert.True(t, p.mesh.Topology().Closed(), name)
				assert.Zero(t, p.mesh.Box().Min.Z, name)
				sum += p.mesh.Volume()
			}
			assert.InEpsilon(t, m.Volume(), sum, 1e-6, name)
		}
	}
}

// TestACutThroughACap: a second cut that goes through the cap of the first, and through the holes
// in it, finds outlines that can be filled, though corners in a row along the cap lie a hair to and
// fro where the file ends its numbers.
func TestACutThroughACap(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 6))
	box := shapes.Box(mesh.Vec{X: -20, Y: -20, Z: -20}, mesh.Vec{X: 20, Y: 20, Z: 20})
	for range 500 {
		m := mesh.Weld(shapes.Move(shapes.Turn(box, somewhere(r), 360*r.Float64()), mesh.Vec{X: 90 * r.Float64(), Y: -40, Z: 7}))
		middle := m.Box().Middle()
		first := plane{normal: mesh.Vec{X: 1}, offset: middle.X + 6*r.Float64() - 3}
		second := plane{normal: mesh.Vec{Z: 1}, offset: middle.Z + 6*r.Float64() - 3}
		hole := func(y float64) finding.PinHole {
			return finding.PinHole{At: [3]float64{first.offset, middle.Y + y, second.offset + 4 + 6*r.Float64()}, Width: 2.15, Depth: 3}
		}
		pieces, err := along(work.Of(t.Context()), m, []plane{first, second}, hole(-6), hole(3))
		require.NoError(t, err)
		for _, p := range pieces {
			require.True(t, p.mesh.Topology().Closed())
		}
	}
}

// TestPiecesKnowTheirFrame: a corner of the whole that a piece keeps lies where its turn and
// shift say, and on the right side of the plane.
func TestPiecesKnowTheirFrame(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 2))
	m := mesh.Weld(shapes.Move(shapes.NoisyBall(15, 4, 3, 3), mesh.Vec{X: 30, Y: 8, Z: -4}))
	n := fine(somewhere(r))
	offset := n.Dot(m.Box().Middle())
	pieces, err := along(work.Of(t.Context()), m, []plane{{normal: n, offset: offset}})
	require.NoError(t, err)
	require.Len(t, pieces, 2)
	for i, side := range []float64{1, -1} {
		p, seen := pieces[i], 0
		at := map[[3]int]bool{}
		key := func(v mesh.Vec) [3]int {
			return [3]int{int(math.Round(v.X * 50)), int(math.Round(v.Y * 50)), int(math.Round(v.Z * 50))}
		}
		for _, v := range p.mesh.Verts {
			at[key(mesh.Of64(v))] = true
		}
		for _, v := range m.Verts {
			if w := mesh.Of64(v); side*(n.Dot(w)-offset) > 0.1 {
				k := p.from(w).Sub(p.shift)
				assert.Greater(t, k.Z, 0.09)
				if at[key(k)] {
					seen++
				}
			}
		}
		assert.Greater(t, seen, len(m.Verts)/4, "corners found again")
		assert.InDelta(t, -side, n.Dot(p.back(mesh.Vec{Z: -1})), 1e-6, "the cut points down")
	}
}

// TestPrincipalAxes are those of a box, however it is turned.
func TestPrincipalAxes(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 3))
	for range 20 {
		axis, angle := somewhere(r), 360*r.Float64()
		box := shapes.Box(mesh.Vec{}, mesh.Vec{X: 10, Y: 20, Z: 40})
		m := mesh.Weld(shapes.Turn(shapes.Split4(shapes.Split4(box)), axis, angle))
		found := m.Spread().Axis
		for i := range m.Tris {
			n := m.Normal(i).Unit()
			best := 0.0
			for _, a := range found {
				assert.InDelta(t, 1, a.Len(), 1e-9)
				best = max(best, math.Abs(a.Dot(n)))
			}
			require.InDelta(t, 1, best, 1e-4)
		}
	}
}

// TestPlanes: a crossing of rods is cut through its middle, two flanges on a stem just inside
// one of them, and a beam for a bed in as many parts as fit.
func TestPlanes(t *testing.T) {
	spool := mesh.Weld(shapes.Revolve(shapes.Polygon{{0, -30}, {30, -30}, {30, -25}, {8, -25}, {8, 25}, {30, 25}, {30, 30}, {0, 30}}, 60))
	list, _, err := planes(t.Context(), spool, []mesh.Vec{{Z: 1}, {X: 1}}, 50)
	require.NoError(t, err)
	require.NotEmpty(t, list)
	assert.Equal(t, mesh.Vec{Z: 1}, list[0].normal)
	assert.InDelta(t, 25, list[0].offset, 1e-5, "the upper flange comes off, the rest stays as it lies")
	assert.Zero(t, list[0].hang)
	assert.InEpsilon(t, math.Pi*64, list[0].section, 0.01, "the stem is glued, not the flange")
	assert.InEpsilon(t, math.Pi*8, list[0].seam, 0.01, "half of what is round the stem: it lies in a corner")

	rod := func(lo, hi mesh.Vec) *mesh.Triangles { return shapes.Box(lo, hi) }
	cross := mesh.Weld(shapes.Join(rod(mesh.Vec{X: -30, Y: -4, Z: -4}, mesh.Vec{X: 30, Y: 4, Z: 4}), rod(mesh.Vec{X: -4, Y: -4, Z: -30}, mesh.Vec{X: 4, Y: 4, Z: 30})))
	list, _, err = planes(t.Context(), cross, []mesh.Vec{{Z: 1}}, 50)
	require.NoError(t, err)
	require.NotEmpty(t, list)
	assert.InDelta(t, 0, list[0].offset, 4.01)
	assert.Zero(t, list[0].hang)

	beam := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 500, Y: 30, Z: 20}))
	sets, err := toFit(t.Context(), beam, [3]float64{200, 200, 200}, 50)
	require.NoError(t, err)
	require.Len(t, sets, 1)
	require.Len(t, sets[0], 2)
	at := []float64{0, sets[0][0].offset, sets[0][1].offset, 500}
	for i := 1; i < len(at); i++ {
		assert.LessOrEqual(t, at[i]-at[i-1], 200.0)
	}
	sets, err = toFit(t.Context(), mesh.Weld(shapes.Cube(900)), [3]float64{200, 200, 200}, 50)
	require.ErrorIs(t, err, errPieces)
	assert.Empty(t, sets)
}

// TestRoundPartsAreCutAcross: the seam goes round the stem, in its middle where nothing hangs then,
// and not along the part. A cap is cut off where its underside is, though the file has that a little
// uneven.
func TestRoundPartsAreCutAcross(t *testing.T) {
	part := mesh.Weld(shapes.Revolve(shapes.Polygon{{0, 0}, {24, 0}, {24, 6}, {10, 14}, {10, 46}, {24, 54}, {24, 60}, {0, 60}}, 60))
	list, _, err := planes(t.Context(), part, []mesh.Vec{{Z: 1}, {X: 1}}, 50)
	require.NoError(t, err)
	assert.Equal(t, mesh.Vec{Z: 1}, list[0].normal)
	assert.InDelta(t, 30, list[0].offset, 1)

	r := rand.New(rand.NewPCG(dice.Seed(t), 5))
	cap := shapes.Map(shapes.Revolve(shapes.Polygon{{0, 0}, {10, 0}, {6, 30}, {26, 30}, {20, 42}, {0, 46}}, 60), func(v mesh.Vec) mesh.Vec {
		if v.Z == 30 {
			v.Z += 1e-4 * (r.Float64() - 0.5)
		}
		return v
	})
	list, _, err = planes(t.Context(), mesh.Weld(cap), []mesh.Vec{{Z: 1}}, 50)
	require.NoError(t, err)
	assert.InDelta(t, 30-besideLevel, list[0].offset, 1e-4)
	assert.InDelta(t, math.Pi*36, list[0].section, 2)
}

// TestOnlyWhatDependsOnTheWayUp is worth cutting in pieces.
func TestOnlyWhatDependsOnTheWayUp(t *testing.T) {
	for rule, want := range map[string]bool{"hangs": true, "thin": false, "mild": false, "unknown": false} {
		w := wayUp{outcome: &outcome{Verdict: &verdict.Verdict{Subject: &verdict.Subject{View: &ruleset.View{Rules: []*ruleset.Rule{
			{ID: "hangs", Measure: "overhang"}, {ID: "mild", Measure: "overhang"}, {ID: "thin", Measure: "wall"},
		}}}}}}
		level := finding.Error
		if rule == "mild" {
			level = finding.Warning
		}
		w.hits = []verdict.Hit{{Finding: finding.Finding{Rule: rule, Level: level}}}
		assert.Equal(t, want, w.turnable(), rule)
	}
}
