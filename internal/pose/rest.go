package pose

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// oneFace is the angle in degrees within which neighbouring faces of the hull are one:
// the facets of a plane that rounding has bent. Judgement, no source.
const oneFace = 1.5

// leastRest is the area in mm2 below which a face of the hull is no place to lie on.
// Judgement, no source.
const leastRest = 0.5

// rests lists the directions of the hull's faces, neighbours that lie in one plane
// merged, the largest first.
func (s *surface) rests() []mesh.Vec {
	if s.hull == nil {
		return nil
	}
	h := s.hull
	var order []int32
	size := make([]float64, len(h.faces))
	for i := range h.faces {
		if f := &h.faces[i]; !f.dead {
			size[i] = rough(f.area)
			order = append(order, int32(i))
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return -cmp.Compare(size[a], size[b]) })
	type plane struct {
		normal mesh.Vec
		area   float64
	}
	var planes []plane
	taken := make([]bool, len(h.faces))
	for _, i := range order {
		if taken[i] {
			continue
		}
		if n := h.merge(i, taken); n.Len() > leastRest {
			planes = append(planes, plane{n.Unit(), n.Len()})
		}
	}
	slices.SortStableFunc(planes, func(a, b plane) int { return -cmpRough(a.area, b.area) })
	list := make([]mesh.Vec, min(len(planes), mostRests))
	for i := range list {
		list[i] = planes[i].normal
	}
	return list
}

// merge takes a face and those that hang together with it in nearly one plane, and
// returns the sum of their area times normal.
func (h *hull) merge(seed int32, taken []bool) mesh.Vec {
	limit := math.Cos(oneFace * math.Pi / 180)
	var sum mesh.Vec
	todo := []int32{seed}
	taken[seed] = true
	for len(todo) > 0 {
		f := &h.faces[todo[len(todo)-1]]
		todo = todo[:len(todo)-1]
		sum = sum.Add(f.normal.Scale(f.area))
		for _, n := range f.next {
			if !taken[n] && h.faces[n].normal.Dot(h.faces[seed].normal) > limit {
				taken[n] = true
				todo = append(todo, n)
			}
		}
	}
	return sum
}

// onBed is how far above the bed a face still counts as lying on it, in mm.
// Judgement, no source.
const onBed = 0.05

// score looks at the body with down pointing at the bed.
func (s *surface) score(down mesh.Vec, kind Origin) Candidate {
	c := Candidate{Down: down, Origin: kind}
	if !s.tally.Add(cornerCost*int64(len(s.ends)) + binCost*int64(len(s.bins))) {
		return c
	}
	low, high := math.Inf(-1), math.Inf(1)
	for _, p := range s.ends {
		d := down.Dot(p)
		low, high = max(low, d), min(high, d)
	}
	c.Height = low - high
	c.Contact = s.contact(down, low)
	for i := range s.bins {
		b := &s.bins[i]
		if b.facing.Dot(down) <= s.limit {
			continue
		}
		area := b.area.Dot(down)
		c.Hang += area
		c.Air += float64(low*area) - mesh.Turn(&b.moment, down).Dot(down)
	}
	c.Hang = max(c.Hang-c.Contact, 0)
	c.Air = max(c.Air, 0)
	c.Tip = s.tip(down, low)
	return c
}

// contact sums the area that lies within onBed of the plane at height low along down.
func (s *surface) contact(down mesh.Vec, low float64) float64 {
	sum := 0.0
	near := math.Cos(6 * math.Pi / 180) // half a bin and what a face on the bed may be tilted
	for i := range s.bins {
		if s.bins[i].facing.Dot(down) < near {
			continue
		}
		if !s.tally.Add(triangleCost * int64(s.heads[i+1]-s.heads[i])) {
			break
		}
		for _, t := range s.tris[s.heads[i]:s.heads[i+1]] {
			a, b, c := s.m.Corners(int(t))
			if min(down.Dot(a), down.Dot(b), down.Dot(c)) > low-onBed {
				sum += b.Sub(a).Cross(c.Sub(a)).Dot(down) / 2
			}
		}
	}
	return sum
}

// tip is the margin of rest in degrees: how far the body can be tipped before its
// centre of mass passes an edge of the hull of its contact.
func (s *surface) tip(down mesh.Vec, low float64) float64 {
	u, v := across(down)
	var flat []geom.Point
	for _, p := range s.ends {
		if down.Dot(p) > low-onBed {
			flat = append(flat, geom.Point{X: u.Dot(p), Y: v.Dot(p)})
		}
	}
	inside := geom.Inset(geom.Hull(flat), geom.Point{X: u.Dot(s.center), Y: v.Dot(s.center)})
	if inside <= 0 {
		return 0
	}
	return math.Atan2(inside, low-down.Dot(s.center)) * 180 / math.Pi
}

// across returns two unit vectors square to d and to each other.
func across(d mesh.Vec) (u, v mesh.Vec) {
	u = mesh.Vec{X: 1}
	if math.Abs(d.X) > 0.6 {
		u = mesh.Vec{Y: 1}
	}
	u = u.Sub(d.Scale(d.Dot(u))).Unit()
	return u, d.Cross(u)
}
