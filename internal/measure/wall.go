package measure

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/measure/thin"
	"printlint/internal/mesh"
)

var wallSpec = spec{
	def: catalog.Measure{
		Name:  "wall",
		Title: "material thinner than a limit",
		Doc: `From points spread over the surface, at least one a triangle and one a mm2, and
denser where a thin place begins, the thickness is measured straight into the material
to the surface on the other side. It counts where both surfaces face away from each
other to within 30 deg, so the edges and corners of a body are no walls. Bodies that
overlap or touch are measured as one. Thin points within 3 mm of each other make one
site; walls that stand upright, floors that lie level and sharp edges that taper to
nothing are kept apart. Round walls are measured between their facets, which is a
little less than between the circles they stand for.`,
		Source: "ray method with opposed normals; compare Inui et al., Shrinking sphere: a parallel algorithm for computing the thickness of 3D objects (2016); the 30 deg are judgement",
		Values: []catalog.Value{
			{Name: "thickness", Unit: catalog.MM, Doc: "least thickness; 0 where it is sharp"},
			{Name: "area", Unit: catalog.MM2, Doc: "area of the thin place, one side of it"},
			{Name: "length", Unit: catalog.MM, Doc: "longest extent of the thin place"},
			{Name: "width", Unit: catalog.MM, Doc: "area over length: how far the thin place reaches across, little at the rim of a step or groove"},
			{Name: "upright", Unit: catalog.Bool, Doc: "the surfaces lean less than 45 deg from vertical: a wall, not a floor"},
			{Name: "sharp", Unit: catalog.Bool, Doc: "the surfaces meet at an edge of less than 30 deg: a blade that tapers to nothing"},
		},
		Model: []catalog.Value{
			{Name: "thickness", Unit: catalog.MM, Doc: "least thickness that is not a sharp edge; the limit when nothing is thinner"},
			{Name: "area", Unit: catalog.MM2, Doc: "area of all thin places, one side of them"},
		},
		Params: []catalog.Param{{Name: "thickness", Unit: catalog.MM, Doc: "look for material thinner than this", Default: 0.8}},
	},
	run: func(r *run, params []float64) (Result, error) {
		out, _, _, err := thinPlaces(r, thin.Wall, params[0])
		return out, err
	},
}

// thinSamples is what a search found, for all limits up to its own.
type thinSamples struct {
	limit float64
	found *thin.Found // nil until searched
	err   error       // why that search came to nothing, which a wider one does too
}

// samples returns thin samples up to the limit, from the search made before if that
// went as far. The widest limit of all requests is searched, so that the surface is
// gone over once.
func (r *run) samples(kind thin.Kind, limit float64) (*thin.Found, error) {
	known := &r.body.thin[kind]
	if known.err != nil || known.found != nil && known.limit >= limit {
		return known.found, known.err
	}
	if err := r.fit(); err != nil {
		return nil, err
	}
	m, topo := r.body.Mesh, r.body.topology()
	tree, err := r.search()
	if err != nil {
		return nil, err
	}
	inverted, err := r.insideOut()
	if err != nil {
		return nil, err
	}
	limit = max(limit, r.widest[kind])
	found, err := thin.Find(r.ctx, m, topo, tree, thin.Options{
		Kind: kind, Limit: limit, Jobs: r.opt.Jobs, Inverted: inverted})
	*known = thinSamples{limit: limit, found: found, err: err}
	return found, err
}

// widestLimits is the largest limit that each kind of thin place is looked for.
func widestLimits(requests []Request) (widest [2]float64) {
	for _, q := range requests {
		for kind, s := range []*spec{thin.Wall: find("wall"), thin.Gap: find("gap")} {
			if s == nil || s.def.Name != q.Measure {
				continue
			}
			limit := s.def.Params[0].Default
			if q.Params != nil {
				limit = q.Params[0]
			}
			widest[kind] = max(widest[kind], limit)
		}
	}
	return widest
}

// thinPlaces makes a site of every thin place, with values shared by walls and gaps:
// thickness, area, length, width, upright and sharp.
func thinPlaces(r *run, kind thin.Kind, limit float64) (Result, []thin.Place, *thin.Found, error) {
	m := r.body.Mesh
	found, err := r.samples(kind, limit)
	if err != nil {
		return Result{}, nil, nil, err
	}
	up := mesh.Vec{X: r.pose.M[6], Y: r.pose.M[7], Z: r.pose.M[8]}
	upright := func(s *thin.Sample) int {
		if math.Abs(m.Normal(int(s.Tri)).Unit().Dot(up)) < math.Sqrt2/2 {
			return 1
		}
		return 0
	}
	out := Result{Model: []float64{limit, 0}}
	places := found.Places(m, limit, upright)
	for i := range places {
		p := &places[i]
		sharp, width := 0.0, 0.0
		if p.Sharp {
			sharp = 1
		} else {
			out.Model[0] = min(out.Model[0], p.Thick)
		}
		if p.Length > 0 {
			width = p.Area / p.Length
		}
		out.Model[1] += p.Area
		out.Sites = append(out.Sites, Site{
			At: p.At, Box: p.Box, Tris: found.Thinnest(p, MaxTris),
			Values: []float64{p.Thick, p.Area, p.Length, width, float64(p.Class), sharp},
		})
	}
	return out, places, found, nil
}
