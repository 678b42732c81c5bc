package spatial_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// solidAngles sums the signed solid angles of all triangles over 4 pi (A. van Oosterom
// and J. Strackee 1983, from memory): the winding, without any ray.
func solidAngles(m *mesh.Mesh, p mesh.Vec) float64 {
	sum := 0.0
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		a, b, c = a.Sub(p), b.Sub(p), c.Sub(p)
		la, lb, lc := a.Len(), b.Len(), c.Len()
		sum += 2 * math.Atan2(a.Dot(b.Cross(c)), la*lb*lc+a.Dot(b)*lc+b.Dot(c)*la+c.Dot(a)*lb)
	}
	return sum / (4 * math.Pi)
}

// Random unions of boxes, some inside out, that overlap, touch and hold each other: in
// any direction the winding is that of the solid angles, several deep.
func TestWindingAgainstSolidAngles(t *testing.T) {
	r := dice.New(t)
	values := map[int]int{}
	for range 40 {
		soup := new(mesh.Triangles)
		for range 1 + r.IntN(8) {
			lo := vec(float64(r.IntN(6)), float64(r.IntN(6)), float64(r.IntN(6)))
			box := shapes.Box(lo, lo.Add(vec(float64(1+r.IntN(5)), float64(1+r.IntN(5)), float64(1+r.IntN(5)))))
			if r.IntN(3) == 0 {
				box = shapes.Flip(box)
			}
			soup = shapes.Join(soup, box)
		}
		m, tree := build(t, soup)
		for range 60 {
			p := within(r, m.Box(), 1)
			want := solidAngles(m, p)
			require.InDelta(t, math.Round(want), want, 1e-6)
			for _, d := range []mesh.Vec{direction(r), vec(1, 0, 0), vec(0, 0, -1), vec(1, 1, 1)} {
				require.Equal(t, int(math.Round(want)), tree.Winding(p, d), "at %v along %v", p, d)
			}
			values[int(math.Round(want))]++
		}
	}
	assert.Greater(t, len(values), 4, "several deep, either way round: %v", values)
}

// nearestOn is the nearest point of a triangle by trying its inside, its sides and its
// corners one by one.
func nearestOn(a, b, c, p mesh.Vec) float64 {
	best := math.Inf(1)
	for _, e := range [3][2]mesh.Vec{{a, b}, {b, c}, {c, a}} {
		d := e[1].Sub(e[0])
		s := 0.0
		if l := d.Dot(d); l > 0 {
			s = min(max(p.Sub(e[0]).Dot(d)/l, 0), 1)
		}
		best = min(best, p.Sub(e[0].Add(d.Scale(s))).Len())
	}
	n := b.Sub(a).Cross(c.Sub(a))
	if n.Len() == 0 {
		return best
	}
	foot := p.Sub(n.Scale(p.Sub(a).Dot(n) / n.Dot(n)))
	for _, e := range [3][2]mesh.Vec{{a, b}, {b, c}, {c, a}} {
		if e[1].Sub(e[0]).Cross(foot.Sub(e[0])).Dot(n) < 0 {
			return best
		}
	}
	return p.Sub(foot).Len()
}

// In random soups the nearest point is that of trying every triangle, and lies on the
// triangle that is named.
func TestNearestAgainstEveryTriangle(t *testing.T) {
	r := dice.New(t)
	for round := range 40 {
		some := randomSoup(r, 1+r.IntN(120), round%2 == 0)
		soup := shapes.Cube(1)
		for i, all := 0, mesh.Weld(some); i < len(all.Tris); i++ {
			if !all.IsZero(i) { // a needle of two corners belongs to no surface
				soup.Corners = append(soup.Corners, some.Corners[3*i:3*i+3]...)
			}
		}
		m, tree := build(t, soup)
		for range 40 {
			p := within(r, m.Box(), 2)
			want := math.Inf(1)
			for i := range m.Tris {
				a, b, c := m.Corners(i)
				want = min(want, nearestOn(a, b, c, p))
			}
			at, tri, dist := tree.Nearest(p)
			require.InDelta(t, want, dist, 1e-9)
			require.InDelta(t, dist, at.Sub(p).Len(), 1e-9)
			a, b, c := m.Corners(int(tri))
			require.InDelta(t, 0, nearestOn(a, b, c, at), 1e-6)
		}
	}
}

// Mirrored, a ray meets the same triangles as far away.
func TestRaysFollowTheShape(t *testing.T) {
	r := dice.New(t)
	for name, soup := range solids() {
		m, tree := build(t, soup)
		_, mirrored := build(t, shapes.Mirror(soup))
		for range 200 {
			o, d := within(r, m.Box(), 2), direction(r)
			a := tree.Hits(o, d, 0, 1e6, nil)
			b := mirrored.Hits(vec(-o.X, o.Y, o.Z), vec(-d.X, d.Y, d.Z), 0, 1e6, nil)
			require.Len(t, b, len(a), name)
			for i := range a {
				require.InDelta(t, a[i].T, b[i].T, 1e-9, name)
				require.Equal(t, a[i].Into, b[i].Into, name)
			}
			require.Equal(t, tree.Winding(o, d), mirrored.Winding(vec(-o.X, o.Y, o.Z), vec(-d.X, d.Y, d.Z)), name)
		}
	}
}
