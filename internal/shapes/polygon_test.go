package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cover checks that the triangles are counter-clockwise, have the polygon's area and
// use each corner of it.
func cover(t *testing.T, outer Polygon, holes ...Polygon) [][3][2]float64 {
	t.Helper()
	triangles := triangulate(outer, holes)
	want, corners := math.Abs(outer.Area()), len(outer)
	for _, h := range holes {
		want -= math.Abs(h.Area())
		corners += len(h) + 2
	}
	require.Len(t, triangles, corners-2)
	sum, used := 0.0, map[[2]float64]bool{}
	for _, tr := range triangles {
		twice := cross(tr[0], tr[1], tr[2])
		require.Positive(t, twice, "triangle %v", tr)
		sum += twice / 2
		used[tr[0]], used[tr[1]], used[tr[2]] = true, true, true
	}
	require.InEpsilon(t, want, sum, 1e-9)
	for _, p := range append([]Polygon{outer}, holes...) {
		for _, c := range p {
			require.True(t, used[c], "corner %v is in no triangle", c)
		}
	}
	return triangles
}

func TestTriangulate(t *testing.T) {
	square := Rect(0, 0, 20, 20)
	cases := map[string]struct {
		outer Polygon
		holes []Polygon
	}{
		"triangle":           {Polygon{{0, 0}, {3, 0}, {0, 4}}, nil},
		"clockwise":          {Polygon{{0, 4}, {3, 0}, {0, 0}}, nil},
		"corners in a row":   {Polygon{{0, 0}, {1, 0}, {2, 0}, {3, 0}, {3, 3}, {2, 3}, {0, 3}, {0, 1}}, nil},
		"comb":               {Polygon{{0, 0}, {9, 0}, {9, 5}, {8, 1}, {7, 5}, {6, 1}, {5, 5}, {4, 1}, {3, 5}, {2, 1}, {1, 5}}, nil},
		"spiral":             {Polygon{{0, 0}, {9, 0}, {9, 9}, {2, 9}, {2, 4}, {5, 4}, {5, 5}, {3, 5}, {3, 8}, {8, 8}, {8, 1}, {0, 1}}, nil},
		"hole":               {square, []Polygon{Rect(5, 5, 10, 10)}},
		"hole clockwise":     {square, []Polygon{{{5, 10}, {10, 10}, {10, 5}, {5, 5}}}},
		"round hole":         {square, []Polygon{Ring(10, 10, 6, 32)}},
		"holes in a row":     {square, []Polygon{Rect(1, 9, 3, 11), Rect(5, 9, 7, 11), Rect(9, 9, 11, 11), Rect(13, 9, 15, 11)}},
		"holes in a grid":    {square, []Polygon{Ring(5, 5, 3, 8), Ring(15, 5, 3, 8), Ring(5, 15, 3, 8), Ring(15, 15, 3, 8)}},
		"nested bay":         {Polygon{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 12}, {14, 12}, {14, 8}, {0, 8}}, []Polygon{Ring(17, 10, 1, 12), Ring(5, 4, 2, 7)}},
		"ring of thin wall":  {Ring(0, 0, 10, 64), []Polygon{Ring(0, 0, 9.9, 64)}},
		"hole beside a hole": {square, []Polygon{Rect(2, 2, 9, 18), Rect(9.5, 2, 18, 18)}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			cover(t, c.outer, c.holes...)
			requireClosed(t, Prism(c.outer, -1, 2, c.holes...), false)
			requireClosed(t, ExtrudeY(c.outer, -1, 2, c.holes...), false)
		})
	}
}

// TestTriangulateStars cuts random star-shaped polygons with a random star inside.
func TestTriangulateStars(t *testing.T) {
	const seed = 11
	rng := random(seed)
	star := func(lo, hi float64) Polygon {
		p := Ring(0, 0, 1, 3+rng.IntN(40))
		for i := range p {
			r := lo + (hi-lo)*rng.Float64()
			p[i] = [2]float64{p[i][0] * r, p[i][1] * r}
		}
		return p
	}
	for i := range 200 {
		outer, inner := star(10, 30), star(1, 4)
		t.Logf("seed %d, star %d: %d and %d corners", seed, i, len(outer), len(inner))
		// A triangle of radius 10 has an incircle of radius 5: the stars stay apart.
		cover(t, outer, inner)
	}
}

func TestPolygonsThatHaveNoInsideAreRefused(t *testing.T) {
	assert.Panics(t, func() { Prism(Polygon{{0, 0}, {1, 0}, {0, 1}, {1, 1}}, 0, 1) }, "an outline that crosses itself")
	assert.Panics(t, func() { Prism(Rect(0, 0, 1, 1), 0, 1, Rect(2, 2, 3, 3)) }, "a hole outside")
	assert.Panics(t, func() { Revolve(Rect(-1, 0, 1, 1), 8) }, "a profile over the axis")
}

func TestTurnPartIsExactAtQuarters(t *testing.T) {
	for _, n := range []int{4, 8, 12, 128} {
		for q, want := range [][2]float64{{0, 1}, {1, 0}, {0, -1}, {-1, 0}} {
			sin, cos := turnPart(q*n/4, n)
			assert.Equal(t, want, [2]float64{sin, cos}, "%d quarters of %d", q, n)
		}
	}
	for i := -20; i < 40; i++ {
		sin, cos := turnPart(i, 17)
		assert.InDelta(t, math.Sin(2*math.Pi*float64(i)/17), sin, 1e-12)
		assert.InDelta(t, math.Cos(2*math.Pi*float64(i)/17), cos, 1e-12)
	}
}
