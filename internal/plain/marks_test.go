package plain

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// relieved is a plate with blots at random on it, some sunk and some raised, some off its
// edge, and some joined to bars.
func relieved(r *rand.Rand) *mesh.Triangles {
	const n = 18
	wide := 0.4 + 0.2*float64(r.IntN(4))
	var at []float64
	for i := range n + 1 {
		at = append(at, float64(i)*wide)
	}
	heights := []float64{0, 3, 3.3, 4, 4.5, 6.5}
	var level [n][n]int
	for i := range n {
		for j := range n {
			level[i][j] = 3
		}
	}
	for range 1 + r.IntN(3) {
		to, x, y := 1+r.IntN(5), r.IntN(n), r.IntN(n)
		for range 1 + r.IntN(9) { // a walk that leaves a blot
			level[x][y] = to
			if r.IntN(2) == 0 {
				x = min(n-1, max(0, x+2*r.IntN(2)-1))
			} else {
				y = min(n-1, max(0, y+2*r.IntN(2)-1))
			}
		}
	}
	if r.IntN(3) == 0 {
		x, to := 1+r.IntN(n-2), 1+r.IntN(5)
		for j := range n {
			level[x][j] = to
		}
	}
	s := shapes.Blocks(at, at, heights, func(i, j, k int) bool { return k < level[i][j] })
	return shapes.Turn(s, mesh.Vec{X: between(r, -1, 1), Y: between(r, -1, 1), Z: between(r, 0.2, 1)}, between(r, 0, 360))
}

// Both ways find the same marks: as deep, as wide, on faces that lean alike.
func TestMarksAreFoundAlike(t *testing.T) {
	seed := dice.Seed(t)
	sunk, raised, none, near := 0, 0, 0, 0
	for n := range uint64(60) {
		soup := relieved(rand.New(rand.NewPCG(seed, 9000+n)))
		plain, program := Marks(soup), taken(t, soup, "detail")
		if slices.ContainsFunc(plain, func(m Mark) bool { return m.NearLimit }) {
			near++
			continue
		}
		if !assert.Len(t, program.Sites, len(plain), "case %d: %+v", n, plain) {
			continue
		}
		for i := range program.Sites {
			got := measure.Detail.Site(&program.Sites[i])
			found := false
			for _, m := range plain {
				lean := math.Asin(min(1, math.Abs(m.Look.Z))) * 180 / math.Pi
				found = found || math.Abs(math.Abs(m.Step)-got.Depth) < 0.002 && math.Abs(m.Stroke-got.Stroke) < 0.002 &&
					math.Abs(m.Area-got.Area) < 0.005 && (m.Step > 0) == got.Raised && math.Abs(lean-got.Lean) < 0.1
			}
			require.True(t, found, "case %d: %+v is not in %+v", n, got, plain)
			if got.Raised {
				raised++
			} else {
				sunk++
			}
		}
		if len(plain) == 0 {
			none++
		}
	}
	assert.Less(t, near, 25, "too many lie near a limit, where nothing is compared")
	t.Logf("%d sunk, %d raised, %d solids without, %d near a limit", sunk, raised, none, near)
	assert.Greater(t, sunk, 10)
	assert.Greater(t, raised, 10)
	assert.Greater(t, none, 2)
}
