// Package cut cuts a closed surface by a level plane and closes what is left with a flat
// cap. Lengths are mm.
//
// Corners that lie in the plane count as lying on the side that is thrown away, whichever
// that is, so that no part of a cap lies back to back on a level face in the same plane.
package cut

import (
	"errors"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// ErrSection says that the section is no set of outlines that can be closed by triangles:
// outlines cross or shrink to a line.
var ErrSection = errors.New("the section there crosses itself or is thinner than the file can hold")

// Areas returns the area of the section at each height, in mm2. Where bodies overlap, it
// counts them twice.
func Areas(m *mesh.Mesh, heights []float64) []float64 {
	areas := make([]float64, len(heights))
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		low, high := min(a.Z, b.Z, c.Z), max(a.Z, b.Z, c.Z)
		for i, z := range heights {
			if low > z || high <= z {
				continue
			}
			from, to := Crossing([3]mesh.Vec{a, b, c}, z)
			areas[i] += (float64(from.X*to.Y) - float64(to.X*from.Y)) / 2
		}
	}
	return areas
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
		from: m, plane: float32(z), side: side,
		own: make([]uint32, len(m.Verts)), at: map[mesh.Point]uint32{}, to: new(mesh.Mesh),
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
	own   []uint32 // number + 1 of a corner that is kept
	at    map[mesh.Point]uint32
	to    *mesh.Mesh
	rim   [][2]uint32 // sides of kept triangles in the plane
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

// new is the corner at which an edge meets the plane, the same for both triangles beside it.
// Corners that fall on one point in float32 are one.
func (c *cutter) new(a, b uint32) uint32 {
	v := between(mesh.Of64(c.from.Verts[min(a, b)]), mesh.Of64(c.from.Verts[max(a, b)]), float64(c.plane))
	p := mesh.Point{float32(v.X) + 0, float32(v.Y) + 0, c.plane}
	i, ok := c.at[p]
	if !ok {
		i = uint32(len(c.to.Verts))
		c.at[p] = i
		c.to.Verts = append(c.to.Verts, p)
	}
	return i
}
