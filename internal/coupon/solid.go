package coupon

import "printlint/internal/mesh"

// outline is a simple polygon, counter-clockwise, in mm.
type outline [][2]float64

// rectangle is the outline between two corners.
func rectangle(x0, y0, x1, y1 float64) outline {
	return outline{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// area is that of the outline.
func (o outline) area() float64 {
	sum := 0.0
	for i, a := range o {
		b := o[(i+1)%len(o)]
		sum += float64(a[0]*b[1]) - float64(b[0]*a[1])
	}
	return sum / 2
}

// builder puts a piece together from bodies that overlap.
type builder struct {
	mesh   mesh.Triangles
	tag    mesh.Triangles // the number, where it lies beside the piece
	clear  float64        // how far away the next piece is at least, where that is more than usual
	volume float64
	high   float64   // the highest corner
	views  []outline // of the bodies, for the drawing on the sheet
	above  bool      // views are in x and y, and not in x and z
	line   float64   // width of a line
	layer  float64
	scale  float64 // by how much what carries a step is larger than at the usual line
	floor  float64 // thickness of the plate below a piece
	broad  float64 // of the plate, along y
	across float64 // of what stands on it, along y
}

// along draws an outline in x and z out along y, in the middle of the plate.
func (b *builder) along(o outline, broad float64) {
	y := (b.broad - broad) / 2
	// Seen with x to the right and z up, y points away from the eye, so the near face is y.
	b.prism(o, func(p [2]float64, near bool) mesh.Vec {
		if near {
			return mesh.Vec{X: p[0], Y: y, Z: p[1]}
		}
		return mesh.Vec{X: p[0], Y: y + broad, Z: p[1]}
	})
	low, high := o.wide()
	b.view(o, rectangle(low, y, high, y+broad))
	b.volume += o.area() * broad
}

// upright draws an outline in x and y up from z0 to z1.
func (b *builder) upright(o outline, z0, z1 float64) {
	b.prism(o, func(p [2]float64, near bool) mesh.Vec {
		if near {
			return mesh.Vec{X: p[0], Y: p[1], Z: z1}
		}
		return mesh.Vec{X: p[0], Y: p[1], Z: z0}
	})
	low, high := o.wide()
	b.view(rectangle(low, z0, high, z1), o)
	b.volume += o.area() * (z1 - z0)
}

// wide is how far the outline reaches along x.
func (o outline) wide() (low, high float64) {
	low, high = o[0][0], o[0][0]
	for _, p := range o {
		low, high = min(low, p[0]), max(high, p[0])
	}
	return low, high
}

// view keeps what the drawing on the sheet shows of a body.
func (b *builder) view(side, above outline) {
	if b.above {
		side = above
	}
	b.views = append(b.views, side)
}

func (b *builder) prism(o outline, at func(p [2]float64, near bool) mesh.Vec) {
	for _, t := range o.ears() {
		b.triangle(at(t[0], true), at(t[1], true), at(t[2], true))
		b.triangle(at(t[2], false), at(t[1], false), at(t[0], false))
	}
	for i, p := range o {
		q := o[(i+1)%len(o)]
		b.triangle(at(p, false), at(q, false), at(q, true))
		b.triangle(at(p, false), at(q, true), at(p, true))
	}
}

func (b *builder) triangle(corners ...mesh.Vec) {
	for _, c := range corners {
		b.high = max(b.high, c.Z)
		// Adding zero turns -0 into 0, so that a corner has one spelling only.
		b.mesh.Corners = append(b.mesh.Corners, mesh.Point{float32(c.X) + 0, float32(c.Y) + 0, float32(c.Z) + 0})
	}
}

// ears cuts the outline into triangles, a convex corner with nothing inside it at a time.
func (o outline) ears() (list [][3][2]float64) {
	ring := append(outline(nil), o...)
	for len(ring) > 3 {
		at := 0
		for !ring.ear(at) {
			at++
		}
		a, b, c := ring.around(at)
		list = append(list, [3][2]float64{a, b, c})
		ring = append(ring[:at], ring[at+1:]...)
	}
	return append(list, [3][2]float64{ring[0], ring[1], ring[2]})
}

// around is corner i between its neighbours.
func (o outline) around(i int) (a, b, c [2]float64) {
	n := len(o)
	return o[(i+n-1)%n], o[i], o[(i+1)%n]
}

// ear says whether corner i can be cut off.
func (o outline) ear(i int) bool {
	a, b, c := o.around(i)
	if side(a, b, c) <= 0 {
		return false
	}
	for _, p := range o {
		if p != a && p != b && p != c && side(a, b, p) >= 0 && side(b, c, p) >= 0 && side(c, a, p) >= 0 {
			return false
		}
	}
	return true
}

// side is more than 0 where c lies to the left of the way from a to b.
func side(a, b, c [2]float64) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}
