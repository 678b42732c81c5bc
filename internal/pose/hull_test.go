package pose

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// soundHull checks that a hull is closed, that its neighbours agree, and that no point
// lies outside of it by more than the slack and rounding.
func soundHull(t *testing.T, h *hull) {
	t.Helper()
	edges, faces := 0, 0
	stride := max(1, len(h.points)/400) // of large hulls every face sees some points
	for i := range h.faces {
		f := &h.faces[i]
		if f.dead {
			continue
		}
		faces++
		for k, n := range f.next {
			edges++
			g := &h.faces[n]
			back := slices.Index(g.next[:], int32(i))
			if g.dead || back < 0 || f.corner[k] != g.corner[(back+1)%3] || f.corner[(k+1)%3] != g.corner[back] {
				require.Fail(t, "faces do not fit together", "%d and %d", i, n)
			}
		}
		for k := i % stride; k < len(h.points); k += stride {
			if f.height(h.points[k]) > 2*h.slack {
				require.Fail(t, "a point lies outside", "point %d by %v of face %d", k, f.height(h.points[k]), i)
			}
		}
	}
	// A closed surface of triangles has as many corners as Euler's formula asks for.
	assert.Equal(t, len(h.corners())-edges/2+faces, 2)
}

// planesOf lists the planes of a hull's faces, neighbours merged, with their areas.
func planesOf(h *hull) []string {
	taken := make([]bool, len(h.faces))
	var list []string
	for i := range h.faces {
		if f := &h.faces[i]; !f.dead && !taken[i] {
			n := h.merge(int32(i), taken)
			if n.Len() < 1e-2 {
				continue // a sliver along an edge that rounding has bent
			}
			list = append(list, planeName(n.Unit(), f.offset, n.Len()))
		}
	}
	slices.Sort(list)
	return list
}

func planeName(n mesh.Vec, offset, area float64) string {
	r := func(x float64) float64 { return math.Round(x*1e4)/1e4 + 0 }
	return fmt.Sprintf("%v %v %v at %v: %v", r(n.X), r(n.Y), r(n.Z), r(offset), r(area))
}

// bruteHull finds the same planes by trying every three points: a plane with all
// points on one side holds a face, the flat hull of the points in it.
func bruteHull(points []mesh.Vec) []string {
	seen := map[string]bool{}
	for _, a := range points {
		for _, b := range points {
			for _, c := range points {
				n := b.Sub(a).Cross(c.Sub(a))
				if n.Len() == 0 {
					continue
				}
				n = n.Unit()
				u, v := across(n)
				var in []geom.Point
				outside := false
				for _, p := range points {
					d := n.Dot(p.Sub(a))
					outside = outside || d > 1e-9
					if d > -1e-9 {
						in = append(in, geom.Point{X: u.Dot(p), Y: v.Dot(p)})
					}
				}
				if !outside {
					seen[planeName(n, n.Dot(a), flatArea(geom.Hull(in)))] = true
				}
			}
		}
	}
	var list []string
	for s := range seen {
		list = append(list, s)
	}
	slices.Sort(list)
	return list
}

func flatArea(hull []geom.Point) float64 {
	sum := 0.0
	for i := 1; i+1 < len(hull); i++ {
		a, b, c := hull[0], hull[i], hull[i+1]
		sum += ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2
	}
	return sum
}

// TestHullAgainstEveryTriple compares with the brute-force twin on points of a small
// lattice, where many lie in one plane or on one line, and on scattered ones.
func TestHullAgainstEveryTriple(t *testing.T) {
	seed := dice.Seed(t)
	rng := rand.New(rand.NewPCG(seed, 1))
	hulls := 0
	for round := range 120 {
		side, n := 2+rng.IntN(4), 5+rng.IntN(22)
		var points []mesh.Vec
		for range n {
			p := mesh.Vec{X: float64(rng.IntN(side)), Y: float64(rng.IntN(side)), Z: float64(rng.IntN(side))}
			if round%3 == 0 {
				p = mesh.Vec{X: 9 * rng.Float64(), Y: 9 * rng.Float64(), Z: 9 * rng.Float64()}
			}
			if !slices.Contains(points, p) {
				points = append(points, p)
			}
		}
		h := hullOf(points, 1e-9, new(work.Tally))
		if h == nil {
			continue
		}
		hulls++
		soundHull(t, h)
		// Scattered points may make neighbours that the merging takes for one plane.
		if round%3 != 0 {
			require.Equal(t, bruteHull(points), planesOf(h), "round %d", round)
		}
	}
	assert.Greater(t, hulls, 60)
}

func vecsOf(s *mesh.Triangles) []mesh.Vec {
	var list []mesh.Vec
	for _, p := range mesh.Weld(s).Verts {
		list = append(list, mesh.Of64(p))
	}
	return list
}

func TestHullsOfSolids(t *testing.T) {
	for name, c := range map[string]struct {
		solid  *mesh.Triangles
		planes int
	}{
		"cube":             {shapes.Cube(20), 6},
		"T":                {shapes.T(), 8},
		"table":            {shapes.Table(), 6},
		"tetrahedron":      {shapes.Scale(shapes.Tetrahedron(), 30), 4},
		"cylinder":         {shapes.Cylinder(10, 30, 48), 50},
		"split":            {shapes.Split4(shapes.Split4(shapes.Portal(30))), 6},
		"turned cylinder":  {shapes.Turn(shapes.Cylinder(10, 30, 48), shapes.Vec{X: 1, Y: 2, Z: 3}, 37), 50},
		"turned and split": {shapes.Turn(shapes.Split4(shapes.Split4(shapes.T())), shapes.Vec{X: 3, Y: 2, Z: 1}, 71), 8},
	} {
		h := hullOf(vecsOf(c.solid), hullSlack, new(work.Tally))
		require.NotNil(t, h, name)
		soundHull(t, h)
		assert.Len(t, planesOf(h), c.planes, name)
	}
}

func TestHullsOfManyPoints(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{
		"ball":       shapes.Sphere(30, 128),
		"bumpy ball": shapes.NoisyBall(30, 1, 5, 1),
		"torus":      shapes.Torus(20, 6, 96, 48),
		"figure":     shapes.Figure(),
	} {
		t.Run(name, func(t *testing.T) {
			h := hullOf(vecsOf(solid), hullSlack, new(work.Tally))
			require.NotNil(t, h)
			soundHull(t, h)
		})
	}
}

func TestFlatPointsHaveNoHull(t *testing.T) {
	var flat, line []mesh.Vec
	for i := range 30 {
		x, y := float64(i%6), float64(i/6)
		flat = append(flat, mesh.Vec{X: x, Y: y, Z: x + y})
		line = append(line, mesh.Vec{X: x, Y: 2 * x, Z: 3 * x})
	}
	for name, points := range map[string][]mesh.Vec{
		"none": nil, "three": flat[:3], "plane": flat, "line": line, "one point": make([]mesh.Vec, 9),
		"thinner than the slack": {{}, {X: 1}, {Y: 1}, {X: 0.3, Y: 0.3, Z: 0.004}},
	} {
		assert.Nil(t, hullOf(points, hullSlack, new(work.Tally)), name)
	}
}

// BenchmarkHull is the hull of a bumpy ball of 164,000 corners.
func BenchmarkHull(b *testing.B) {
	points := vecsOf(shapes.NoisyBall(30, 1, 7, 1))
	faces := 0
	for b.Loop() {
		faces += len(hullOf(points, hullSlack, new(work.Tally)).faces)
	}
	b.ReportMetric(float64(faces)/float64(max(b.N, 1)), "faces")
}
