package thin

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// cells is a union of boxes on the whole-millimetre grid, as filled cells.
type cells [side][side][side]bool

const side = 14

func (c *cells) filled(at [3]int) bool {
	for _, x := range at {
		if x < 0 || x >= side {
			return false
		}
	}
	return c[at[0]][at[1]][at[2]]
}

// randomBoxes is a union of boxes that overlap, touch and hold each other, as a list of triangles
// and as cells.
func randomBoxes(r *rand.Rand, n int) (*mesh.Triangles, *cells) {
	soup, c := &mesh.Triangles{}, &cells{}
	for range n {
		var lo, hi [3]int
		for k := range 3 {
			lo[k] = 1 + r.IntN(side-4)
			hi[k] = min(side-1, lo[k]+1+r.IntN(6))
		}
		box := shapes.Box(mesh.Vec{X: float64(lo[0]), Y: float64(lo[1]), Z: float64(lo[2])},
			mesh.Vec{X: float64(hi[0]), Y: float64(hi[1]), Z: float64(hi[2])})
		if r.IntN(3) == 0 {
			box = shapes.Split4(box)
		}
		soup = shapes.Join(soup, box)
		for x := lo[0]; x < hi[0]; x++ {
			for y := lo[1]; y < hi[1]; y++ {
				for z := lo[2]; z < hi[2]; z++ {
					c[x][y][z] = true
				}
			}
		}
	}
	return soup, c
}

// run is how many cells from one on are filled, or empty, along an axis; 0 when it
// goes on past the grid.
func (c *cells) run(at [3]int, axis, step int, want bool) int {
	for n := 0; ; n++ {
		if at[axis] < 0 || at[axis] >= side {
			return 0
		}
		if c.filled(at) != want {
			return n
		}
		at[axis] += step
	}
}

// thinArea counts the faces between filled and empty cells behind which, or before
// which, there are fewer cells than the limit.
func (c *cells) thinArea(kind Medium, limit float64) (area float64) {
	for x := range side {
		for y := range side {
			for z := range side {
				for axis := range 3 {
					for _, step := range []int{-1, 1} {
						at := [3]int{x, y, z}
						out := at
						out[axis] += step
						if !c.filled(at) || c.filled(out) {
							continue
						}
						n := c.run(at, axis, -step, true)
						if kind == Gap {
							n = c.run(out, axis, step, false)
						}
						if n > 0 && float64(n) < limit {
							area++
						}
					}
				}
			}
		}
	}
	return area
}

// cellBehind is the cell a sample looks into, and along which axis and way. Samples on
// a grid plane other than their own face belong to no cell.
func cellBehind(m *mesh.Mesh, s *Sample, kind Medium) (at [3]int, axis, step int, ok bool) {
	n := m.Normal(int(s.Tri)).Unit()
	normal, p := [3]float64{n.X, n.Y, n.Z}, [3]float64{s.At.X, s.At.Y, s.At.Z}
	for k := range 3 {
		if math.Abs(normal[k]) > .5 {
			axis, step = k, -int(math.Round(normal[k]))
		} else if math.Abs(p[k]-math.Round(p[k])) < 1e-6 {
			return at, 0, 0, false
		}
	}
	if kind == Gap {
		step = -step
	}
	for k := range 3 {
		at[k] = int(math.Floor(p[k]))
	}
	at[axis] = int(math.Floor(p[axis] + .5*float64(step)))
	return at, axis, step, true
}

// In a union of boxes the thickness behind every sample, and the gap before it, is a
// number of cells. Bodies that overlap, touch face to face, along edges or at corners,
// or lie in each other are the rule here.
func TestUnionsOfBoxesAgainstCells(t *testing.T) {
	r := dice.New(t)
	for _, kind := range []Medium{Wall, Gap} {
		const limit = 3.5
		compared, found, expected := 0, 0.0, 0.0
		for round := range 40 {
			soup, c := randomBoxes(r, 2+round%9)
			m, samples := search(t, soup, Options{Medium: kind, Limit: limit})
			for i := range samples.Samples {
				s := &samples.Samples[i]
				found += s.Area
				at, axis, step, ok := cellBehind(m, s, kind)
				if !ok {
					continue
				}
				require.Equal(t, float64(c.run(at, axis, step, kind == Wall)), s.Thick,
					"kind %d round %d at %v along axis %d", kind, round, s.At, axis)
				compared++
			}
			expected += c.thinArea(kind, limit)
		}
		assert.Greater(t, compared, 300)
		assert.InEpsilon(t, expected, found, .12, "area of kind %d", kind)
	}
}
