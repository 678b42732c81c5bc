package added

import (
	"math"
	"slices"

	"printlint/internal/cut"
	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// around is how many directions an outline is held from, and how many sides a sleeve has.
const around = 24

// A pin is followed in steps of about a mm, and in no more steps than that.
const (
	pinStep  = 1.0
	pinSteps = 48
)

// Pin is what stands narrow between two heights.
type Pin struct {
	Low, High float64
	Width     float64 // smallest distance of two parallel lines that hold it at its foot
	levels    []level // the lowest first
}

// level is a pin at one height.
type level struct {
	z     float64
	hold  [around]float64 // how far it reaches in each direction
	area  float64
	width float64
	// others are sides of outlines beside it.
	others [][2]geom.Point
}

// PinReach is how far, in mm, from a pin other parts of the surface are known.
const PinReach = 6.0

// PinIn is what of the surface lies within a box that no other part of it comes into. It is nil
// where nothing does.
func PinIn(m *mesh.Mesh, box mesh.Box) *Pin {
	wide := box.Grow(PinReach)
	wide.Min.Z, wide.Max.Z = box.Min.Z, box.Max.Z
	var tris [][3]mesh.Vec
	low, high := box.Max.Z, box.Min.Z
	for i := range m.Tris {
		if !comesInto(m, uint32(i), &wide) {
			continue
		}
		a, b, c := m.Corners(i)
		tris = append(tris, [3]mesh.Vec{a, b, c})
		if over(&box, a) && over(&box, b) && over(&box, c) {
			low, high = min(low, a.Z, b.Z, c.Z), max(high, a.Z, b.Z, c.Z)
		}
	}
	p := &Pin{Low: max(low, box.Min.Z), High: min(high, box.Max.Z)}
	steps := int(min(max(math.Ceil((p.High-p.Low)/pinStep), 2), pinSteps))
	for k := range steps + 1 {
		// At the ends a little inside, where flat ends have no outline.
		z := p.Low + float64((p.High-p.Low)*min(max(float64(k)/float64(steps), 0.001), 0.999))
		if l := levelAt(tris, &box, z); l.width > 0 {
			p.levels = append(p.levels, l)
		} else if k == 0 {
			return nil
		}
	}
	if len(p.levels) < 2 {
		return nil
	}
	p.Width = p.levels[0].width
	p.levels[0].z, p.levels[len(p.levels)-1].z = p.Low, p.High
	return p
}

// over says that a point lies within a box, seen from above.
func over(box *mesh.Box, v mesh.Vec) bool {
	v.Z = box.Min.Z
	return box.Contains(v, 0)
}

// Free says that nothing else of the surface comes within what the pin grows by at each height,
// in mm on every side. What is beside its foot is no matter: it stands on that.
func (p *Pin) Free(more func(z float64) float64) bool {
	for i := 1; i < len(p.levels); i++ {
		l := &p.levels[i]
		by := more(l.z)
		if by > 0 && slices.ContainsFunc(l.others, func(o [2]geom.Point) bool { return !l.clear(o, by) }) {
			return false
		}
	}
	return true
}

// clear says that a side of an outline lies farther out than the pin and so many mm, in one of
// the directions that the pin is held from.
func (l *level) clear(o [2]geom.Point, by float64) bool {
	for k := range l.hold {
		x, y := direction(k)
		if min(float64(o[0].X*x)+float64(o[0].Y*y), float64(o[1].X*x)+float64(o[1].Y*y)) > l.hold[k]+by {
			return true
		}
	}
	return false
}

// Each calls use with heights of the pin from one on, that one first, and its width there.
func (p *Pin) Each(from float64, use func(z, width float64)) {
	use(from, p.WidthAt(from))
	for i := range p.levels {
		if l := &p.levels[i]; l.z > from {
			use(l.z, l.width)
		}
	}
}

// WidthAt is the width of the pin at a height.
func (p *Pin) WidthAt(z float64) float64 {
	for i := range p.levels {
		if p.levels[i].z >= z {
			return p.between(i, z).width
		}
	}
	return p.levels[len(p.levels)-1].width
}

// levelAt holds the outline of what lies within a box at a height. It has no width where there
// is none.
func levelAt(tris [][3]mesh.Vec, box *mesh.Box, z float64) level {
	l := level{z: z}
	var points []geom.Point
	for i := range tris {
		p := &tris[i]
		if min(p[0].Z, p[1].Z, p[2].Z) > z || max(p[0].Z, p[1].Z, p[2].Z) <= z {
			continue
		}
		from, to := cut.Crossing(*p, z)
		one := [2]geom.Point{{X: from.X, Y: from.Y}, {X: to.X, Y: to.Y}}
		if !box.Contains(from, 0) || !box.Contains(to, 0) {
			l.others = append(l.others, one)
			continue
		}
		l.area += (float64(from.X*to.Y) - float64(to.X*from.Y)) / 2
		points = append(points, one[:]...)
	}
	hull := geom.Hull(points)
	if len(hull) < 3 {
		return l
	}
	for k := range l.hold {
		x, y := direction(k)
		l.hold[k] = math.Inf(-1)
		for _, p := range hull {
			l.hold[k] = max(l.hold[k], float64(p.X*x)+float64(p.Y*y))
		}
	}
	l.width, _ = geom.Width(hull)
	return l
}

// direction is one of those an outline is held from.
func direction(k int) (x, y float64) {
	y, x = math.Sincos(2 * math.Pi * float64(k%around) / around)
	return x, y
}

// Thicker is the pin so many mm thicker all along, half of it on either side. Volume is what
// that adds, in mm3. What carries the pin is reached into, and what it carries, where it does.
func (p *Pin) Thicker(by float64, carries bool) (solid *mesh.Triangles, volume float64) {
	list := make([]level, len(p.levels))
	for i := range list {
		list[i] = p.levels[i].wider(by / 2)
	}
	volume = mesh.Weld(lofted(list)).Volume() - p.volume(p.High)
	list[0].z = p.foot()
	if carries {
		list[len(list)-1].z += sink
	}
	return lofted(list), volume
}

// Fillet is a slope of 45 degrees around the foot of the pin, so many mm high and wide. Volume is
// what that adds, in mm3. It is nil where the pin is no higher.
func (p *Pin) Fillet(size float64) (solid *mesh.Triangles, volume float64) {
	if size >= p.High-p.Low {
		return nil, 0
	}
	var list []level
	top := p.Low + size
	for i := range p.levels {
		l := &p.levels[i]
		if l.z >= top {
			list = append(list, p.between(i, top).wider(sink))
			break
		}
		list = append(list, l.wider(top-l.z))
	}
	volume = mesh.Weld(lofted(list)).Volume() - p.volume(top)
	list[0].z = p.foot()
	return lofted(list), volume
}

// foot is how low a solid begins: a little below the foot of the pin, but not below the bed.
func (p *Pin) foot() float64 { return max(p.Low-sink, min(p.Low, 0)) }

// between is the pin at a height up to that of one of its levels.
func (p *Pin) between(i int, z float64) *level {
	low, high := &p.levels[max(i-1, 0)], &p.levels[i]
	share := 1.0
	if high.z > low.z {
		share = (z - low.z) / (high.z - low.z)
	}
	l := &level{z: z, area: mix(low.area, high.area, share), width: mix(low.width, high.width, share)}
	for k := range l.hold {
		l.hold[k] = mix(low.hold[k], high.hold[k], share)
	}
	return l
}

// mix is what lies between two figures.
func mix(a, b, share float64) float64 { return a + float64(share*(b-a)) }

// volume of the pin below a height.
func (p *Pin) volume(top float64) (sum float64) {
	for i := 1; i < len(p.levels) && p.levels[i-1].z < top; i++ {
		low, high := &p.levels[i-1], &p.levels[i]
		if high.z > top {
			high = p.between(i, top)
		}
		// Of what tapers from one outline to another that is like it.
		mean := low.area + high.area + math.Sqrt(math.Max(float64(low.area*high.area), 0))
		sum += float64(mean * (high.z - low.z) / 3)
	}
	return sum
}

// wider is a level that reaches farther in each direction.
func (l *level) wider(by float64) level {
	w := *l
	for k := range w.hold {
		w.hold[k] += by
	}
	return w
}

// lofted is the solid through outlines, the lowest first.
func lofted(list []level) *mesh.Triangles {
	out := &mesh.Triangles{}
	at := func(l *level, k int) mesh.Point {
		k %= around
		x0, y0 := direction(k)
		x1, y1 := direction(k + 1)
		a, b, sine := l.hold[k], l.hold[(k+1)%around], math.Sin(2*math.Pi/around)
		return mesh.Of32(mesh.Vec{
			X: (float64(a*y1) - float64(b*y0)) / sine, Y: (float64(b*x0) - float64(a*x1)) / sine, Z: l.z,
		})
	}
	low, high := &list[0], &list[len(list)-1]
	for k := range around {
		for i := 1; i < len(list); i++ {
			a, b, c, d := at(&list[i-1], k), at(&list[i-1], k+1), at(&list[i], k+1), at(&list[i], k)
			out.Corners = append(out.Corners, a, b, c, a, c, d)
		}
		if k > 0 && k+1 < around {
			out.Corners = append(out.Corners, at(low, 0), at(low, k+1), at(low, k), at(high, 0), at(high, k), at(high, k+1))
		}
	}
	return out
}
