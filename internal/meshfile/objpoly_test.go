package meshfile

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// flatPolygon lies at z = 0.
func flatPolygon(xy ...float32) []mesh.Point {
	var out []mesh.Point
	for i := 0; i < len(xy); i += 2 {
		out = append(out, mesh.Point{xy[i], xy[i+1], 0})
	}
	return out
}

// area is the vector area of a closed ring of corners.
func area(ring ...mesh.Point) mesh.Vec {
	var n mesh.Vec
	for i := 2; i < len(ring); i++ {
		a := mesh.Of64(ring[0])
		n = n.Add(mesh.Of64(ring[i-1]).Sub(a).Cross(mesh.Of64(ring[i]).Sub(a)))
	}
	return n.Scale(0.5)
}

// checkCut proves a cutting: n-2 triangles that all face as the polygon does and whose
// areas add up to its own. Triangles that turn one way and add up cannot overlap.
func checkCut(t *testing.T, poly []mesh.Point) {
	t.Helper()
	g := polygon{work: maxFace}
	tris, clean, ok := g.cut(poly)
	require.True(t, ok)
	require.True(t, clean, "%v", poly)
	require.Len(t, tris, len(poly)-2)
	whole := area(poly...)
	sum, size := 0.0, 0.0
	for _, k := range tris {
		a := area(poly[k[0]], poly[k[1]], poly[k[2]])
		require.Positive(t, a.Dot(whole.Unit()), "a triangle flips: %v of %v", k, poly)
		sum += a.Dot(whole.Unit())
		size += a.Len()
	}
	require.InEpsilon(t, whole.Len(), sum, 1e-5)
	require.InEpsilon(t, whole.Len(), size, 1e-5)
}

func TestPolygonsAreCutWithoutFlips(t *testing.T) {
	spiral := flatPolygon(0, 0, 9, 0, 9, 9, 1, 9, 1, 2, 7, 2, 7, 7, 3, 7, 3, 4, 5, 4, 5, 5, 4, 5, 4, 6, 6, 6, 6, 3, 2, 3, 2, 8, 8, 8, 8, 1, 0, 1)
	for name, poly := range map[string][]mesh.Point{
		"square":                             flatPolygon(0, 0, 1, 0, 1, 1, 0, 1),
		"arrow":                              flatPolygon(0, 0, 4, 0, 1, 1, 0, 4),
		"arrow from its notch":               flatPolygon(1, 1, 0, 4, 0, 0, 4, 0),
		"L":                                  flatPolygon(0, 0, 2, 0, 2, 1, 1, 1, 1, 2, 0, 2),
		"comb":                               flatPolygon(0, 0, 5, 0, 5, 3, 4, 3, 4, 1, 3, 1, 3, 3, 2, 3, 2, 1, 1, 1, 1, 3, 0, 3),
		"corners in a row":                   flatPolygon(0, 0, 1, 0, 2, 0, 3, 0, 3, 1, 2, 1, 1, 1, 0, 1),
		"triangle with corners on its sides": flatPolygon(0, 0, 1, 0, 2, 0, 4, 0, 2, 2, 1, 3, 0, 4, 0, 1),
		"hole joined to the outline":         flatPolygon(0, 0, 4, 0, 4, 4, 0, 4, 0, 0, 1, 1, 1, 3, 3, 3, 3, 1, 1, 1),
		"two holes joined to one corner":     flatPolygon(0, 0, 9, 0, 9, 4, 0, 4, 0, 0, 1, 1, 1, 3, 3, 3, 3, 1, 1, 1, 0, 0, 5, 1, 5, 3, 7, 3, 7, 1, 5, 1),
		"spiral":                             spiral,
	} {
		t.Run(name, func(t *testing.T) {
			for _, turned := range poses(poly) {
				checkCut(t, turned)
			}
		})
	}
}

// poses turns a polygon over, starts it at every corner, and leans it in space.
func poses(poly []mesh.Point) (out [][]mesh.Point) {
	for start := range poly {
		ring := append(append([]mesh.Point{}, poly[start:]...), poly[:start]...)
		for axis := range 3 {
			var there, back []mesh.Point
			for i := range ring {
				p, q := ring[i], ring[len(ring)-1-i]
				there = append(there, mesh.Point{p[axis], p[(axis+1)%3], p[(axis+2)%3]})
				back = append(back, mesh.Point{q[0] + 2*q[1], q[1], 3*q[0] - q[1]})
			}
			out = append(out, there, back)
		}
	}
	return out
}

