package advise

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"printlint/internal/added"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
)

// How much thicker a wall is made at most, and in which steps the least is looked for. Judgement,
// no source.
const (
	mostWall  = 2.0
	wallTenth = 0.1
)

// besideWall is how far, in mm, what is made thicker reaches past the thin place where the
// triangles are small.
const besideWall = 1.0

// wallNeeds is how much thicker a wall or a floor must be so that no rule finds fault with it, 0
// where that is more than is tried.
func (w *wayUp) wallNeeds(site *measure.Site) float64 {
	s, values := measure.Wall.Site(site), slices.Clone(site.Values)
	if s.Thickness <= 0 {
		return 0
	}
	set := setter(measure.Wall.Name(), values)
	for step := 1; float64(step)*wallTenth <= mostWall; step++ {
		by := float64(step) * wallTenth
		times := (s.Thickness + by) / s.Thickness
		set("thickness", s.Thickness+by)
		set("across", float64(times*s.Across))
		set("upward", float64(times*s.Upward))
		if !w.finds(measure.Wall.Name(), values, finding.Note) {
			return by
		}
	}
	return 0
}

// wallChoices grow one side of a wall, the other, or half as much of both.
func (t *thickener) wallChoices(p *thin) []*edit {
	if p.by == 0 {
		return nil
	}
	site := p.hits[0].Site
	s := measure.Wall.Site(site)
	at := t.way.place.To(site.At)
	near, far := t.sidesAt(site, at, s.Thickness)
	box := t.way.place.ToBox(site.Box).Grow(besideWall)
	var others []uint32
	if t.own {
		others = site.Tris
	}
	one, other := t.faces(near, far, box, others)
	what, thick := t.thickness(s, p.by)
	side := func(f *added.Face) *edit {
		solid, volume := t.grown(f, p.by)
		words := fmt.Sprintf("make the %s %s thicker on %s: %s", what, hundredths(p.by), t.sideOf(f), thick)
		c := t.moving(t.stands(thickerWall, words, solid, volume), p.by, f)
		if c != nil {
			if to, flat, _ := f.Side(); flat {
				c.out = to
			}
		}
		return c
	}
	list := leastFirst(side(one), side(other))
	first, more := t.grown(one, p.by/2)
	second, rest := t.grown(other, p.by/2)
	if first != nil && second != nil {
		first.Corners = append(first.Corners, second.Corners...)
		words := fmt.Sprintf("make the %s %s thicker on either side: %s", what, hundredths(p.by/2), thick)
		list = append(list, leastFirst(t.moving(t.stands(thickerWall, words, first, more+rest), p.by/2, one, other))...)
	}
	return list
}

// moving lets an edit be done to the mesh itself, by moving faces out, where that is the file's.
func (t *thickener) moving(c *edit, by float64, faces ...*added.Face) *edit {
	if c != nil && t.own {
		for _, f := range faces {
			c.moves = append(c.moves, f.Moves(by)...)
		}
	}
	return c
}

// faces are the two sides of a wall, always in the same order, nil where there is none.
func (t *thickener) faces(near, far uint32, box mesh.Box, others []uint32) (one, other *added.Face) {
	one = added.FaceAt(t.whole, t.topology, near, far, box, others)
	if far == mesh.None {
		return one, nil
	}
	other = added.FaceAt(t.whole, t.topology, far, near, box, others)
	if one != nil && other != nil && before(other, one) {
		return other, one
	}
	return one, other
}

// before says that of two faces of which one is as good as the other the first is grown: the outer
// one of what goes round, since something may sit in it.
func before(f, other *added.Face) bool {
	a, flat, outer := f.Side()
	b, _, _ := other.Side()
	if !flat {
		return outer
	}
	return cmp.Or(cmpRough(a.X, b.X), cmpRough(a.Y, b.Y), cmpRough(a.Z, b.Z)) > 0
}

// cmpRough compares parts of directions, of which those that are nearly the same are equal.
func cmpRough(a, b float64) int { return cmp.Compare(math.Round(10*a), math.Round(10*b)) }

// sidesAt are the triangle of a wall at a place, and the one on its far side, mesh.None where there
// is none.
func (t *thickener) sidesAt(site *measure.Site, at mesh.Vec, thick float64) (near, far uint32) {
	if t.own && len(site.Tris) > 0 {
		near = site.Tris[0]
	} else {
		_, near, _ = t.query.Nearest(at)
	}
	n := t.whole.Normal(int(near)).Unit()
	far = mesh.None
	if hit, ok := t.query.RayPast(at, n.Scale(-1), 0, 2*thick+besideWall, near); ok {
		far = hit.Tri
	}
	return near, far
}

// thickness says what is too thin, and how thick it is then.
func (t *thickener) thickness(s measure.WallSite, by float64) (what, words string) {
	what, words = "floor", hundredths(s.Thickness+by)
	if s.Upright {
		what = "wall"
		switch lines := int(math.Round(100*(s.Thickness+by)) / 100 / t.way.View.Process.Line); {
		case lines == 1:
			words += ", one line"
		case lines > 1:
			words += ", " + number(lines) + " lines"
		}
	}
	return what, words
}

// sideOf names the side that a face is.
func (t *thickener) sideOf(f *added.Face) string {
	if f == nil {
		return ""
	}
	switch to, flat, outer := f.Side(); {
	case flat:
		return "its " + pose.Side(t.way.place.BackDirection(to))
	case outer:
		return "its outer side"
	}
	return "its inner side"
}

// grown is a face that lies so many mm farther out; nil where that brings it too near to
// what is opposite, or makes a hole narrower that something may sit in.
func (t *thickener) grown(f *added.Face, by float64) (*mesh.Triangles, float64) {
	if f == nil || f.Encloses(&t.query) || f.Blocked(&t.query, by+t.clearance()) {
		return nil, 0
	}
	return f.Grown(by)
}
