package cut

import (
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Hole is a round hole that goes square into both faces of a cut and ends in solid. Its
// middle is given in the plane. The lines on which it lies are chosen so that a round pin of
// its radius just fits between the flats.
type Hole struct{ X, Y, Radius, Depth float64 }

// holeSides is how many flats a hole has: at a radius of 2 mm they lie 0.01 mm off the circle,
// which no printer shows. Judgement, no source.
const holeSides = 32

// Corner is how far the corners lie from the middle.
func (h Hole) Corner() float64 { return h.Radius / math.Cos(math.Pi/holeSides) }

// Volume is what the hole takes out of one piece, in mm3.
func (h Hole) Volume() float64 {
	return holeSides * h.Radius * h.Radius * math.Tan(math.Pi/holeSides) * h.Depth
}

// drill puts the holes into the cap, each as an outline around a hole, and returns the
// triangles of their walls and floors. A hole that lies in no outline around solid belongs to
// another piece and is left out.
func (c *cutter) drill(holes []Hole, solids []outline, inside [][]outline, tally *work.Tally) ([]mesh.Tri, error) {
	var tris []mesh.Tri
	for _, h := range holes {
		i := under(h.at(c.side), solids, inside, tally)
		if i < 0 {
			continue
		}
		rim, floor := c.ring(h, c.plane), c.ring(h, c.plane+float32(c.side*h.Depth))
		inside[i] = append(inside[i], rim)
		for k, a := range rim {
			n := (k + 1) % len(rim)
			tris = append(tris, mesh.Tri{rim[n].v, a.v, floor[k].v}, mesh.Tri{rim[n].v, floor[k].v, floor[n].v})
		}
		slices.Reverse(floor)
		flat, err := triangulate(floor, nil, tally)
		if err != nil {
			return nil, err
		}
		tris = append(tris, flat...)
	}
	return tris, nil
}

// at is the middle as the cap sees it.
func (h Hole) at(side float64) corner {
	if side > 0 {
		return corner{x: h.Y, y: h.X}
	}
	return corner{x: h.X, y: h.Y}
}

// ring makes corners around the hole at a height, clockwise as the cap sees them.
func (c *cutter) ring(h Hole, z float32) outline {
	o := make(outline, holeSides)
	for i := range o {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / holeSides)
		p := mesh.Point{float32(h.X + float64(h.Corner()*cos)), float32(h.Y + float64(h.Corner()*sin)), z}
		c.to.Verts = append(c.to.Verts, p)
		o[i] = c.corner(uint32(len(c.to.Verts) - 1))
	}
	if o.area() > 0 {
		slices.Reverse(o)
	}
	return o
}

// under returns the smallest outline around solid in which p lies and in none of its holes, or -1.
func under(p corner, solids []outline, inside [][]outline, tally *work.Tally) int {
	best, least := -1, math.Inf(1)
	for i, s := range solids {
		if !tally.Add(int64(len(s))) {
			return -1
		}
		in := func(o outline) bool { return o.contains(p) }
		if area := s.area(); area < least && s.contains(p) && !slices.ContainsFunc(inside[i], in) {
			best, least = i, area
		}
	}
	return best
}
