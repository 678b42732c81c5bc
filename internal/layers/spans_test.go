package layers

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// over finds the height of a triangle over a point, and whether it lies over it at all.
func over(a, b, c mesh.Vec, x, y float64) (z float64, ok bool) {
	side := func(p, q mesh.Vec) float64 { return (q.X-p.X)*(y-p.Y) - (q.Y-p.Y)*(x-p.X) }
	u, v, w := side(b, c), side(c, a), side(a, b)
	if !(u > 0 && v > 0 && w > 0) && !(u < 0 && v < 0 && w < 0) {
		return 0, false
	}
	return (u*a.Z + v*b.Z + w*c.Z) / (u + v + w), true
}

// Every steep triangle has, over every cell middle, one span in the gap between cuts
// that it passes there, and no other: found by trying all triangles over all cells.
func TestSpansAgainstEveryTriangleOverEveryCell(t *testing.T) {
	r := dice.New(t)
	found := 0
	for round := range 12 {
		soup := new(mesh.Triangles)
		for range 3 * (4 + r.IntN(20)) {
			soup.Corners = append(soup.Corners, mesh.Point{float32(8 * r.Float64()), float32(8 * r.Float64()), float32(6 * r.Float64())})
		}
		opt := Options{Tilt: 10 + 60*r.Float64(), TwoSided: round%2 == 0}
		m, s := sweepOf(t, soup, .2, .25, opt)
		got := map[[4]int]Span{}
		for k, spans := range s.spans {
			for _, x := range spans {
				for c := x.From; c < x.To; c++ {
					key := [4]int{k, int(x.Row), int(c), int(x.Tri)}
					require.NotContains(t, got, key)
					got[key] = x
				}
			}
		}
		for i := range m.Tris {
			a, b, c := m.Corners(i)
			n := b.Sub(a).Cross(c.Sub(a))
			tilt := 90 - math.Acos(math.Abs(n.Unit().Z))*180/math.Pi
			for row := range s.grid.Rows {
				for col := range s.grid.Cols {
					x, y := s.grid.Center(col, row)
					z, ok := over(a, b, c, x, y)
					if !ok || tilt <= opt.Tilt || !opt.TwoSided && n.Z > 0 || z > s.grid.CutZ(s.grid.Layers-1) || z <= s.grid.CutZ(0) {
						continue
					}
					k := s.grid.planesBelow(z)
					// Within rounding of a cut either gap will do.
					if math.Abs(z-s.grid.CutZ(k)) < 1e-9 || math.Abs(z-s.grid.CutZ(k-1)) < 1e-9 {
						continue
					}
					key := [4]int{k, row, col, i}
					require.Contains(t, got, key, "z %v", z)
					require.InDelta(t, tilt, float64(got[key].Tilt), 1e-4)
					require.Equal(t, max(a.Z, b.Z, c.Z) >= s.grid.CutZ(k) || k > 0 && min(a.Z, b.Z, c.Z) < s.grid.CutZ(k-1), got[key].Through)
					delete(got, key)
					found++
				}
			}
		}
		require.Empty(t, got, "nothing that no triangle accounts for")
	}
	assert.Greater(t, found, 2000)
}

// The tilt of a triangle, for slopes of any run and rise, turned about the vertical.
func TestTiltOfSlopes(t *testing.T) {
	for _, deg := range []float64{0, 1, 30, 44.9, 45, 45.1, 60, 89, 90} {
		for _, turn := range []float64{0, 17, 90, 233} {
			// An edge tilted by deg, and one square to it along the bed.
			sin, cos := math.Sincos(deg * math.Pi / 180)
			s, c := math.Sincos(turn * math.Pi / 180)
			at := func(x, y, z float64) mesh.Point {
				return mesh.Point{float32(x*c - y*s), float32(x*s + y*c), float32(z)}
			}
			p, q, o := at(0, 0, 0), at(0, 10, 0), at(10*sin, 0, 10*cos)
			tilt, down := Tilt(p, q, o)
			assert.InDelta(t, deg, tilt, 1e-2)
			if deg > 0 {
				assert.True(t, down == (deg > 0), "%v: the underside of what is tilted out", deg)
				_, down = Tilt(q, p, o)
				assert.False(t, down, "the upper side of the same")
			}
		}
	}
	tilt, down := Tilt(mesh.Point{1, 1, 1}, mesh.Point{2, 2, 2}, mesh.Point{3, 3, 3})
	assert.Zero(t, tilt)
	assert.False(t, down, "without area there is no side")
}

// The cells below a leaning arm add up to its underside seen from above.
func TestSpansAddUpToTheUnderside(t *testing.T) {
	for _, deg := range []float64{20, 50, 85} {
		soup := shapes.LeaningArm(deg, 12)
		m, s := sweepOf(t, soup, .1, .1, Options{Tilt: deg - 1})
		want := 0.0
		for i := range m.Tris {
			if n := m.Normal(i); !onBed(m, i) && -n.Unit().Z > math.Sin((deg-1)*math.Pi/180) {
				want -= n.Z / 2
			}
		}
		got := 0
		for _, spans := range s.spans {
			for _, x := range spans {
				got += int(x.To - x.From)
			}
		}
		require.Positive(t, want)
		assert.InEpsilon(t, want, s.grid.Area(got), .03, "%v degrees", deg)
		_, none := sweepOf(t, shapes.Turn(soup, shapes.Z, 12), .1, .1, Options{Tilt: 90.5})
		for _, spans := range none.spans {
			assert.Empty(t, spans, "nothing is tilted past a ceiling")
		}
	}
}

func onBed(m *mesh.Mesh, i int) bool {
	a, b, c := m.Corners(i)
	return max(a.Z, b.Z, c.Z) < 1e-6
}

// Runs within any reach of each other against all pairs, whatever their order.
func TestNearAgainstPairs(t *testing.T) {
	r := dice.New(t)
	g := &Grid{Rows: 12, Cols: 128, Words: 2}
	for range 200 {
		p, _ := random(r, g)
		q, _ := random(r, g)
		as, bs := p.AppendRuns(nil), q.AppendRuns(nil)
		for reach := range int32(5) {
			var got, want [][2]int
			EachNear(as, bs, reach, func(a, b int) { got = append(got, [2]int{a, b}) })
			for i, a := range as {
				for j, b := range bs {
					rows := max(a.Row-b.Row, b.Row-a.Row)
					cells := max(a.From-(b.To-1), b.From-(a.To-1), 0)
					if rows <= reach && cells <= reach {
						want = append(want, [2]int{i, j})
					}
				}
			}
			require.ElementsMatch(t, want, got, "reach %d", reach)
		}
	}
}
