package shapes

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

// seams counts directed edges that lack a partner in the other direction.
func seams(s *mesh.Triangles) int {
	edges := map[[2]mesh.Point]int{}
	for i := 0; i < len(s.Corners); i += 3 {
		for k := range 3 {
			a, b := s.Corners[i+k], s.Corners[i+(k+1)%3]
			edges[[2]mesh.Point{a, b}]++
			edges[[2]mesh.Point{b, a}]--
		}
	}
	open := 0
	for _, n := range edges {
		open += max(n, 0)
	}
	return open
}

func TestDamage(t *testing.T) {
	s := Torus(10, 3, 16, 12)
	n := s.Count()
	cases := []struct {
		name             string
		damage           func(seed uint64) *mesh.Triangles
		triangles        int
		seamLow, seamTop int
	}{
		{"drop one", func(seed uint64) *mesh.Triangles { return DropTriangles(s, 1, seed) }, n - 1, 3, 3},
		{"drop ten", func(seed uint64) *mesh.Triangles { return DropTriangles(s, 10, seed) }, n - 10, 10, 30},
		{"drop all", func(uint64) *mesh.Triangles { return DropTriangles(s, n+5, 1) }, 0, 0, 0},
		// A triangle wound the other way leaves its three edges doubled one way.
		{"flip one", func(seed uint64) *mesh.Triangles { return FlipTriangles(s, 1, seed) }, n, 6, 6},
		{"duplicate one", func(seed uint64) *mesh.Triangles { return DuplicateTriangles(s, 1, seed) }, n + 1, 3, 3},
		{"collapse four", func(seed uint64) *mesh.Triangles { return CollapseTriangles(s, 4, seed) }, n + 4, 0, 0},
		{"inner faces", func(seed uint64) *mesh.Triangles { return InnerFaces(s, 5, seed) }, n + 10, 0, 0},
		{"jitter", func(seed uint64) *mesh.Triangles { return Jitter(s, 0.01, seed) }, n, 3 * n, 3 * n},
		{"roughen", func(seed uint64) *mesh.Triangles { return Roughen(s, 0.01, seed) }, n, 0, 0},
		{"shatter", func(seed uint64) *mesh.Triangles { return Shatter(s, 8, 0.05, seed) }, n, 20, 3 * n},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d := c.damage(1)
			assert.Equal(t, c.triangles, d.Count())
			assert.Equal(t, d, c.damage(1), "a seed decides")
			if d.Count() > 0 {
				assert.NotEqual(t, d, c.damage(2))
			}
			assert.GreaterOrEqual(t, seams(d), c.seamLow)
			assert.LessOrEqual(t, seams(d), c.seamTop)
			assert.Equal(t, Torus(10, 3, 16, 12), s, "the argument is left as it was")
		})
	}
}

func TestDamageKeepsToItsAmount(t *testing.T) {
	s := Table()
	for name, d := range map[string]*mesh.Triangles{
		"jitter": Jitter(s, 0.05, 9), "roughen": Roughen(s, 0.05, 9),
	} {
		for i, p := range d.Corners {
			off := mesh.Of64(p).Sub(mesh.Of64(s.Corners[i]))
			assert.LessOrEqual(t, max(off.X, off.Y, off.Z, -off.X, -off.Y, -off.Z), 0.05+1e-5, name)
		}
	}
	shattered := Shatter(s, 15, 0.2, 9)
	for i, p := range shattered.Corners {
		assert.InDelta(t, 0.2, mesh.Of64(p).Sub(mesh.Of64(s.Corners[i])).Len(), 1e-5)
	}
	requireClosed(t, Roughen(Torus(10, 3, 16, 12), 0.05, 4), false)
}
