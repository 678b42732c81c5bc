package layers

import (
	"context"
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// seen keeps what a sweep showed.
type seen struct {
	grid   *Grid
	solid  []twin
	spans  [][]Span
	open   int
	orders []int
	unlike int // layers whose runs are not those of their cells
}

func (s *seen) Visit(below, layer *Layer) {
	t := newTwin(s.grid)
	for row := range t {
		for col := range t[row] {
			t[row][col] = layer.Solid.Get(col, row)
		}
	}
	if !slices.Equal(layer.Solid.AppendRuns(nil), layer.Runs) {
		s.unlike++
	}
	s.solid = append(s.solid, t)
	s.spans = append(s.spans, append([]Span(nil), layer.Spans...))
	s.open += layer.OpenRows
	s.orders = append(s.orders, layer.K, below.K)
}

func sweepOf(t testing.TB, soup *mesh.Triangles, height, cell float64, opt Options) (*mesh.Mesh, *seen) {
	t.Helper()
	m, _ := mesh.Weld(soup).Posed(mesh.Identity)
	g, err := NewGrid(m.Box(), height, cell)
	require.NoError(t, err)
	s := &seen{grid: &g}
	require.NoError(t, Sweep(context.Background(), m, g, opt, s))
	require.Zero(t, s.unlike, "layers whose runs are not those of their cells")
	return m, s
}

// winding sums the signed solid angles of all triangles over 4 pi: how often the
// surface winds around a point (A. van Oosterom and J. Strackee, "The solid angle
// of a plane triangle", IEEE Trans. Biomed. Eng. 30(2) 1983, from memory).
func winding(m *mesh.Mesh, p mesh.Vec) float64 {
	sum := 0.0
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		a, b, c = a.Sub(p), b.Sub(p), c.Sub(p)
		la, lb, lc := a.Len(), b.Len(), c.Len()
		num := a.Dot(b.Cross(c))
		den := la*lb*lc + a.Dot(b)*lc + b.Dot(c)*la + c.Dot(a)*lb
		sum += 2 * math.Atan2(num, den)
	}
	return sum / (4 * math.Pi)
}

// Every cell of every layer against the winding number of its middle, which knows
// nothing of cuts, rows or crossings.
func TestFillAgainstWindingNumber(t *testing.T) {
	cases := map[string]*mesh.Triangles{
		"ball":                   shapes.Ball(3, 24),
		"overlapping boxes":      shapes.Scale(shapes.TOverlapping(), 0.15),
		"touching boxes":         shapes.Scale(shapes.TTouching(), 0.15),
		"hollow box":             shapes.Scale(shapes.HollowBox(20, 3), 0.3),
		"drilled block, turned":  shapes.OnBed(shapes.Turn(shapes.Scale(shapes.Drilled(8, 24), 0.3), shapes.Y, 31)),
		"torus on edge":          shapes.OnBed(shapes.Turn(shapes.Torus(3, 1, 24, 12), shapes.X, 77)),
		"inside-out cube":        shapes.Flip(shapes.Cube(5)),
		"two cubes, one flipped": shapes.Join(shapes.Cube(4), shapes.Move(shapes.Flip(shapes.Cube(4)), mesh.Vec{X: 6})),
	}
	for name, soup := range cases {
		t.Run(name, func(t *testing.T) {
			m, s := sweepOf(t, soup, 0.5, 0.2, Options{Tilt: 45})
			assert.Zero(t, s.open)
			cells, wrong := 0, 0
			for k, layer := range s.solid {
				for row := 0; row < s.grid.Rows; row += 2 {
					for col := 0; col < s.grid.Cols; col += 2 {
						x, y := s.grid.Center(col, row)
						w := winding(m, mesh.Vec{X: x, Y: y, Z: s.grid.CutZ(k)})
						cells++
						if layer[row][col] != (math.Abs(w) > 0.5) {
							wrong++
						}
					}
				}
			}
			assert.Greater(t, cells, 500)
			assert.Zero(t, wrong, "of %d cells", cells)
		})
	}
}

// Where a cell becomes solid, a triangle crosses its column between the two cuts:
// the spans must cover exactly the cells that become solid over a steep underside.
func TestSpansCoverNewCells(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"ball": shapes.Ball(4, 40), "arm at 60": shapes.Scale(shapes.LeaningArm(60, 10), 0.4), "T": shapes.Scale(shapes.T(), 0.2),
	} {
		_, s := sweepOf(t, soup, 0.2, 0.1, Options{Tilt: 0.5})
		for k := 1; k < len(s.solid); k++ {
			covered := newTwin(s.grid)
			for _, span := range s.spans[k] {
				for col := span.From; col < span.To; col++ {
					covered[span.Row][col] = true
				}
			}
			for row := range covered {
				for col := range covered[row] {
					if s.solid[k][row][col] && !s.solid[k-1][row][col] {
						require.True(t, covered[row][col], "%s: layer %d, cell %d, %d", name, k, col, row)
					}
				}
			}
		}
	}
}

