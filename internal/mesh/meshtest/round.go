package meshtest

import (
	"math"

	"printlint/internal/mesh"
)

// Tetrahedron is the regular one of the given edge, on alternate corners of a cube.
func Tetrahedron(edge float64) *mesh.Soup {
	s := edge / math.Sqrt(8)
	return FromFaces([]mesh.Vec{{X: s, Y: s, Z: s}, {X: s, Y: -s, Z: -s}, {X: -s, Y: s, Z: -s}, {X: -s, Y: -s, Z: s}},
		[][]int{{0, 1, 2}, {0, 3, 1}, {0, 2, 3}, {1, 3, 2}})
}

// Icosahedron is the regular one of the given edge.
func Icosahedron(edge float64) *mesh.Soup {
	a, b := edge/2, edge/2*math.Phi
	verts := []mesh.Vec{
		{X: -a, Y: b}, {X: a, Y: b}, {X: -a, Y: -b}, {X: a, Y: -b},
		{Y: -a, Z: b}, {Y: a, Z: b}, {Y: -a, Z: -b}, {Y: a, Z: -b},
		{X: b, Z: -a}, {X: b, Z: a}, {X: -b, Z: -a}, {X: -b, Z: a},
	}
	return FromFaces(verts, [][]int{
		{0, 11, 5}, {0, 5, 1}, {0, 1, 7}, {0, 7, 10}, {0, 10, 11},
		{1, 5, 9}, {5, 11, 4}, {11, 10, 2}, {10, 7, 6}, {7, 1, 8},
		{3, 9, 4}, {3, 4, 2}, {3, 2, 6}, {3, 6, 8}, {3, 8, 9},
		{4, 9, 5}, {2, 4, 11}, {6, 2, 10}, {8, 6, 7}, {9, 8, 1},
	})
}

// Sphere is an icosahedron split the given number of times, corners on radius r.
func Sphere(r float64, splits int) *mesh.Soup {
	s := Icosahedron(1)
	for range splits {
		s = Map(Split(s), mesh.Vec.Unit)
	}
	return Map(s, func(v mesh.Vec) mesh.Vec { return v.Unit().Scale(r) })
}

// Torus lies flat around the origin: ring radius R, tube radius r, n by m facets.
func Torus(ring, tube float64, n, m int) *mesh.Soup {
	at := func(i, j int) mesh.Vec {
		su, cu := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		sv, cv := math.Sincos(2 * math.Pi * float64(j%m) / float64(m))
		return mesh.Vec{X: (ring + tube*cv) * cu, Y: (ring + tube*cv) * su, Z: tube * sv}
	}
	s := &mesh.Soup{}
	for i := range n {
		for j := range m {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			Add(s, a, b, c)
			Add(s, a, c, d)
		}
	}
	return s
}

// Gyroid is a sheet along the gyroid surface inside a cube of the given side: cells
// periods along each side, sampled n times along each side, about half as thick as
// the space between. A side of 60 with 4 cells and n = 55 has some 500,000 triangles.
func Gyroid(side float64, cells, n int) *mesh.Soup {
	k := 2 * math.Pi * float64(cells) / side
	return Implicit(func(v mesh.Vec) float64 {
		sx, cx := math.Sincos(k * v.X)
		sy, cy := math.Sincos(k * v.Y)
		sz, cz := math.Sincos(k * v.Z)
		return math.Abs(sx*cy+sy*cz+sz*cx) - .5
	}, mesh.Vec{}, side, n)
}

// Implicit is the closed surface around where f < 0 inside a cube, by marching
// tetrahedra on an n by n by n grid. The faces of the cube close it.
func Implicit(f func(mesh.Vec) float64, lo mesh.Vec, side float64, n int) *mesh.Soup {
	g := &grid{n: n + 3, lo: lo, step: side / float64(n)}
	g.values = make([]float64, g.n*g.n*g.n)
	for i := range g.values {
		x, y, z := i%g.n, i/g.n%g.n, i/g.n/g.n
		g.values[i] = 1
		if min(x, y, z) > 0 && max(x, y, z) < g.n-1 {
			g.values[i] = f(g.at(i))
		}
	}
	// The six tetrahedra of a cube around its diagonal from corner 0 to corner 7.
	paths := [][2]int{{1, 3}, {3, 2}, {2, 6}, {6, 4}, {4, 5}, {5, 1}}
	for z := range g.n - 1 {
		for y := range g.n - 1 {
			for x := range g.n - 1 {
				corner := func(c int) int { return (z+c>>2)*g.n*g.n + (y+c>>1&1)*g.n + x + c&1 }
				for _, p := range paths {
					g.tetrahedron([4]int{corner(0), corner(p[0]), corner(p[1]), corner(7)})
				}
			}
		}
	}
	return &g.soup
}

type grid struct {
	n      int
	lo     mesh.Vec
	step   float64
	values []float64
	soup   mesh.Soup
}

func (g *grid) at(i int) mesh.Vec {
	x, y, z := i%g.n, i/g.n%g.n, i/g.n/g.n
	return g.lo.Add(mesh.Vec{X: float64(x - 1), Y: float64(y - 1), Z: float64(z - 1)}.Scale(g.step))
}

// cut is where the surface crosses the edge between two grid points.
func (g *grid) cut(a, b int) mesh.Vec {
	if a > b {
		a, b = b, a
	}
	t := g.values[a] / (g.values[a] - g.values[b])
	t = min(max(t, 1e-3), 1-1e-3)
	return g.at(a).Scale(1 - t).Add(g.at(b).Scale(t))
}

// tetrahedron adds the piece of surface inside one tetrahedron, whose corners are
// given so that 1, 2, 3 turn counter-clockwise seen from 0.
func (g *grid) tetrahedron(c [4]int) {
	var in, out []int
	for _, i := range c {
		if g.values[i] < 0 {
			in = append(in, i)
		} else {
			out = append(out, i)
		}
	}
	switch len(in) {
	case 1:
		g.face(in[0], g.cut(in[0], out[0]), g.cut(in[0], out[1]), g.cut(in[0], out[2]))
	case 3:
		g.face(in[0], g.cut(in[0], out[0]), g.cut(in[1], out[0]), g.cut(in[2], out[0]))
	case 2:
		a, b := g.cut(in[0], out[0]), g.cut(in[0], out[1])
		c, d := g.cut(in[1], out[1]), g.cut(in[1], out[0])
		g.face(in[0], a, b, c)
		g.face(in[0], a, c, d)
	}
}

// face adds a triangle so that it faces away from an inner grid point.
func (g *grid) face(inner int, a, b, c mesh.Vec) {
	if b.Sub(a).Cross(c.Sub(a)).Dot(a.Sub(g.at(inner))) < 0 {
		b, c = c, b
	}
	Add(&g.soup, a, b, c)
}
