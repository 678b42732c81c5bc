package layers

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// Whatever the box, the lattice reaches past it by whole cells on every side, its
// words hold its columns, and the last cut lies below the top.
func TestGridHoldsItsBox(t *testing.T) {
	r := dice.New(t)
	coarse := 0
	for range 2000 {
		low := mesh.Vec{X: 1000 * (r.Float64() - .5), Y: 1000 * (r.Float64() - .5)}
		size := mesh.Vec{X: math.Pow(10, 6*r.Float64()-2), Y: math.Pow(10, 6*r.Float64()-2), Z: math.Pow(10, 5*r.Float64()-3)}
		box := mesh.Box{Min: low, Max: low.Add(size)}
		g, err := NewGrid(box, .05+.3*r.Float64(), .05+.2*r.Float64())
		require.NoError(t, err)
		if g.Cell > .25 {
			coarse++
		}
		require.LessOrEqual(t, g.Rows*g.Cols, maxCells+2*(g.Rows+g.Cols))
		require.LessOrEqual(t, g.Cols, g.Words*64)
		require.Greater(t, g.Cols, (g.Words-1)*64)
		// The cells that could be solid have two neighbours on each side.
		first, last := (box.Min.X-g.X0)/g.Cell, (box.Max.X-g.X0)/g.Cell
		require.GreaterOrEqual(t, first, float64(margin))
		require.LessOrEqual(t, math.Ceil(last-.5), float64(g.Cols-margin)+1e-9)
		first, last = (box.Min.Y-g.Y0)/g.Cell, (box.Max.Y-g.Y0)/g.Cell
		require.GreaterOrEqual(t, first, float64(margin))
		require.LessOrEqual(t, math.Ceil(last-.5), float64(g.Rows-margin)+1e-9)
		require.GreaterOrEqual(t, g.CutZ(g.Layers), size.Z)
		if g.Layers > 1 {
			require.LessOrEqual(t, g.CutZ(g.Layers-1), size.Z)
		}
	}
	assert.Positive(t, coarse, "some too large for fine cells")
}

// At a cut, a hair below it and a hair above it the count of cuts is the same as by
// counting them one after the other.
func TestCutsBelowByCounting(t *testing.T) {
	r := dice.New(t)
	for range 300 {
		g := Grid{Height: .02 + .5*r.Float64()}
		k := r.IntN(500)
		z := g.CutZ(k)
		for _, at := range []float64{z, math.Nextafter(z, 0), math.Nextafter(z, 1e9), float64(float32(z)), g.Floor(k), -z, 0} {
			n := 0
			for g.CutZ(n) <= at {
				n++
			}
			require.Equal(t, n, g.planesBelow(at), "height %v, z %v", g.Height, at)
		}
	}
}

// Heights around the number of layers that a worker takes: as many layers as there
// are cuts, all of them full, shown once each and in order, by any number of workers.
func TestStacksAroundTheEdgesOfBlocks(t *testing.T) {
	for _, n := range []int{1, 2, 15, 16, 17, 31, 32, 33, 47, 48, 49, 65} {
		soup := shapes.Box(mesh.Vec{}, mesh.Vec{X: 3, Y: 2, Z: float64(n) * .2})
		for _, jobs := range []int{0, 1, 2, 3, 7, 64} {
			_, s := sweepOf(t, soup, .2, .1, Options{Tilt: 45, Jobs: jobs})
			require.Len(t, s.solid, n, "%d workers", jobs)
			for k, layer := range s.solid {
				count := 0
				for _, row := range layer {
					for _, full := range row {
						if full {
							count++
						}
					}
				}
				require.Equal(t, 30*20, count, "layer %d of %d, %d workers", k, n, jobs)
				require.Equal(t, []int{k, k - 1}, s.orders[2*k:2*k+2])
				require.Empty(t, s.spans[k], "upright all round")
			}
		}
	}
}

// A step whose underside lies between two blocks must neither be lost nor come twice.
func TestCeilingsBetweenBlocks(t *testing.T) {
	for _, at := range []int{1, 14, 15, 16, 17, 31, 32, 33} {
		z := float64(at) * .25
		soup := shapes.Join(shapes.Box(mesh.Vec{}, mesh.Vec{X: 1, Y: 4, Z: z}), shapes.Box(mesh.Vec{Z: z}, mesh.Vec{X: 4, Y: 4, Z: z + 9}))
		for _, jobs := range []int{1, 4} {
			_, s := sweepOf(t, soup, .25, .125, Options{Tilt: 45, Jobs: jobs})
			for k, spans := range s.spans {
				cells := int32(0)
				for _, span := range spans {
					cells += span.To - span.From
					assert.InDelta(t, 90, span.Tilt, 1e-4)
				}
				want := int32(0)
				if k == at {
					want = 32 * 32
				}
				require.Equal(t, want, cells, "layer %d, step at %d, %d workers", k, at, jobs)
			}
		}
	}
}