func TestWorkersShowTheSame(t *testing.T) {
	soup := shapes.NoisyBall(6, 0.4, 3, 5)
	_, want := sweepOf(t, soup, 0.1, 0.1, Options{Tilt: 40})
	for _, jobs := range []int{2, 3, 8} {
		_, got := sweepOf(t, soup, 0.1, 0.1, Options{Tilt: 40, Jobs: jobs})
		assert.Equal(t, want, got, "%d workers", jobs)
	}
	for i := 0; i < len(want.orders); i += 2 {
		assert.Equal(t, []int{i / 2, i/2 - 1}, want.orders[i:i+2], "layers come in order, each with the one below")
	}
}

func TestGridRefusesAndCoarsens(t *testing.T) {
	flat := mesh.Box{Max: mesh.Vec{X: 1, Y: 1}}
	_, err := NewGrid(flat, 0.2, 0.1)
	assert.ErrorContains(t, err, "no height")
	_, err = NewGrid(mesh.Box{Max: mesh.Vec{X: 1, Y: 1, Z: 1e6}}, 0.2, 0.1)
	assert.ErrorContains(t, err, "layers")
	_, err = NewGrid(mesh.Box{Max: mesh.Vec{X: 1e28, Y: 1e28, Z: 1e26}}, 0.2, 0.1)
	assert.ErrorContains(t, err, "layers", "and at once")
	g, err := NewGrid(mesh.Box{Max: mesh.Vec{X: 1e5, Y: 1e5, Z: 10}}, 0.2, 0.1)
	require.NoError(t, err)
	assert.Greater(t, g.Cell, 0.1)
	assert.LessOrEqual(t, g.Rows*g.Cols, maxCells)
	for _, z := range []float64{0, 0.1, 0.1027, 0.3, 5, 7.9999} {
		n := g.planesBelow(z)
		assert.True(t, n == 0 || g.CutZ(n-1) <= z)
		assert.Greater(t, g.CutZ(n), z)
	}
}

// Tops knows what a column down from a cell lands on.
func TestTops(t *testing.T) {
	m, _ := mesh.Weld(shapes.Portal(30)).Posed(mesh.Identity)
	g, err := NewGrid(m.Box(), 0.2, 0.5)
	require.NoError(t, err)
	tops := NewTops(&g)
	deck := &atLayer{k: int(math.Round(20/0.2)) + 1, look: func() {
		middle, pier := tops.Under(g.Cols/2, g.Rows/2), tops.Under(int((5-g.X0)/g.Cell), g.Rows/2)
		assert.Zero(t, middle, "air down to the bed")
		assert.Zero(t, pier, "still solid: nothing ended below")
	}}
	require.NoError(t, Sweep(context.Background(), m, g, Options{Tilt: 45}, tops, deck))
	assert.True(t, deck.done)
}

type atLayer struct {
	k    int
	look func()
	done bool
}

func (a *atLayer) Visit(_, layer *Layer) {
	if layer.K == a.k {
		a.look()
		a.done = true
	}
}

// A sweep must see nothing of the one before it, whose memory it may have got: here of
// larger and of smaller models, with other lists of other lengths.
func TestSweepsDoNotSeeEachOther(t *testing.T) {
	solids := []*mesh.Triangles{shapes.Cube(3), shapes.Ball(9, 24), shapes.T(), shapes.Tetrahedron(), shapes.Ball(4, 12)}
	var alone []*seen
	for _, s := range solids {
		spare = sync.Pool{New: spare.New}
		_, v := sweepOf(t, s, 0.2, 0.1, Options{Tilt: 30})
		alone = append(alone, v)
	}
	for round, jobs := range []int{1, 1, 3, 1} {
		for i, s := range solids {
			_, v := sweepOf(t, s, 0.2, 0.1, Options{Tilt: 30, Jobs: jobs})
			assert.Equal(t, alone[i].solid, v.solid, "solid %d, round %d", i, round)
			assert.Equal(t, alone[i].spans, v.spans, "solid %d, round %d", i, round)
			assert.Equal(t, alone[i].orders, v.orders, "solid %d, round %d", i, round)
		}
	}
}
