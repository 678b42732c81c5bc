package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/dice"
)

func TestFlat(t *testing.T) {
	for _, c := range []struct {
		name string
		flat bool
		at   []Point
	}{
		{"nothing", true, nil},
		{"one place", true, []Point{{1, 2, 3}, {1, 2, 3}}},
		{"a line", true, []Point{{0, 0, 0}, {1, 2, 3}, {2, 4, 6}}},
		{"a triangle", true, []Point{{0, 0, 0}, {1, 2, 3}, {2, 4, 7}}},
		{"a square on the bed", true, []Point{{0, 0, 5}, {1, 0, 5}, {1, 1, 5}, {0, 1, 5}}},
		{"a square on end", true, []Point{{7, 0, 0}, {7, 1, 0}, {7, 1, 1}, {7, 0, 1}}},
		{"a corner raised", false, []Point{{0, 0, 5}, {100, 0, 5}, {100, 100, 5}, {0, 100, 5.01}}},
		{"a tetrahedron", false, []Point{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
		{"a film", false, []Point{{0, 0, 0}, {100, 0, 0}, {0, 100, 0}, {0, 0, 0.001}}},
		{"as large as can be", true, []Point{{0, 0, 1}, {3e38, 0, 1}, {0, 3e38, 1}, {-3e38, -3e38, 1}}},
		{"as small as can be", false, []Point{{0, 0, 0}, {1e-40, 0, 0}, {0, 1e-40, 0}, {0, 0, 1e-40}}},
	} {
		assert.Equal(t, c.flat, (&Mesh{Verts: c.at}).Flat(), c.name)
	}
}

// TestFlatWhicheverWayItLies turns flat figures and nearly flat ones anywhere.
func TestFlatWhicheverWayItLies(t *testing.T) {
	seed := dice.Seed(t)
	r := rand.New(rand.NewPCG(seed, 0))
	for range 500 {
		u := Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		v := Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		n := u.Cross(v)
		from := Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}.Scale(100)
		m := &Mesh{}
		for range 50 {
			p := from.Add(u.Scale(r.NormFloat64() * 30)).Add(v.Scale(r.NormFloat64() * 30))
			m.Verts = append(m.Verts, Point{float32(p.X), float32(p.Y), float32(p.Z)})
		}
		assert.True(t, m.Flat())
		p := from.Add(n.Scale(0.1 / math.Max(n.Len(), 1e-9)))
		m.Verts = append(m.Verts, Point{float32(p.X), float32(p.Y), float32(p.Z)})
		assert.False(t, m.Flat(), "a tenth of a millimetre")
	}
}