func TestSweepEndsWithItsContext(t *testing.T) {
	m, _ := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 5, Y: 5, Z: 60})).Posed(mesh.Identity)
	g, err := NewGrid(m.Box(), .1, .1)
	require.NoError(t, err)
	for _, jobs := range []int{1, 4} {
		for _, after := range []int{0, 1, 40} {
			ctx, cancel := context.WithCancel(context.Background())
			seen := 0
			stop := watch(func(_, _ *Layer) {
				if seen++; seen > after {
					cancel()
				}
			})
			require.ErrorIs(t, Sweep(ctx, m, g, Options{Tilt: 45, Jobs: jobs}, stop), context.Canceled)
			assert.Less(t, seen, g.Layers, "%d workers, told after %d", jobs, after)
			cancel()
		}
	}
}

// bare is what a sweep saw, without the numbers of triangles.
func bare(s *seen) (solid []twin, cells []map[[2]int32]float32) {
	for _, spans := range s.spans {
		m := map[[2]int32]float32{}
		for _, x := range spans {
			for c := x.From; c < x.To; c++ {
				m[[2]int32{x.Row, c}] = max(m[[2]int32{x.Row, c}], x.Tilt)
			}
		}
		cells = append(cells, m)
	}
	return s.solid, cells
}

// The order of triangles does not matter, a surface turned inside out fills the same,
// and twice the size in twice the cells is the same picture.
func TestSweepLaws(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"ball": shapes.Ball(3, 20), "thread": shapes.Scale(shapes.ThreadedRod(5, 1, 3, 24), .5), "T": shapes.Scale(shapes.TOverlapping(), .2),
		"noise": shapes.OnBed(shapes.NoisyBall(3, .4, 3, 9)), "portal, turned": shapes.Turn(shapes.Scale(shapes.Portal(30), .2), shapes.Z, 37),
	} {
		_, s := sweepOf(t, soup, .25, .125, Options{Tilt: 30})
		solid, spans := bare(s)
		for seed := range uint64(3) {
			_, other := sweepOf(t, shapes.Shuffle(soup, seed), .25, .125, Options{Tilt: 30})
			solid2, spans2 := bare(other)
			require.Equal(t, solid, solid2, name)
			require.Equal(t, spans, spans2, name)
		}
		_, flipped := sweepOf(t, shapes.Flip(soup), .25, .125, Options{Tilt: 30})
		solid2, _ := bare(flipped)
		require.Equal(t, solid, solid2, name)
		_, double := sweepOf(t, shapes.Scale(soup, 2), .5, .25, Options{Tilt: 30})
		solid2, spans2 := bare(double)
		require.Equal(t, solid, solid2, name)
		require.Equal(t, spans, spans2, name)
	}
}

// A surface with a side missing leaves rows that do not close, as many as it is deep;
// one with its lid missing has none, for no cut meets the lid.
func TestOpenRowsAreCounted(t *testing.T) {
	box := shapes.Box(mesh.Vec{}, mesh.Vec{X: 4, Y: 3, Z: 2})
	missing := func(axis int, at float32) *mesh.Triangles {
		out := new(mesh.Triangles)
		for i := 0; i < len(box.Corners); i += 3 {
			c := box.Corners[i : i+3]
			if c[0][axis] != at || c[1][axis] != at || c[2][axis] != at {
				out.Corners = append(out.Corners, c...)
			}
		}
		require.Equal(t, 10, out.Count())
		return out
	}
	for _, c := range []struct {
		axis int
		at   float32
		open int
	}{{2, 2, 0}, {2, 0, 0}, {0, 4, 30 * 10}, {0, 0, 30 * 10}, {1, 0, 0}, {1, 3, 0}} {
		t.Run(fmt.Sprintf("axis %d at %v", c.axis, c.at), func(t *testing.T) {
			_, s := sweepOf(t, missing(c.axis, c.at), .2, .1, Options{Tilt: 45})
			assert.Equal(t, c.open, s.open)
		})
	}
}
