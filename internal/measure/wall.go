package measure

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/measure/thin"
)

// Wall is the measure of thin material.
var Wall = define(
	catalog.Measure{
		Name:  "wall",
		Title: "material thinner than a limit",
		Doc: `Thickness is measured from points all over the surface, at least one a triangle and
one a mm², and more of them where a thin place begins. Each looks straight into the
material, to the surface on the other side. It counts where both surfaces face away from
each other to within 30°, so the edges and corners of a body are no walls. Bodies that
overlap or touch are measured as one; less than 0.02 mm apart they touch. Thin points
within 3 mm of each other make one place if the surface between them is thin too, so
pins side by side are a place each. Walls, floors and sharp edges are kept apart. What
leans is thicker within a layer, and straight up, than it is across. It is a wall where
it is thin within a layer, and a floor where it is thin straight up. Round walls are
measured between their flat facets, which gives a little less than the true circle.`,
		Source: "ray method with opposed normals; compare Inui et al., Shrinking sphere: a parallel algorithm for computing the thickness of 3D objects (2016); the 30° are judgement",
	},
	func(r *evaluation, p WallParams) { r.thinner(thin.Wall, p.Thickness) },
	func(r *evaluation, p WallParams) (*found[WallSite, WallModel], error) {
		t, err := thinPlaces(r, thin.Wall, p.Thickness)
		if err != nil {
			return nil, err
		}
		out := &found[WallSite, WallModel]{sites: t.sites, model: WallModel{t.least, t.area}}
		for i := range t.places {
			p := &t.places[i]
			site := WallSite{p.Thick, p.Thick, p.Thick, p.Area, p.Length, p.Width(), p.Class == upright, p.Sharp}
			if !p.Sharp {
				site.Across, site.Upward = t.leaning(r, p)
			}
			out.values = append(out.values, site)
		}
		return out, nil
	})

// leaning is the least thickness of a place in the plane of a layer, and straight up.
func (t *thinSites) leaning(r *evaluation, p *thin.Region) (across, upward float64) {
	across, upward = math.Inf(1), math.Inf(1)
	for _, k := range p.Samples {
		s := &t.Samples[k]
		l := r.leanOf(s)
		across, upward = min(across, s.Thick*l.across), min(upward, s.Thick*l.upward)
	}
	return across, upward
}

// WallParams say what is thin.
type WallParams struct {
	Thickness float64 `measure:"thickness,mm" default:"0.8" doc:"look for material thinner than this"`
}

// WallSite is one thin place.
type WallSite struct {
	Thickness float64 `measure:"thickness,mm" doc:"least thickness; 0 where it is sharp" sample:"0.3"`
	Across    float64 `measure:"across,mm" doc:"least thickness in the plane of a layer: thickness over the cosine of the lean, at most a hundredfold" sample:"0.3"`
	Upward    float64 `measure:"upward,mm" doc:"least thickness straight up: thickness over the sine of the lean, at most a hundredfold" sample:"0.1"`
	Area      float64 `measure:"area,mm2" doc:"area of the thin place, one side of it" sample:"60"`
	Length    float64 `measure:"length,mm" doc:"longest extent of the thin place" sample:"20"`
	Width     float64 `measure:"width,mm" doc:"area over the length with its bends followed: how far the thin place reaches across, little at the rim of a step or groove" sample:"2.5"`
	Upright   bool    `measure:"upright" doc:"too thin in the plane of a layer: a wall; else too thin straight up: a floor"`
	Sharp     bool    `measure:"sharp" doc:"the surfaces meet at an edge of less than 30°: a blade that tapers to nothing"`
}

// WallModel sums the thin places up.
type WallModel struct {
	Thickness float64 `measure:"thickness,mm" doc:"least thickness that is not a sharp edge; the limit when nothing is thinner"`
	Area      float64 `measure:"area,mm2" doc:"area of all thin places, one side of them"`
}
