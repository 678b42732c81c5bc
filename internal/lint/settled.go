package lint

import (
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// sameLayers is how far apart two surfaces may lie, in mm, whose layers are taken to be the
// same: a tenth of a usual layer. Judgement.
const sameLayers = 0.02

// ofShape says that a rule speaks of what the layers of a model are like, and not of its
// file, its mesh or how large it is: that is the same for each model of that shape which lies
// that way up.
func ofShape(view *ruleset.View, rule string) bool {
	m := measureOf(view, rule)
	return m != nil && !m.PoseFree && m.Name != measure.Size.Name()
}

// measureOf is what a rule judges; nil where it is none of the view, or over the whole model.
func measureOf(view *ruleset.View, rule string) *catalog.Measure {
	i := slices.IndexFunc(view.Rules, func(r *ruleset.Rule) bool { return r.ID == rule })
	if i < 0 {
		return nil
	}
	return verdict.Definition(view.Rules[i].Measure)
}

// proved settles what is found on a shape that is proved to be the same: it was there before,
// however much of it is seen. Cells of layers fall otherwise when a model is turned about z or
// exported again, so that a bridge of 9.9 mm is measured as one of 10.1 mm. A mesh that got
// worse may hide or make layers, and then nothing is settled.
func proved(config *ruleset.Config, now *side, matched map[*finding.Finding]bool) {
	view := config.For(now.rules)
	if now.at == nil || !liesAlike(now, view) || view != config.For(now.pair.rules) {
		return
	}
	for i := range now.Findings {
		f := &now.Findings[i]
		if m := measureOf(view, f.Rule); m != nil && m.PoseFree && f.Change == finding.New && f.Level.Rank() <= finding.Warning.Rank() {
			return
		}
	}
	for i := range now.Findings {
		if f := &now.Findings[i]; ofShape(view, f.Rule) {
			f.Change, f.Worse = finding.Same, ""
		}
	}
	for i := range now.pair.Findings {
		if f := &now.pair.Findings[i]; ofShape(view, f.Rule) {
			matched[f] = true
		}
	}
}

// liesAlike says that a model has the shape that it had, and the same side of it down, or may
// be turned.
func liesAlike(now *side, view *ruleset.View) bool {
	const level = 1 - 1e-6
	l := &now.Was.Shape
	return l.Became == finding.SameShape && l.Factor == 1 && l.Inverted == 0 && l.Within <= sameLayers && (now.at.M[8] > level || view.Lay.Free)
}

// milder settles what a worse finding of the same place hid before, such as an unsteady foot
// where the model tipped over: the worse one is gone, and this is what is left of it.
func milder(config *ruleset.Config, now *side, was piece, matched map[*finding.Finding]bool) {
	view := config.For(now.rules)
	hidden, which := &ruleset.Accepted{Path: was.of.rules, Part: was.of.Part, Tall: was.of.tall, Surface: was.of.area}, []*finding.Finding{}
	before, of := was.recorded()
	for i, record := range before.Findings {
		old := of[i]
		if matched[old] || !ofShape(view, old.Rule) {
			continue
		}
		for _, r := range view.Rules {
			if slices.Contains(r.YieldsTo, old.Rule) {
				record.Rule, record.Values, record.Fingerprint = r.ID, nil, ""
				hidden.Findings, which = append(hidden.Findings, record), append(which, old)
			}
		}
	}
	fresh, at := &ruleset.Accepted{Path: now.rules, Part: now.Part, Tall: now.tall, Surface: now.area}, []*finding.Finding{}
	for i := range now.Findings {
		if f := &now.Findings[i]; f.Change == finding.New && f.Worse == "" {
			fresh.Findings, at = append(fresh.Findings, acceptedOf(f)), append(at, f)
		}
	}
	if len(hidden.Findings) == 0 {
		return
	}
	for i, m := range config.Match(hidden, fresh) {
		if m.Before >= 0 && at[i].Level.Rank() >= which[m.Before].Level.Rank() && at[i].Location.Whole == which[m.Before].Location.Whole {
			at[i].Change = finding.Same
		}
	}
}
