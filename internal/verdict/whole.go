package verdict

import (
	"slices"

	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
)

// matchWhole judges a rule over the whole model. Where one of its measures is undecided, so
// is the rule, which Undecided tells: a sum of some of the places is none of all.
func (v *Verdict) matchWhole(r *ruleset.Rule) error {
	if filling := v.byKey[keyOf(measure.Filling.Request(measure.None{}))]; filling != nil && filling.Undecided != "" && Turns(r) {
		return nil // the layers are a guess, and none of what is not there would be one too
	}
	asks := r.Asks()
	results := make([]*measure.Result, len(asks))
	whole := make([][]float64, len(asks))
	for i, a := range asks {
		results[i] = v.byKey[keyOf(requestOf(a))]
		if results[i].Undecided != "" {
			return nil
		}
		whole[i] = results[i].Model
	}
	places := func(ask int) [][]float64 {
		list := make([][]float64, len(results[ask].Sites))
		for k := range list {
			list[k] = results[ask].Sites[k].Values
		}
		return list
	}
	var counted []*measure.Site
	values, err := r.Gather(v.Body.File, whole, places, func(ask, place int) { counted = append(counted, &results[ask].Sites[place]) })
	if err != nil {
		return err
	}
	holds, err := r.Match(values)
	if err != nil || !holds {
		return err
	}
	h := hitOf(r.About(v.Body.File), r.Says(), v.wholeSite(values, counted))
	v.place(&h)
	// Within the model it lies at the foot, so that it is known again when a place that it
	// counted goes, or the model grows.
	size := h.Location.Size
	h.Location = v.origin.locate(mesh.Vec{X: v.origin.x, Y: v.origin.y, Z: v.origin.floor})
	h.Location.Size, h.Location.Whole = size, true
	v.Hits = append(v.Hits, h)
	return nil
}

// wholeSite is where a rule over the whole model finds something: at the first of the places
// that it counted, with the triangles of all of them, or else the model, without a triangle.
func (s *Subject) wholeSite(values []float64, counted []*measure.Site) *measure.Site {
	box := s.Mesh.Box()
	if len(s.Mesh.Verts) == 0 { // it was not opened
		box = mesh.Box{}
	}
	site := &measure.Site{At: box.Middle(), Box: box, Values: values}
	if len(counted) == 0 {
		return site
	}
	site.At, site.Box = counted[0].At, mesh.EmptyBox()
	seen := map[uint32]bool{}
	for _, c := range counted {
		site.Box.IncludeBox(c.Box)
		for _, t := range c.Tris {
			if len(site.Tris) < measure.MaxTris && !seen[t] {
				seen[t], site.Tris = true, append(site.Tris, t)
			}
		}
	}
	return site
}

// LaterMeasure names a measure that is no one of the mesh, but follows from what other rules
// find: the support that is planned for that.
const LaterMeasure = "support"

// AsksLater says that a rule can only be judged when all others are.
func AsksLater(r *ruleset.Rule) bool {
	return slices.ContainsFunc(r.Asks(), func(a ruleset.Ask) bool { return a.Measure == LaterMeasure })
}

// JudgeLater judges the rules that Judge leaves out, by the values of LaterMeasure. Where
// something that they follow from is undecided, they find nothing, and Undecided tells why.
func (v *Verdict) JudgeLater(values []float64) error {
	later := &measure.Result{Model: values}
	for i := range v.Results {
		if v.Results[i].Undecided != "" {
			later.Undecided = v.Results[i].Undecided
		}
	}
	v.byKey[keyOf(measure.Request{Measure: LaterMeasure, Params: []float64{}})] = later
	for _, r := range v.View.Rules {
		if AsksLater(r) {
			if err := v.matchWhole(r); err != nil {
				return err
			}
		}
	}
	return nil
}

// Turns says whether a rule may find something else when the model is turned.
func Turns(r *ruleset.Rule) bool {
	return slices.ContainsFunc(r.Asks(), func(a ruleset.Ask) bool {
		m := Definition(a.Measure)
		return a.Measure == LaterMeasure || m != nil && !m.PoseFree
	})
}
