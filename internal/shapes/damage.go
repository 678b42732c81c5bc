package shapes

import (
	"slices"

	"printlint/internal/mesh"
)

// The functions below spoil a clean body in the ways that published models are
// spoilt. Each is decided by its seed and leaves its argument as it was.

// pick chooses n different triangles of the body, in rising order.
func pick(s *mesh.Triangles, n int, seed uint64) []int {
	chosen := random(seed).Perm(s.Count())[:min(n, s.Count())]
	slices.Sort(chosen)
	return chosen
}

// DropTriangles leaves n triangles out: holes in the surface.
func DropTriangles(s *mesh.Triangles, n int, seed uint64) *mesh.Triangles {
	gone := pick(s, n, seed)
	out := new(mesh.Triangles)
	for i := range s.Count() {
		if _, found := slices.BinarySearch(gone, i); !found {
			out.Corners = append(out.Corners, s.Corners[3*i:3*i+3]...)
		}
	}
	return out
}

// FlipTriangles winds n triangles the wrong way round.
func FlipTriangles(s *mesh.Triangles, n int, seed uint64) *mesh.Triangles {
	out := Join(s)
	for _, i := range pick(s, n, seed) {
		out.Corners[3*i+1], out.Corners[3*i+2] = out.Corners[3*i+2], out.Corners[3*i+1]
	}
	return out
}

// DuplicateTriangles appends n triangles a second time, so that three or four
// triangles share an edge.
func DuplicateTriangles(s *mesh.Triangles, n int, seed uint64) *mesh.Triangles {
	out := Join(s)
	for _, i := range pick(s, n, seed) {
		out.Corners = append(out.Corners, s.Corners[3*i:3*i+3]...)
	}
	return out
}

// CollapseTriangles appends n triangles without area: two corners in one place, as
// coarse export leaves them.
func CollapseTriangles(s *mesh.Triangles, n int, seed uint64) *mesh.Triangles {
	out := Join(s)
	for _, i := range pick(s, n, seed) {
		a, b := s.Corners[3*i], s.Corners[3*i+1]
		out.Corners = append(out.Corners, a, b, b)
	}
	return out
}

// Jitter moves every corner of every triangle on its own by up to amount in each
// direction: seams open and no corner fits its neighbour's any more.
func Jitter(s *mesh.Triangles, amount float64, seed uint64) *mesh.Triangles {
	rng := random(seed)
	step := func() float64 { return amount * (2*rng.Float64() - 1) }
	return Map(s, func(p Vec) Vec { return p.Add(Vec{X: step(), Y: step(), Z: step()}) })
}

// Roughen moves every corner by up to amount in each direction, corners at one place
// alike: the surface gets rough and stays closed.
func Roughen(s *mesh.Triangles, amount float64, seed uint64) *mesh.Triangles {
	rng := random(seed)
	moved := map[Vec]Vec{}
	return Map(s, func(p Vec) Vec {
		to, done := moved[p]
		if !done {
			step := func() float64 { return amount * (2*rng.Float64() - 1) }
			to = p.Add(Vec{X: step(), Y: step(), Z: step()})
			moved[p] = to
		}
		return to
	})
}

// Shatter cuts the surface into loose patches, each of the triangles whose middle
// lies in one cell of a grid of the given size, and moves every patch by gap in a
// direction of its own: open shells with slits between them.
func Shatter(s *mesh.Triangles, cell, gap float64, seed uint64) *mesh.Triangles {
	rng := random(seed)
	shift := map[[3]int]Vec{}
	out := new(mesh.Triangles)
	for i := range s.Count() {
		a, b, c := mesh.Of64(s.Corners[3*i]), mesh.Of64(s.Corners[3*i+1]), mesh.Of64(s.Corners[3*i+2])
		middle := a.Add(b).Add(c).Scale(1 / (3 * cell))
		patch := [3]int{int(middle.X + 1e6), int(middle.Y + 1e6), int(middle.Z + 1e6)}
		d, known := shift[patch]
		if !known {
			d = Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit().Scale(gap)
			shift[patch] = d
		}
		tri(out, a.Add(d), b.Add(d), c.Add(d))
	}
	return out
}

// InnerFaces appends n sheets without thickness, each a triangle seen from both
// sides, between corners of the body: leftovers inside a body.
func InnerFaces(s *mesh.Triangles, n int, seed uint64) *mesh.Triangles {
	rng := random(seed)
	out := Join(s)
	for n > 0 {
		var t [3]mesh.Point
		for k := range t {
			t[k] = s.Corners[rng.IntN(len(s.Corners))]
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			continue
		}
		out.Corners = append(out.Corners, t[0], t[1], t[2], t[0], t[2], t[1])
		n--
	}
	return out
}
