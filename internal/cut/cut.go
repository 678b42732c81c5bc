// Package cut cuts a closed surface by a level plane and closes what is left with a flat
// cap, and takes what lies within several planes away from it. Lengths are mm.
//
// Corners that lie in the plane count as lying on the side that is thrown away, whichever
// that is, so that no part of a cap lies back to back on a level face in the same plane.
package cut

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// ErrSection says that the section is no set of outlines that can be closed by triangles:
// outlines cross or shrink to a line.
var ErrSection = errors.New("the section there crosses itself or is thinner than the file can hold")

// Section is what a level plane leaves of a surface: the area of the section in mm2 and the
// length of its outlines in mm. Where bodies overlap, they count twice.
type Section struct{ Area, Rim float64 }

// Sections returns the section at each height.
func Sections(m *mesh.Mesh, heights []float64) []Section {
	list := make([]Section, len(heights))
	order := make([]int, len(heights))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(heights[a], heights[b]) })
	sorted := make([]float64, len(heights))
	for i, k := range order {
		sorted[i] = heights[k]
	}
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		low, high := min(a.Z, b.Z, c.Z), max(a.Z, b.Z, c.Z)
		i, _ := slices.BinarySearch(sorted, low)
		for ; i < len(sorted) && sorted[i] < high; i++ {
			from, to := Crossing([3]mesh.Vec{a, b, c}, sorted[i])
			s := &list[order[i]]
			s.Area += (float64(from.X*to.Y) - float64(to.X*from.Y)) / 2
			s.Rim += to.Sub(from).Len()
		}
	}
	return list
}

// Extent is the box around the section at height z.
func Extent(m *mesh.Mesh, z float64) mesh.Box {
	box := mesh.EmptyBox()
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		if min(a.Z, b.Z, c.Z) <= z && max(a.Z, b.Z, c.Z) > z {
			from, to := Crossing([3]mesh.Vec{a, b, c}, z)
			box.Include(from)
			box.Include(to)
		}
	}
	return box
}

// Crossing returns where the plane cuts a triangle, the solid to the left of the way from
// one end to the other.
func Crossing(p [3]mesh.Vec, z float64) (from, to mesh.Vec) {
	for i, a := range p {
		b := p[(i+1)%3]
		switch {
		case a.Z > z && b.Z <= z:
			from = between(b, a, z)
		case a.Z <= z && b.Z > z:
			to = between(a, b, z)
		}
	}
	return from, to
}

// between returns the point of the edge at height z.
func between(a, b mesh.Vec, z float64) mesh.Vec {
	t := (z - a.Z) / (b.Z - a.Z)
	return mesh.Vec{X: a.X + float64(t*(b.X-a.X)), Y: a.Y + float64(t*(b.Y-a.Y)), Z: z}
}

// Above returns what lies above height z, closed by a cap in the plane. The surface must be
// closed. What it costs counts for the meter.
func Above(meter *work.Meter, m *mesh.Mesh, z float64) (*mesh.Mesh, error) {
	return half(meter, m, z, 1)
}

// Apart returns what lies above height z and what lies below it, each closed by a cap in the
// plane. Holes go into both caps, where their middle lies in one: it is for the caller to know
// that there is solid around them.
func Apart(meter *work.Meter, m *mesh.Mesh, z float64, holes ...Hole) (above, below *mesh.Mesh, err error) {
	if above, err = half(meter, m, z, 1, holes...); err != nil {
		return nil, nil, err
	}
	if below, err = half(meter, m, z, -1, holes...); err != nil {
		return nil, nil, err
	}
	return above, below, nil
}

// triCost is what a triangle costs in work, about.
const triCost = 20

// half is what lies on one side of height z: above it for side 1, below it for -1.
func half(meter *work.Meter, m *mesh.Mesh, z, side float64, holes ...Hole) (*mesh.Mesh, error) {
	if err := meter.Spend(triCost * int64(len(m.Tris))); err != nil {
		return nil, err
	}
	c := &cutter{
		from: m, plane: float32(z), side: side, near: nearOf(m),
		own: make([]uint32, len(m.Verts)), at: map[[2]int64]uint32{}, to: new(mesh.Mesh),
	}
	for t := range m.Tris {
		c.triangle(m.Tris[t])
	}
	tally := meter.Tally()
	caps, err := c.cap(holes, &tally)
	if ended := tally.Close(); ended != nil {
		return nil, ended
	}
	if err != nil {
		return nil, err
	}
	c.to.Tris = append(c.to.Tris, caps...)
	return c.to, nil
}

