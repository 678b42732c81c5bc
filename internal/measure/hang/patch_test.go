package hang

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// patchesOf sweeps a solid in layers of 0.25 mm and cells of 0.125 mm.
func patchesOf(t testing.TB, soup *mesh.Triangles, limit float64) []Patch {
	t.Helper()
	m, _ := mesh.Weld(soup).Posed(mesh.Identity)
	g, err := layers.NewGrid(m.Box(), .25, .125)
	require.NoError(t, err)
	tops := layers.NewTops(&g)
	carries := layers.NewCarriers(&g)
	c := NewCollector(&g, tops, carries, NewBudget(work.Of(context.Background()), len(m.Tris)), limit)
	require.NoError(t, layers.Sweep(context.Background(), m, g, layers.Options{Tilt: c.Tilt()}, tops, carries, c))
	list, err := c.Patches(work.Of(context.Background()), m, Options{Least: .5, Reaches: []float64{2}, ShortBridge: 10})
	require.NoError(t, err)
	return list
}

// Beams over two piers, and brackets held at one side, of random sizes: areas, reaches,
// spans and the air below by their formulas.
func TestBeamsAndBracketsByFormula(t *testing.T) {
	r := dice.New(t)
	whole := func(low, high int) float64 { return float64(low + r.IntN(high-low)) }
	const cell = .125
	for range 12 {
		width, gap, high := whole(3, 8), whole(3, 14), whole(2, 7)
		at := []float64{0, 4, 4 + gap, 8 + gap}
		beam := shapes.Blocks(at, []float64{0, width}, []float64{0, high, high + 2}, func(i, _, k int) bool { return k == 1 || i != 1 })
		list := patchesOf(t, beam, 45)
		require.Len(t, list, 1)
		p := list[0]
		assert.InDelta(t, gap*width, p.Area, 2*cell*(gap+width))
		assert.InDelta(t, gap/2, p.Ledge, 2*cell)
		assert.InDelta(t, 90, p.Tilt, .01)
		assert.InDelta(t, p.Area*high, p.Air, .01*p.Air)
		assert.InDelta(t, p.Area, p.OnBed, 1e-9, "nothing but the bed below")
		assert.Zero(t, p.Rest)
		if gap/2 > 2+2*cell {
			assert.InDelta(t, gap, p.Bridges[0].Span, 3*cell)
		}
		assert.InDelta(t, high, p.Box.Min.Z, .25)

		at = []float64{0, 4, 4 + gap}
		bracket := shapes.Blocks(at, []float64{0, width}, []float64{0, high, high + 2}, func(i, _, k int) bool { return k == 1 || i == 0 })
		list = patchesOf(t, bracket, 45)
		require.Len(t, list, 1)
		p = list[0]
		assert.InDelta(t, gap, p.Ledge, 2*cell)
		assert.InDelta(t, gap, p.Rest, 2*cell)
		assert.Zero(t, p.Bridges[0].Span)
		assert.InDelta(t, gap*width, p.RestArea, 2*cell*(gap+width))
	}
}

// A slope a little within the limit is nothing; a little past it, it is one patch with
// the tilt it was drawn with.
func TestSlopesAroundTheLimit(t *testing.T) {
	for _, limit := range []float64{30, 45, 60} {
		assert.Empty(t, patchesOf(t, shapes.LeaningArm(limit, 8), limit), "at the limit %v", limit)
		assert.Empty(t, patchesOf(t, shapes.LeaningArm(limit-.5, 8), limit))
		list := patchesOf(t, shapes.LeaningArm(limit+.5, 8), limit)
		require.Len(t, list, 1, "past the limit %v", limit)
		assert.InDelta(t, limit+.5, list[0].Tilt, .01)
		assert.InDelta(t, 80, list[0].Area, 4)
	}
}

// Moved, mirrored or with its triangles in another order: the same patches, and the
// turned quarter differs by no more than a cell.
func TestPatchesFollowTheShape(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"T": shapes.Scale(shapes.T(), .5), "portal": shapes.Scale(shapes.Portal(30), .5), "recess": shapes.Recess(8, 4, 32), "hook": shapes.Scale(shapes.Hook(), .5),
	} {
		want := patchesOf(t, soup, 45)
		require.NotEmpty(t, want, name)
		for other, s := range map[string]*mesh.Triangles{
			"shuffled": shapes.Shuffle(soup, 3), "mirrored": shapes.Mirror(soup), "moved": shapes.Move(soup, mesh.Vec{X: 31, Y: -8}),
			"quartered": shapes.Turn(soup, shapes.Z, 90), "split": shapes.Split4(soup),
		} {
			got := patchesOf(t, s, 45)
			require.Len(t, got, len(want), "%s %s", name, other)
			sum := func(list []Patch) (area, ledge float64) {
				for _, p := range list {
					area, ledge = area+p.Area, math.Max(ledge, p.Ledge)
				}
				return area, ledge
			}
			area, ledge := sum(want)
			area2, ledge2 := sum(got)
			assert.InEpsilon(t, area, area2, .05, "%s %s", name, other)
			assert.InDelta(t, ledge, ledge2, .25, "%s %s", name, other)
		}
	}
}