// TestRandomPolygons cuts rings around a centre at random distances; half of them lie on
// a coarse grid, where corners in a row are common.
func TestRandomPolygons(t *testing.T) {
	seed := dice.Seed(t)
	r := rand.New(rand.NewPCG(seed, 2))
	cut := 0
	for k := range 4000 {
		n := 4 + r.IntN(40)
		var poly []mesh.Point
		for i := range n {
			// Within a half turn of its neighbours, so that the ring goes round once.
			a := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n)
			d := 5 + 95*r.Float64()
			x, y := d*math.Cos(a), d*math.Sin(a)
			if k%2 == 0 {
				x, y = 8*math.Round(x/8), 8*math.Round(y/8)
			}
			poly = append(poly, mesh.Point{float32(x), float32(y), float32(r.IntN(2)) / 64})
		}
		if !goesRoundOnce(poly) {
			continue
		}
		cut++
		checkFlat(t, poly)
	}
	require.Greater(t, cut, 2000)
}

func goesRoundOnce(poly []mesh.Point) bool {
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		if p[0]*q[1]-p[1]*q[0] <= 0 {
			return false
		}
	}
	return true
}

// checkFlat is checkCut for polygons that are only nearly flat: seen from above.
func checkFlat(t *testing.T, poly []mesh.Point) {
	g := polygon{work: maxFace}
	tris, clean, ok := g.cut(poly)
	require.True(t, clean && ok, "%v", poly)
	sum := 0.0
	for _, k := range tris {
		a := area(poly[k[0]], poly[k[1]], poly[k[2]]).Z
		require.Positive(t, a, "%v", poly)
		sum += a
	}
	require.InEpsilon(t, area(poly...).Z, sum, 1e-6)
}

// TestPolygonsThatCross keeps their edges and says so.
func TestPolygonsThatCross(t *testing.T) {
	for name, poly := range map[string][]mesh.Point{
		"bow tie":     flatPolygon(0, 0, 4, 4, 4, 0, 0, 3),
		"pentagram":   flatPolygon(0, 10, 6, -8, -10, 3, 10, 3, -6, -8),
		"no area":     flatPolygon(0, 0, 1, 0, 2, 0, 3, 0),
		"one place":   flatPolygon(1, 1, 1, 1, 1, 1, 1, 1),
		"there, back": flatPolygon(0, 0, 1, 0, 1, 1, 1, 0),
	} {
		g := polygon{work: maxFace}
		tris, clean, ok := g.cut(poly)
		assert.True(t, ok, name)
		assert.False(t, clean, name)
		assert.Len(t, tris, len(poly)-2, name)
		assert.Equal(t, area(poly...).Z, sumZ(poly, tris), name)
	}
}

func sumZ(poly []mesh.Point, tris [][3]int32) (sum float64) {
	for _, k := range tris {
		sum += area(poly[k[0]], poly[k[1]], poly[k[2]]).Z
	}
	return sum
}

// TestCuttingIsBounded gives a large jagged polygon little time.
func TestCuttingIsBounded(t *testing.T) {
	var poly []mesh.Point
	for i := range 4000 {
		poly = append(poly, mesh.Point{float32(i), float32(i%2) * 50, 0})
	}
	poly = append(poly, mesh.Point{4000, 100, 0}, mesh.Point{0, 100, 0})
	checkCut(t, poly)
	g := polygon{work: 10_000}
	tris, _, ok := g.cut(poly)
	assert.False(t, ok)
	assert.Len(t, tris, len(poly)-2)
}

// spiral is a band of 2n corners that winds inwards, in which only its two ends can be cut
// off: going round for each of them would take n^3 tests.
func spiral(n int) (poly []mesh.Point) {
	at := func(k int, from float64) mesh.Point {
		turn := float64(k) * 0.05
		return mesh.Point{float32((from + turn) * math.Cos(turn)), float32((from + turn) * math.Sin(turn)), 0}
	}
	for k := range n {
		poly = append(poly, at(k, 3))
	}
	for k := range n {
		poly = append(poly, at(n-1-k, 1))
	}
	return poly
}

// TestSpiralsAreCut holds that the work grows with the square of the corners, and ends.
func TestSpiralsAreCut(t *testing.T) {
	poly := spiral(2500)
	checkCut(t, poly)
	g := polygon{work: maxFace}
	_, clean, ok := g.cut(poly)
	assert.True(t, clean && ok)
	assert.Less(t, maxFace-g.work, int64(len(poly)*len(poly)))

	var obj strings.Builder
	for _, p := range spiral(8000) {
		fmt.Fprintf(&obj, "v %g %g 0\n", p[0], p[1])
	}
	obj.WriteString("f")
	for i := range 16000 {
		fmt.Fprintf(&obj, " %d", i+1)
	}
	e := failure(t, "a.obj", obj.String()+"\n")
	assert.Equal(t, "line 16001: a face of 16000 corners is too intricate to be cut into triangles; export the model again as a triangle mesh", e.Error())
}