// cutter keeps one side of a mesh.
type cutter struct {
	from  *mesh.Mesh
	plane float32
	side  float64
	near  float64             // mm from which two new corners are one
	own   []uint32            // number + 1 of a corner that is kept
	at    map[[2]int64]uint32 // the new corner of a square of the plane as wide as near
	to    *mesh.Mesh
	rim   [][2]uint32 // sides of kept triangles in the plane
	// seen is where a corner lies in a plane that is not level, from outside the piece that is
	// kept; nil where it is level.
	seen func(v uint32) (x, y float64)
	// straight leaves out corners where an outline does not bend; nil where all stay.
	straight func(outline) (outline, error)
}

func (c *cutter) kept(v uint32) bool {
	z := c.from.Verts[v][2]
	return c.side > 0 && z > c.plane || c.side < 0 && z < c.plane
}

// triangle keeps what of a triangle lies on the side.
func (c *cutter) triangle(t mesh.Tri) {
	var ring [4]uint32
	n := 0
	leaves, enters := mesh.None, mesh.None
	for i, a := range t {
		b := t[(i+1)%3]
		in, next := c.kept(a), c.kept(b)
		if in {
			ring[n] = c.old(a)
			n++
		}
		if in != next {
			p := c.new(a, b)
			ring[n] = p
			n++
			if in {
				leaves = p
			} else {
				enters = p
			}
		}
	}
	for i := 2; i < n; i++ {
		if k := (mesh.Tri{ring[0], ring[i-1], ring[i]}); k[0] != k[1] && k[1] != k[2] && k[2] != k[0] {
			c.to.Tris = append(c.to.Tris, k)
		}
	}
	if leaves != enters {
		c.rim = append(c.rim, [2]uint32{leaves, enters})
	}
}

// old takes over a corner.
func (c *cutter) old(v uint32) uint32 {
	if c.own[v] == 0 {
		c.to.Verts = append(c.to.Verts, c.from.Verts[v])
		c.own[v] = uint32(len(c.to.Verts))
	}
	return c.own[v] - 1
}

// nearSteps is how many of the steps between two numbers of a file, at the farthest corner, new
// corners are apart at least. What was cut, turned and stored before is uneven by a step or two:
// corners in a row along an earlier cap would go back and forth, and no triangles can fill such an
// outline.
const nearSteps = 4

func nearOf(m *mesh.Mesh) float64 {
	box := m.Box()
	far := max(math.Abs(box.Min.X), math.Abs(box.Max.X), math.Abs(box.Min.Y), math.Abs(box.Max.Y))
	_, exponent := math.Frexp(far)
	return math.Ldexp(nearSteps, exponent-24)
}

// new is the corner at which an edge meets the plane, the same for both triangles beside it.
func (c *cutter) new(a, b uint32) uint32 {
	v := between(mesh.Of64(c.from.Verts[min(a, b)]), mesh.Of64(c.from.Verts[max(a, b)]), float64(c.plane))
	own := [2]int64{int64(math.Floor(v.X / c.near)), int64(math.Floor(v.Y / c.near))}
	i, ok := c.at[own]
	if !ok {
		if i, ok = c.beside(own, v); !ok {
			i = uint32(len(c.to.Verts))
			c.to.Verts = append(c.to.Verts, mesh.Point{float32(v.X) + 0, float32(v.Y) + 0, c.plane})
		}
		c.at[own] = i
	}
	return i
}

// beside finds a new corner near a place in the squares around its own.
func (c *cutter) beside(own [2]int64, v mesh.Vec) (uint32, bool) {
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			if i, ok := c.at[[2]int64{own[0] + dx, own[1] + dy}]; ok {
				if p := mesh.Of64(c.to.Verts[i]); max(math.Abs(p.X-v.X), math.Abs(p.Y-v.Y)) <= c.near {
					return i, true
				}
			}
		}
	}
	return 0, false
}
