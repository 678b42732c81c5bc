package measure

import (
	"math"
	"slices"

	"printlint/internal/measure/thin"
	"printlint/internal/mesh"
)

// thinSearch is what a search for thin places found, for all limits up to its own.
type thinSearch struct {
	limit float64
	found *thin.Found // nil until searched
	err   error       // why that search came to nothing, which a wider one does too
}

// thinner asks for thin places up to a limit in mm.
func (r *evaluation) thinner(kind thin.Medium, limit float64) {
	widest := r.widest(kind)
	*widest = max(*widest, limit)
}

// widest is the largest limit asked for in this run.
func (r *evaluation) widest(kind thin.Medium) *float64 {
	return shared(&r.common, kind, func() *float64 { return new(float64) })
}

// samples returns thin samples up to the limit, from the search made before if that
// went as far. The widest limit of all requests is searched, so that the surface is
// gone over once.
func (r *evaluation) samples(kind thin.Medium, limit float64) (*thin.Found, error) {
	known := shared(&r.body.parts, kind, func() *thinSearch { return new(thinSearch) })
	if err := r.fit(); err != nil {
		return nil, err
	}
	if known.err != nil || known.found != nil && known.limit >= limit {
		return known.found, known.err
	}
	tree, err := r.search()
	if err != nil {
		return nil, err
	}
	inverted, err := r.insideOut()
	if err != nil {
		return nil, err
	}
	limit = max(limit, *r.widest(kind))
	found, err := thin.Find(r.ctx, r.body.Mesh, r.body.topology(), tree, thin.Options{
		Medium: kind, Limit: limit, Jobs: r.opt.Jobs, Inverted: inverted})
	*known = thinSearch{limit: limit, found: found, err: err}
	return found, err
}

// Classes of thin places. A wall is upright where it is too thin level, in the plane of a
// layer, and else lies level, where it is too thin straight up; gaps and sharp edges are
// upright where their surfaces are tilted less than 45 deg from vertical.
const (
	level   = 0
	upright = 1
)

// lean is how a surface leans: the thickness through it is across times as much in the
// plane of a layer, and upward times as much straight up; both at most mostLean.
type lean struct{ across, upward float64 }

const mostLean = 100

func (r *evaluation) leanOf(s *thin.Sample) lean {
	up := mesh.Vec{X: r.pose.M[6], Y: r.pose.M[7], Z: r.pose.M[8]}
	sin := math.Abs(r.body.Mesh.Normal(int(s.Tri)).Unit().Dot(up))
	cos := math.Sqrt(max(0, 1-float64(sin*sin)))
	return lean{1 / max(cos, 1./mostLean), 1 / max(sin, 1./mostLean)}
}

func classOf(l lean, bySlope bool, thick, limit float64) int {
	switch {
	case bySlope && l.across < l.upward, !bySlope && thick*l.across < limit:
		return upright
	case bySlope, thick*l.upward < limit:
		return level
	}
	return thin.Neither
}

// thinSites are the thin places of one kind, of material or of air.
type thinSites struct {
	*thin.Found
	sites  []Site
	places []thin.Region // one for each site
	least  float64       // thickness of those that are not sharp, or the limit
	area   float64
}

// betweenShells says that most of a place lies between two shells, not within one.
func (t *thinSites) betweenShells(p *thin.Region, shell []uint32) bool {
	area := 0.0 // between shells less that within one
	for _, k := range p.Samples {
		if s := &t.Samples[k]; shell[s.Tri] != shell[s.Opposite] {
			area += s.Area
		} else {
			area -= s.Area
		}
	}
	return area > 0
}

// thinPlaces makes a site of every place thinner than the limit. A crevice of one body
// whose sides come to touch is closed there, and no slot.
func thinPlaces(r *evaluation, kind thin.Medium, limit float64) (*thinSites, error) {
	m := r.body.Mesh
	found, err := r.samples(kind, limit)
	if err == nil {
		err = r.coarse(limit)
	}
	if err != nil {
		return nil, err
	}
	class := func(s *thin.Sample, sharp bool) int {
		return classOf(r.leanOf(s), sharp || kind == thin.Gap, s.Thick, limit)
	}
	out := &thinSites{Found: found, places: found.Regions(m, limit, class), least: limit}
	shell := r.body.topology().Shell
	out.places = slices.DeleteFunc(out.places, func(p thin.Region) bool { return p.Touches && !out.betweenShells(&p, shell) })
	for i := range out.places {
		p := &out.places[i]
		if !p.Sharp {
			out.least = min(out.least, p.Thick)
		}
		out.area += p.Area
		out.sites = append(out.sites, Site{At: p.At, Box: p.Box, Tris: clipTris(p.Tri, found.Thinnest(p, MaxTris))})
	}
	return out, nil
}
