// Package meshtest makes solids with known properties for tests and benchmarks.
// Every solid is closed and wound outward; lengths are mm.
package meshtest

import (
	"math"
	"math/rand/v2"

	"printlint/internal/mesh"
)

// FromFaces fans faces, given counter-clockwise by vertex number, into triangles.
func FromFaces(verts []mesh.Vec, faces [][]int) *mesh.Soup {
	s := &mesh.Soup{}
	for _, f := range faces {
		for i := 2; i < len(f); i++ {
			Add(s, verts[f[0]], verts[f[i-1]], verts[f[i]])
		}
	}
	return s
}

// Add appends one triangle.
func Add(s *mesh.Soup, a, b, c mesh.Vec) {
	s.Corners = append(s.Corners, Round(a), Round(b), Round(c))
}

// Round stores a point as a file would.
func Round(v mesh.Vec) mesh.Point { return mesh.Point{float32(v.X), float32(v.Y), float32(v.Z)} }

// Join puts several soups into one.
func Join(soups ...*mesh.Soup) *mesh.Soup {
	all := &mesh.Soup{}
	for _, s := range soups {
		all.Corners = append(all.Corners, s.Corners...)
	}
	return all
}

// Map moves every corner.
func Map(s *mesh.Soup, move func(mesh.Vec) mesh.Vec) *mesh.Soup {
	moved := &mesh.Soup{Corners: make([]mesh.Point, len(s.Corners))}
	for i, p := range s.Corners {
		moved.Corners[i] = Round(move(mesh.Of64(p)))
	}
	return moved
}

// Flip turns every triangle over.
func Flip(s *mesh.Soup) *mesh.Soup {
	f := &mesh.Soup{Corners: append([]mesh.Point(nil), s.Corners...)}
	for i := 0; i+2 < len(f.Corners); i += 3 {
		f.Corners[i+1], f.Corners[i+2] = f.Corners[i+2], f.Corners[i+1]
	}
	return f
}

// Shuffle puts the triangles into a random order that depends on the seed alone.
func Shuffle(s *mesh.Soup, seed uint64) *mesh.Soup {
	r := rand.New(rand.NewPCG(seed, 1))
	mixed := &mesh.Soup{Corners: make([]mesh.Point, 0, len(s.Corners))}
	for _, t := range r.Perm(s.Triangles()) {
		mixed.Corners = append(mixed.Corners, s.Corners[3*t:3*t+3]...)
	}
	return mixed
}

// Split cuts every triangle into four at the middles of its sides.
func Split(s *mesh.Soup) *mesh.Soup {
	fine := &mesh.Soup{}
	for i := 0; i+2 < len(s.Corners); i += 3 {
		a, b, c := mesh.Of64(s.Corners[i]), mesh.Of64(s.Corners[i+1]), mesh.Of64(s.Corners[i+2])
		ab, bc, ca := a.Add(b).Scale(.5), b.Add(c).Scale(.5), c.Add(a).Scale(.5)
		Add(fine, a, ab, ca)
		Add(fine, ab, b, bc)
		Add(fine, ca, bc, c)
		Add(fine, ab, bc, ca)
	}
	return fine
}

// Box is the box between two corners, twelve triangles.
func Box(lo, hi mesh.Vec) *mesh.Soup {
	return Hexahedron([8]mesh.Vec{
		{X: lo.X, Y: lo.Y, Z: lo.Z}, {X: hi.X, Y: lo.Y, Z: lo.Z}, {X: hi.X, Y: hi.Y, Z: lo.Z}, {X: lo.X, Y: hi.Y, Z: lo.Z},
		{X: lo.X, Y: lo.Y, Z: hi.Z}, {X: hi.X, Y: lo.Y, Z: hi.Z}, {X: hi.X, Y: hi.Y, Z: hi.Z}, {X: lo.X, Y: hi.Y, Z: hi.Z},
	})
}

// Hexahedron joins a lower and an upper quadrilateral, each counter-clockwise seen
// from above.
func Hexahedron(v [8]mesh.Vec) *mesh.Soup {
	return FromFaces(v[:], [][]int{{0, 3, 2, 1}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}})
}

// Wedge is a prism of length along y whose section is a triangle with its edge at the
// origin, one leg along x of the given run and the other leg at the angle above it.
func Wedge(angleDeg, run, length float64) *mesh.Soup {
	top := run * math.Tan(angleDeg*math.Pi/180)
	return FromFaces([]mesh.Vec{
		{}, {X: run}, {X: run, Z: top},
		{Y: length}, {X: run, Y: length}, {X: run, Y: length, Z: top},
	}, [][]int{{0, 1, 2}, {3, 5, 4}, {0, 3, 4, 1}, {1, 4, 5, 2}, {2, 5, 3, 0}})
}

// Prism is a regular n-gon of radius r pulled up from z = 0 to h.
func Prism(n int, r, h float64) *mesh.Soup {
	verts := make([]mesh.Vec, 2*n)
	low, high := make([]int, n), make([]int, n)
	faces := make([][]int, 0, n+2)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		verts[i] = mesh.Vec{X: r * cos, Y: r * sin}
		verts[n+i] = mesh.Vec{X: r * cos, Y: r * sin, Z: h}
		low[n-1-i], high[i] = i, n+i
		j := (i + 1) % n
		faces = append(faces, []int{i, j, n + j, n + i})
	}
	return FromFaces(verts, append(faces, low, high))
}
