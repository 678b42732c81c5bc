package mesh

// Corners returns the corners of triangle t.
func (m *Mesh) Corners(t int) (a, b, c Vec) {
	tri := &m.Tris[t]
	return Of64(m.Verts[tri[0]]), Of64(m.Verts[tri[1]]), Of64(m.Verts[tri[2]])
}

// Normal returns the outward normal of triangle t with twice its area as length.
func (m *Mesh) Normal(t int) Vec {
	a, b, c := m.Corners(t)
	return b.Sub(a).Cross(c.Sub(a))
}

// Box returns the extent of all vertices; that of a mesh without any is empty.
func (m *Mesh) Box() Box {
	if len(m.Verts) == 0 {
		return EmptyBox()
	}
	lo, hi := m.Verts[0], m.Verts[0]
	for _, p := range m.Verts {
		for k, x := range p {
			lo[k], hi[k] = min(lo[k], x), max(hi[k], x)
		}
	}
	return Box{Of64(lo), Of64(hi)}
}

// Area returns the sum of the areas of all triangles in mm2.
func (m *Mesh) Area() float64 {
	sum := 0.0
	for t := range m.Tris {
		sum += m.Normal(t).Len()
	}
	return sum / 2
}

// Volume returns the signed volume in mm3: positive when the surface is closed and
// wound outward, negative when it is inside out. Of an open surface it is that of
// the cone to the middle of the box. Where bodies overlap, it counts them twice.
func (m *Mesh) Volume() float64 {
	o := m.Box().Middle()
	sum := 0.0
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		sum += sixfold(a.Sub(o), b.Sub(o), c.Sub(o))
	}
	return sum / 6
}

// sixfold returns six times the signed volume of the tetrahedron to the origin.
func sixfold(a, b, c Vec) float64 { return a.Dot(b.Cross(c)) }

// Centroid returns the centre of the surface, every triangle weighing its area; of
// a surface without area it is the middle of the box.
func (m *Mesh) Centroid() Vec {
	var sum Vec
	weight := 0.0
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		w := b.Sub(a).Cross(c.Sub(a)).Len()
		sum = sum.Add(a.Add(b).Add(c).Scale(w))
		weight += w
	}
	if weight == 0 {
		return m.Box().Middle()
	}
	return sum.Scale(1 / (3 * weight))
}

// Middle returns the centre of the box, and the origin when the box is empty.
func (b Box) Middle() Vec {
	if b.Min.X > b.Max.X {
		return Vec{}
	}
	return b.Min.Add(b.Max).Scale(0.5)
}

// Contains reports whether a point lies in the box, or at most d outside it on every side.
func (b Box) Contains(p Vec, d float64) bool {
	return p.X >= b.Min.X-d && p.X <= b.Max.X+d && p.Y >= b.Min.Y-d && p.Y <= b.Max.Y+d && p.Z >= b.Min.Z-d && p.Z <= b.Max.Z+d
}

// Meets reports whether two boxes overlap, touch, or lie no farther than d apart along each axis.
func (b *Box) Meets(o *Box, d float64) bool {
	return b.Min.X <= o.Max.X+d && o.Min.X <= b.Max.X+d &&
		b.Min.Y <= o.Max.Y+d && o.Min.Y <= b.Max.Y+d &&
		b.Min.Z <= o.Max.Z+d && o.Min.Z <= b.Max.Z+d
}

// Grow returns the box made larger by d on every side.
func (b Box) Grow(d float64) Box {
	v := Vec{d, d, d}
	return Box{b.Min.Sub(v), b.Max.Add(v)}
}
