package mesh

import "math"

// Placement is how a mesh was laid on the bed: a rotation, row by row, and the
// height that was then taken off every z.
type Placement struct {
	M    [9]float64
	Drop float64
}

// Identity is the rotation that turns nothing.
var Identity = [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}

// To takes a point of the file's own frame to the bed.
func (p Placement) To(v Vec) Vec {
	v = Turn(&p.M, v)
	v.Z -= p.Drop
	return v
}

// Back takes a point above the bed to the file's own frame. The inverse of a
// rotation is its transpose.
func (p Placement) Back(v Vec) Vec {
	v.Z += p.Drop
	return p.BackDirection(v)
}

// BackDirection takes a direction above the bed to the file's own frame.
func (p Placement) BackDirection(v Vec) Vec {
	back := Transposed(&p.M)
	return Turn(&back, v)
}

// BackBox returns the box, in the file's own frame, of a box above the bed.
func (p Placement) BackBox(b Box) Box { return b.through(p.Back) }

// ToBox returns the box, above the bed, of a box in the file's own frame.
func (p Placement) ToBox(b Box) Box { return b.through(p.To) }

// through is the box of where the corners of a box go; an empty one stays empty.
func (b Box) through(to func(Vec) Vec) Box {
	if b.Min.X > b.Max.X {
		return b
	}
	own := EmptyBox()
	for i := range 8 {
		v := b.Min
		if i&1 != 0 {
			v.X = b.Max.X
		}
		if i&2 != 0 {
			v.Y = b.Max.Y
		}
		if i&4 != 0 {
			v.Z = b.Max.Z
		}
		own.Include(to(v))
	}
	return own
}

// Turn multiplies a vector by a matrix given row by row. Each product is rounded
// on its own, as in Vec.Dot.
func Turn(m *[9]float64, v Vec) Vec {
	return Vec{
		Vec{m[0], m[1], m[2]}.Dot(v),
		Vec{m[3], m[4], m[5]}.Dot(v),
		Vec{m[6], m[7], m[8]}.Dot(v),
	}
}

// Transposed is a matrix with rows for columns: of a rotation, the way back.
func Transposed(m *[9]float64) [9]float64 {
	return [9]float64{m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8]}
}

// Product is the matrix that does b first and a after it, without a negative zero.
func Product(a, b [9]float64) (c [9]float64) {
	for k := range 3 {
		v := Turn(&a, Vec{b[k], b[3+k], b[6+k]})
		c[k], c[3+k], c[6+k] = v.X+0, v.Y+0, v.Z+0
	}
	return c
}

// Posed returns the mesh turned by a rotation, given row by row, and dropped so
// that its lowest point lies at z = 0. Triangles and source are shared with m, and
// so are the vertices when nothing moves.
func (m *Mesh) Posed(rotation [9]float64) (*Mesh, Placement) {
	p := Placement{M: rotation}
	if len(m.Verts) == 0 {
		return m, p
	}
	row := Vec{rotation[6], rotation[7], rotation[8]}
	p.Drop = math.Inf(1)
	for _, v := range m.Verts {
		p.Drop = min(p.Drop, row.Dot(Of64(v)))
	}
	if rotation == Identity && p.Drop == 0 {
		return m, p
	}
	verts := make([]Point, len(m.Verts))
	for i, v := range m.Verts {
		w := p.To(Of64(v))
		verts[i] = Point{plusZero(float32(w.X)), plusZero(float32(w.Y)), plusZero(float32(w.Z))}
	}
	return &Mesh{Verts: verts, Tris: m.Tris, Source: m.Source}, p
}
