package geom

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

func TestHullOfASquare(t *testing.T) {
	square := []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}, {2, 2}, {2, 0}, {0, 0}}
	hull := Hull(square)
	assert.Equal(t, []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, hull)
	assert.Equal(t, 1.0, Inset(hull, Point{3, 2}))
	assert.Equal(t, -1.0, Inset(hull, Point{5, 2}))
	width, diameter := Width(hull)
	assert.Equal(t, []float64{4, math.Sqrt(32)}, []float64{width, diameter})
	line := Hull([]Point{{0, 0}, {2, 2}, {1, 1}})
	assert.Len(t, line, 2)
	assert.Zero(t, Inset(line, Point{1, 1}), "a line has no inside")
	assert.Zero(t, Inset(nil, Point{}))
	assert.Equal(t, []Point{{1, 2}}, Hull([]Point{{1, 2}, {1, 2}}))
	assert.Empty(t, Hull(nil))
}

// A hull turns left everywhere and holds every point, by whichever coordinate they are
// sorted first.
func TestHullOfRandomPoints(t *testing.T) {
	rng := dice.New(t)
	for range 300 {
		points := make([]Point, 3+rng.IntN(40))
		for i := range points {
			points[i] = Point{float64(rng.IntN(12)), float64(rng.IntN(12))}
		}
		hull := Hull(slices.Clone(points))
		if len(hull) < 3 {
			continue
		}
		for i, p := range hull {
			require.Positive(t, turn(p, hull[(i+1)%len(hull)], hull[(i+2)%len(hull)]))
			require.Contains(t, points, p)
		}
		for _, p := range points {
			require.GreaterOrEqual(t, Inset(hull, p), 0.0)
		}
		slices.SortFunc(points, func(a, b Point) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) })
		require.ElementsMatch(t, hull, HullBetween(nil, points, points[:len(points)-1]), "second points and all")
	}
}

// Sets against the numbers of connected parts, renumbered at each join.
func TestSetsAgainstRenumbering(t *testing.T) {
	rng := dice.New(t)
	for range 100 {
		n := 1 + rng.IntN(30)
		sets, plain := Sets[uint32](nil).Grow(n), make([]int, n)
		for i := range plain {
			plain[i] = i
		}
		for range rng.IntN(2 * n) {
			a, b := rng.IntN(n), rng.IntN(n)
			sets.Join(uint32(a), uint32(b))
			low, high := min(plain[a], plain[b]), max(plain[a], plain[b])
			for i := range plain {
				if plain[i] == high {
					plain[i] = low
				}
			}
		}
		for i := range plain {
			require.Equal(t, uint32(plain[i]), sets.Root(uint32(i)))
		}
		order, starts := sets.Members()
		require.Len(t, order, n)
		for k := range starts[:len(starts)-1] {
			set := order[starts[k]:starts[k+1]]
			require.True(t, slices.IsSorted(set))
			for _, i := range set {
				require.Equal(t, int(set[0]), plain[i])
			}
			require.True(t, k == 0 || order[starts[k-1]] < set[0], "by their smallest")
		}
	}
}
