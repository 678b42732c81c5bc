package measure

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// turned is the pose turned about z by deg.
func turned(deg float64) Pose {
	s, c := math.Sincos(deg * math.Pi / 180)
	return Pose{M: [9]float64{c, -s, 0, s, c, 0, 0, 0, 1}}
}

// lying is the pose turned a quarter about x.
var lying = Pose{M: [9]float64{1, 0, 0, 0, 0, -1, 0, 1, 0}}

func TestSizeAsItLies(t *testing.T) {
	box := shapes.Box(shapes.Vec{X: -5, Y: 2, Z: 7}, shapes.Vec{X: 25, Y: 12, Z: 57})
	r := take(t, box, "size")
	require.Len(t, r.Sites, 1)
	assert.Equal(t, []float64{30, 10, 50, 50, 10, 1}, r.Model)
	assert.Equal(t, r.Model, r.Sites[0].Values)
	assert.Equal(t, mesh.Box{Min: shapes.Vec{X: -5, Y: 2, Z: 7}, Max: shapes.Vec{X: 25, Y: 12, Z: 57}}, r.Sites[0].Box)
	assert.Equal(t, []float64{30, 50, 10, 50, 10, 1}, takePosed(t, box, lying, "size").Model)
}

// The bed is 220 by 220 and 250 high.
func TestFitsTheBed(t *testing.T) {
	plate := func(x, y, z float64) *mesh.Triangles { return shapes.Box(shapes.Vec{}, shapes.Vec{X: x, Y: y, Z: z}) }
	for _, c := range []struct {
		name string
		soup *mesh.Triangles
		fits float64
	}{
		{"just", plate(220, 220, 250), 1},
		{"a tenth too wide", plate(220.1, 220, 250), 0},
		{"a tenth too high", plate(220, 220, 250.1), 0},
		{"a bar along the diagonal", plate(300, 10, 10), 1},
		{"the longest bar 10 wide: 220 root 2 less 10", plate(301.1, 10, 10), 1},
		{"a bit longer", plate(301.2, 10, 10), 0},
		{"a disc", shapes.Cylinder(110, 5, 64), 1},
		{"a disc too large", shapes.Cylinder(111, 5, 64), 0},
		{"longer than the diagonal", plate(312, .1, 1), 0},
		{"a bar the other way", plate(10, 300, 10), 1},
	} {
		for _, deg := range []float64{0, 17, 45, 90, 133} {
			got := takePosed(t, c.soup, turned(deg), "size")
			assert.Equal(t, c.fits, got.Model[5], "%s turned %v", c.name, deg)
		}
	}
}

func TestBedWithoutLimits(t *testing.T) {
	p := process
	p.Bed = [3]float64{0, 100, 0}
	m := NewBody(mesh.Weld(shapes.Box(shapes.Vec{}, shapes.Vec{X: 900, Y: 100, Z: 900})))
	r, err := m.Measure(context.Background(), turned(30), p, Options{}, []Request{{Measure: "size"}})
	require.NoError(t, err)
	assert.Equal(t, 1., r[0].Model[5])
	p.Bed[1] = 99
	r, err = m.Measure(context.Background(), turned(30), p, Options{}, []Request{{Measure: "size"}})
	require.NoError(t, err)
	assert.Equal(t, 0., r[0].Model[5])
}

// span looks at every point of an outline for how wide it is along a direction.
func span(hull []geom.Point, turn float64) (across geom.Point, width float64) {
	s, c := math.Sincos(turn)
	low, high := math.Inf(1), math.Inf(-1)
	var a, b geom.Point
	for _, p := range hull {
		d := float64(p.X*c) + float64(p.Y*s)
		if d < low {
			low, a = d, p
		}
		if d > high {
			high, b = d, p
		}
	}
	return geom.Point{X: b.X - a.X, Y: b.Y - a.Y}, high - low
}

func TestWidthsAgainstEveryPoint(t *testing.T) {
	r := dice.New(t)
	for range 300 {
		points := make([]geom.Point, 1+r.IntN(40))
		for i := range points {
			points[i] = geom.Point{X: float64(r.IntN(12)), Y: float64(r.IntN(12))}
			if r.IntN(2) == 0 {
				points[i] = geom.Point{X: r.NormFloat64(), Y: r.NormFloat64()}
			}
		}
		hull := geom.Hull(points)
		o := newConvexOutline(hull)
		for k := range 200 {
			turn := float64(k-60) * math.Pi / 45
			if k%3 == 0 {
				turn = r.Float64() * 7
			}
			_, want := span(hull, turn)
			_, got := o.span(turn)
			require.InDelta(t, want, got, 1e-12, "%v at %v", hull, turn)
		}
	}
}

// A disc of very many corners, larger than the bed, is turned within moments.
func TestDiscOfManyCorners(t *testing.T) {
	const n = 200_000
	points := make([]geom.Point, n)
	for i := range points {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		points[i] = geom.Point{X: 300 * c, Y: 300 * s}
	}
	hull := geom.Hull(points)
	assert.Greater(t, len(hull), n/2)
	assert.False(t, fitsTurned(hull, 500, 500))
	assert.True(t, fitsTurned(hull, 601, 601))
}

// Trying a hundred thousand turns can only ever find less than all turns.
func TestBestTurnAgainstManyTurns(t *testing.T) {
	rng := dice.New(t)
	fitted, stuck := 0, 0
	for range 40 {
		points := make([]geom.Point, 3+rng.IntN(12))
		for i := range points {
			points[i] = geom.Point{X: rng.Float64() * 10, Y: rng.Float64() * 6}
		}
		hull := geom.Hull(points)
		_, longest := span(hull, 0)
		width, depth := longest*(.7+.4*rng.Float64()), longest*(.2+.7*rng.Float64())
		least := math.Inf(1) // how far the best of many turns stands out
		for i := range 20_000 {
			turn := float64(i) / 20_000 * math.Pi
			_, x := span(hull, turn)
			_, y := span(hull, turn+math.Pi/2)
			least = min(least, max(x-width, y-depth))
		}
		const between = 10 * math.Pi / 20_000 // how much a width changes from one turn to the next
		switch got := fitsTurned(hull, width, depth); {
		case least <= 0:
			require.True(t, got)
			fitted++
		case least > between:
			require.False(t, got)
			stuck++
		}
	}
	assert.Positive(t, fitted)
	assert.Positive(t, stuck)
}

func TestHullAroundAgainstEveryLine(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 0))
	for range 50 {
		points := make([]geom.Point, 40)
		for i := range points {
			points[i] = geom.Point{X: float64(rng.IntN(9)), Y: float64(rng.IntN(9))}
		}
		hull := geom.Hull(append([]geom.Point(nil), points...))
		for i, a := range hull {
			b, c := hull[(i+1)%len(hull)], hull[(i+2)%len(hull)]
			turn := (b.X-a.X)*(c.Y-b.Y) - (b.Y-a.Y)*(c.X-b.X)
			require.Positive(t, turn, "every corner turns left")
			for _, p := range points {
				require.GreaterOrEqual(t, (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X), 0., "no point outside")
			}
		}
	}
}
