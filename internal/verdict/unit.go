package verdict

import (
	"context"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
)

// ofSize are the measures whose errors a wrong unit brings about.
var ofSize = []string{measure.Size.Name(), measure.Wall.Name(), measure.Base.Name()}

// unitCell is the side of a layer cell, in mm, when a model is looked at in another unit:
// finer tells nothing new of how much lies on the bed.
const unitCell = 0.4

// AskUnit holds rules over the unit to their condition, which Judge leaves out: that an error
// of what is too small goes when the model is taken in another unit. Where one holds it
// stands alone, beside what the rules find on the mesh and on the file, which is so in any
// unit. It measures again, but only models that such a rule names.
func (v *Verdict) AskUnit(ctx context.Context, opt measure.Options) error {
	said := v.View.Unit.Factor != 1 // by the configuration, so that nobody asks again
	if said || !slices.ContainsFunc(v.Hits, v.maybeUnit) {
		return nil
	}
	before := v.Hits
	v.Hits = nil
	var sites []measure.Site
	for _, r := range v.View.Rules {
		if r.Measure == measure.Unit.Name() {
			sites = v.result(r).Sites
			if err := v.match(r); err != nil {
				return err
			}
		}
	}
	named := v.Hits
	v.Hits = before
	for i := range sites {
		k := slices.IndexFunc(named, func(h Hit) bool { return h.Site == &sites[i] })
		if k < 0 {
			continue
		}
		clean, err := v.cleanAt(ctx, measure.Unit.Site(&sites[i]).Times, opt)
		if err != nil {
			return err
		}
		if clean {
			v.Hits = slices.DeleteFunc(before, func(h Hit) bool {
				over := v.rule(h).Judges()
				return over != measure.Mesh.Name() && over != measure.File.Name()
			})
			v.Hits = append(v.Hits, named[k])
			return nil
		}
	}
	return nil
}

// maybeUnit says that a hit is an error which a wrong unit may have brought about.
func (v *Verdict) maybeUnit(h Hit) bool {
	return h.Level == finding.Error && slices.Contains(ofSize, v.rule(h).Measure)
}

// rule is the rule of a hit.
func (v *Verdict) rule(h Hit) *ruleset.Rule {
	i := slices.IndexFunc(v.View.Rules, func(r *ruleset.Rule) bool { return r.ID == h.Rule })
	return v.View.Rules[i]
}

// cleanAt says that no error of what is too small is left on the model taken so many times
// as large.
func (v *Verdict) cleanAt(ctx context.Context, times float64, opt measure.Options) (bool, error) {
	larger := &mesh.Mesh{Verts: make([]mesh.Point, len(v.Mesh.Verts)), Tris: v.Mesh.Tris, Source: v.Mesh.Source}
	for i, p := range v.Mesh.Verts {
		for k := range p {
			larger.Verts[i][k] = float32(float64(p[k]) * times)
		}
	}
	view := *v.View
	view.Rules = slices.DeleteFunc(slices.Clone(view.Rules), func(r *ruleset.Rule) bool {
		return r.Level != finding.Error || !slices.Contains(ofSize, r.Measure)
	})
	s := New(larger, v.part, &view)
	opt.Cell = unitCell
	results, err := s.Body.Measure(ctx, measure.AsIs, view.Process, opt, s.Requests)
	if err != nil {
		return false, err
	}
	again, err := s.Judge(results)
	if err != nil {
		return false, err
	}
	sure := !slices.ContainsFunc(results, func(r measure.Result) bool { return r.Undecided != "" })
	return sure && len(again.Hits) == 0, nil
}
