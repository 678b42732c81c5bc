package thin

import (
	"math"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// sampler looks from one triangle after the other. Each worker has one.
type sampler struct {
	*finder
	query spatial.Query
	tally work.Tally
	out   []Sample
	hits  []spatial.RayHit
	// The triangle looked from and its normal away from the material.
	tri    uint32
	normal mesh.Vec
	// How often the winding just outside of it was asked for, and a point there where it
	// is known, from the time when that was often enough.
	asked  int
	anchor mesh.Vec
	around int
}

const (
	// fine is how far apart the points are where a thin place begins, as a share of
	// the usual spacing.
	fine = 0.25
	// finest bounds the points on one triangle when it is looked at again.
	finest = 4096
	// thinnest is how many times the resolution a triangle must be high: a sliver
	// thinner than that has no reliable normal, and next to no area. The normal is off
	// by up to the rounding of a corner over the height, here 1/64 or 1 deg.
	thinnest = 16
)

// What looking costs beside the walks through the tree, in units of work: a step of the
// first look at bounds, and a point.
const (
	stepCost  = 5
	pointCost = 50
)

// anchorFrom is from how many points of a triangle on one ray through the whole model is
// taken for all of them.
const anchorFrom = 4

// triangles looks from those of a stretch of the order, which begins with a bunch,
// that something may face.
func (p *sampler) triangles(order []uint32, from, to int) {
	for ; from < to; from += leafSize {
		some, steps := p.any(&p.facings.nodes[p.facings.first+from/leafSize])
		if !p.tally.Add(steps * stepCost) {
			return
		}
		if !some {
			continue
		}
		for _, t := range order[from:min(from+leafSize, to)] {
			first := len(p.out)
			p.triangle(t)
			if p.found.Add(int64(len(p.out)-first)) > p.most {
				return
			}
		}
	}
}

// triangle looks from all points of one triangle, and more closely where only some of
// them are thin or the thickness changes. A small triangle has neighbours for that.
func (p *sampler) triangle(t uint32) {
	if p.topo.Shell[t] == mesh.None {
		return
	}
	a, b, c := p.mesh.Corners(int(t))
	s := newSpread(a, b, c)
	if s.height < thinnest*p.resolution {
		return
	}
	p.tri, p.normal, p.asked = t, p.outward(t), 0
	first := len(p.out)
	n, tapers := p.look(&s, p.spacing)
	found := len(p.out) - first
	if found == 0 || !tapers && found == n || n == 1 && s.length < p.spacing {
		return
	}
	gap := max(p.spacing*fine, math.Sqrt(s.area/finest))
	p.out = p.out[:first]
	if p.look(&s, gap); len(p.out) == first {
		p.look(&s, p.spacing) // between the closer points there was nothing
	}
}

// sampler makes one for a worker.
func (f *finder) sampler(tally work.Tally) sampler {
	return sampler{finder: f, query: spatial.Query{Tree: f.tree}, tally: tally}
}

// anchored is a point just outside of the triangle, on no round part of it, where the
// winding is known once this has been asked.
func (p *sampler) anchored() mesh.Vec {
	if p.asked == anchorFrom {
		p.asked++
		a, b, c := p.mesh.Corners(int(p.tri))
		p.anchor = a.Scale(.3127).Add(b.Scale(.2891)).Add(c.Scale(.3982)).Add(p.normal.Scale(2 * p.resolution))
		p.around = p.query.Winding(p.anchor, p.normal)
	}
	return p.anchor
}

// close counts what is left to count.
func (p *sampler) close() { _ = p.tally.Close() } // the meter keeps why work had to stop

// look probes points the given distance apart, and returns how many there were and
// whether any of the thin ones tapers.
func (p *sampler) look(s *spread, gap float64) (n int, tapers bool) {
	s.points(gap, func(at mesh.Vec, area float64) bool {
		n++
		thick, opposite, cos := p.probe(at)
		if !p.tally.Add(p.query.Cost) {
			return false
		}
		p.query.Cost = pointCost
		if opposite == mesh.None {
			return true
		}
		if thick = p.round(thick); thick >= p.Limit {
			return true
		}
		sample := Sample{At: at, Thick: thick, Area: area, Tri: p.tri, Opposite: opposite, Tapers: cos < parallel}
		tapers = tapers || sample.Tapers
		p.out = append(p.out, sample)
		return true
	})
	return n, tapers
}

// probe looks from one point and returns how thick the wall or gap is there, the
// triangle opposite and the cosine between it and this one turned over. Where there
// is no wall or gap within the limit, the triangle is mesh.None.
func (p *sampler) probe(at mesh.Vec) (thick float64, opposite uint32, cos float64) {
	dir := p.normal
	if p.Medium == Wall {
		dir = dir.Scale(-1)
	}
	limit := p.Limit + p.grain
	if _, ok := p.query.RayPast(at, dir, p.resolution, limit, p.tri); !ok {
		return 0, mesh.None, 0
	}
	thick, opposite, cos = p.walk(at, dir, limit)
	if opposite != mesh.None && !p.outside(at) {
		return 0, mesh.None, 0
	}
	return thick, opposite, cos
}

// walk follows the ray from just before the surface and counts how often the surface
// winds around it, to where the wall or gap ends. What is met within the resolution
// is met at once: bodies that touch are one, and where a body ends as another begins
// there is no surface.
func (p *sampler) walk(at, dir mesh.Vec, limit float64) (thick float64, opposite uint32, cos float64) {
	before := 2 * p.resolution
	p.hits = p.query.Hits(at.Sub(dir.Scale(before)), dir, 0, limit+before, p.hits[:0])
	w, started := 0, false
	for i := 0; i < len(p.hits); {
		was := w
		j := i
		own := false
		for ; j < len(p.hits) && (j == i || p.hits[j].T-p.hits[j-1].T <= p.resolution); j++ {
			own = own || p.hits[j].Tri == p.tri
			if p.hits[j].Into {
				w++
			} else {
				w--
			}
		}
		if started && (was != 0) != (w != 0) && !p.touched(i, j, w) {
			return p.end(p.hits[i:j], before)
		}
		if own {
			// Outside it winds around nothing: that is before this when looking into a wall,
			// and after it when looking out over a gap.
			if w == was || p.Medium == Wall && w == 0 {
				break // no surface of the whole
			}
			if p.Medium == Gap {
				w = 0
			}
			started = true
		}
		i = j
	}
	return 0, mesh.None, 0
}

// touched says that a wall that ended with the hits from i to j goes on in a body that is
// drawn to touch: air thinner than the length of a touch is none.
func (p *sampler) touched(i, j, w int) bool {
	if p.Medium == Gap {
		return false
	}
	end := p.hits[i].T + Touching
	for ; j < len(p.hits) && p.hits[j].T <= end; j++ {
		if p.hits[j].Into {
			w++
		} else {
			w--
		}
		if w != 0 {
			return true
		}
	}
	return false
}

// end picks, of the triangles met where the wall or gap ends, the one that faces the
// other way best.
func (p *sampler) end(met []spatial.RayHit, before float64) (thick float64, opposite uint32, cos float64) {
	opposite = mesh.None
	for _, h := range met {
		if c := -p.outward(h.Tri).Dot(p.normal); c > cos {
			thick, opposite, cos = h.T-before, h.Tri, c
		}
	}
	if cos < facing {
		return 0, mesh.None, 0
	}
	return thick, opposite, cos
}

// outside says that there is nothing just outside a point of the surface, farther than
// bodies that touch are drawn apart. Where the surface is closed, what lies between two points tells how the winding changes, so
// that only one ray a triangle goes all the way through the model. Where it is open,
// the answer of most of three directions counts.
func (p *sampler) outside(at mesh.Vec) bool {
	off := 2 * p.resolution
	if p.Medium == Wall {
		off = max(off, Touching)
	}
	from := at.Add(p.normal.Scale(off))
	if p.closed && p.asked >= anchorFrom {
		if step, sure := p.query.Step(p.anchored(), from); sure {
			return p.around+step == 0
		}
	}
	p.asked++
	first := p.query.Winding(from, p.normal) == 0
	if p.closed {
		return first
	}
	a := mesh.Vec{X: 1, Y: .37, Z: .21}
	side := p.normal.Cross(a).Unit().Add(p.normal.Scale(.3))
	second := p.query.Winding(from, side) == 0
	if first == second {
		return first
	}
	other := p.normal.Cross(side).Unit().Add(p.normal.Scale(.3))
	return p.query.Winding(from, other) == 0
}
