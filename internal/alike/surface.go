package alike

import (
	"math"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// maxPoints is how many points between the corners of one surface are held against the
// other: middles of edges and triangles. Judgement.
const maxPoints = 40_000

// hasCorner says of a point whether it is a corner of a shape, once it is brought there:
// to within what float32 leaves, so that it lies nowhere else.
func hasCorner(s *side, bring func(mesh.Vec) mesh.Vec) func(mesh.Vec) bool {
	const exact = 0.2 // of what two corners may lie apart
	return func(v mesh.Vec) bool {
		_, ok := s.corners.find(bring(v), exact*s.tolerance)
		return ok
	}
}

// grow makes the tree of a side, once.
func (p *pair) grow(s *side) (err error) {
	if s.tree == nil {
		if err = p.spend(10 * cornerCost * len(s.Tris)); err == nil {
			s.tree, err = spatial.Build(s.Mesh, nil, p.jobs)
		}
	}
	return err
}

// bySurface holds points of both surfaces against the other one and says how far apart
// they lie at most. It ends at the first point that lies farther off than is asked for.
func (p *pair) bySurface(at Placement, most float64) (Result, error) {
	r := Result{Placement: at}
	for _, s := range []*side{p.was, p.now} {
		if err := p.grow(s); err != nil {
			return r, err
		}
	}
	there := func(v mesh.Vec) float64 {
		_, _, d := p.now.tree.Nearest(at.To(v))
		return d
	}
	back := func(v mesh.Vec) float64 {
		_, _, d := p.was.tree.Nearest(at.Back(v))
		return float64(d * at.Factor)
	}
	for _, way := range []struct {
		from    *side
		away    func(mesh.Vec) float64
		matched func(mesh.Vec) bool
	}{{p.was, there, hasCorner(p.now, at.To)}, {p.now, back, hasCorner(p.was, at.Back)}} {
		if err := p.farthest(way.from, way.away, way.matched, most, &r); err != nil || r.Within > most {
			return r, err
		}
	}
	r.Same = r.Within <= nearly
	return r, nil
}

// farthest looks at points of a surface until one lies too far off: all corners that are
// none of the other shape, so that no small thing is missed, and then points between.
func (p *pair) farthest(from *side, away func(mesh.Vec) float64, matched func(mesh.Vec) bool, most float64, r *Result) error {
	corners := from.corners.list
	for n := range corners {
		v := mesh.Of64(from.Verts[corners[probe(n, len(corners))]])
		if err := p.spend(pointCost); err != nil {
			return err
		}
		r.Points++
		if matched(v) {
			continue
		}
		if r.Within = max(r.Within, away(v)); r.Within > most {
			return nil
		}
	}
	all := 4 * len(from.Tris)
	step := (all + maxPoints - 1) / maxPoints
	count := all / max(step, 1)
	for n := range count {
		if err := p.spend(pointCost); err != nil {
			return err
		}
		r.Points++
		if r.Within = max(r.Within, away(from.point(probe(n, count)*step))); r.Within > most {
			return nil
		}
	}
	return nil
}

// point is the i-th point of a surface between its corners.
func (s *side) point(i int) mesh.Vec {
	a, b, c := s.Corners(i / 4)
	switch i % 4 {
	case 0:
		return a.Add(b).Add(c).Scale(1.0 / 3)
	case 1:
		return a.Add(b).Scale(0.5)
	case 2:
		return b.Add(c).Scale(0.5)
	}
	return c.Add(a).Scale(0.5)
}

// changed says how far two shapes lie apart that are not the same, with the former one
// moved to where most of its corners are still corners.
func (p *pair) changed() (Result, error) {
	if err := p.spend(cornerCost * 9 * maxVotes); err != nil {
		return Result{}, err
	}
	r, err := p.bySurface(p.bestMove(), math.Inf(1))
	r.Same = false
	return r, err
}

// maxVotes is how many corners are asked where a changed shape was moved to. Judgement.
const maxVotes = 4000

// bestMove is the move under which most corners of the former shape fall on corners: none,
// one that keeps a corner of the box that holds it, or the middle of that on the bed.
func (p *pair) bestMove() Placement {
	best, most := asItLies, p.votes(asItLies)
	was, now := p.was.Box(), p.now.Box()
	try := func(d mesh.Vec) {
		at := asItLies
		at.Shift = d
		if n := p.votes(at); n > most {
			best, most = at, n
		}
	}
	low, high := now.Min.Sub(was.Min), now.Max.Sub(was.Max)
	for k := range 8 {
		d := low
		if k&1 != 0 {
			d.X = high.X
		}
		if k&2 != 0 {
			d.Y = high.Y
		}
		if k&4 != 0 {
			d.Z = high.Z
		}
		try(d)
	}
	middle := now.Middle().Sub(was.Middle())
	middle.Z = low.Z
	try(middle)
	return best
}

// votes counts corners that fall on corners.
func (p *pair) votes(at Placement) (n int) {
	list := p.was.corners.list
	for i := range min(len(list), maxVotes) {
		if _, ok := p.now.corners.find(at.To(mesh.Of64(p.was.Verts[list[probe(i, len(list))]])), p.looseAt(1)); ok {
			n++
		}
	}
	return n
}
