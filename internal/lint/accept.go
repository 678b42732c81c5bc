package lint

import (
	"fmt"
	"math"
	"slices"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// waive marks the findings on a model that were accepted: by a waiver, or else as they
// were found before. The path is the one that rules are written against.
func (j *judge) waive(rules string, model *finding.Model) {
	var open []int
	var spots []ruleset.Spot
	for i := range model.Findings {
		f := &model.Findings[i]
		if w := j.config.Waive(rules, model.Part, f.Rule, f.Box); w != nil {
			f.Waived = &finding.Waived{Reason: w.Reason, Until: w.Until}
			continue
		}
		f.Waived = nil
		if f.Level.Rank() < finding.None.Rank() {
			open, spots = append(open, i), append(spots, spotOf(f))
		}
	}
	for k, file := range j.config.Accept(rules, model.Part, model.SHA256, spots) {
		if file != "" {
			model.Findings[open[k]].Waived = &finding.Waived{Reason: finding.AcceptedIn + file}
		}
	}
}

// known is where a finding stands within its model.
func (h *hit) known() finding.Spot {
	box := h.Box
	return finding.Spot{
		Height: finding.Round(h.spot.height), Radius: finding.Round(h.spot.radius),
		Size: finding.Round(math.Hypot(box[1][0]-box[0][0], box[1][1]-box[0][1]) / 2),
	}
}

func spotOf(f *finding.Finding) ruleset.Spot {
	return ruleset.Spot{Rule: f.Rule, Fingerprint: f.Fingerprint, Height: f.Spot.Height, Radius: f.Spot.Radius, Size: f.Spot.Size}
}

// accepted says that a finding on the model as it lies was accepted as it was. In
// another pose it stands elsewhere and is another.
func (p *poser) accepted(h *hit) bool {
	for i := range p.lying.findings {
		if f := &p.lying.findings[i]; f.Waived != nil && f.Rule == h.Rule && f.At == h.At && f.Box == h.Box {
			return true
		}
	}
	return false
}

// AcceptAll marks everything that a run found, and that no waiver speaks of, as accepted
// in the file, and returns what the file is to hold. Of models that were not judged,
// what was accepted before stays: of all of them, or in a whole run of those that are
// still there.
func AcceptAll(r *finding.Report, files []collection.File, before []ruleset.Accepted, file string, whole bool) ([]ruleset.Accepted, error) {
	origins := collection.OriginsOf(files)
	judged, there := map[string]bool{}, map[string]bool{}
	var list []ruleset.Accepted
	// What is stale in the file is about to go.
	r.Models = slices.DeleteFunc(r.Models, func(m finding.Model) bool { return m.Kind == KindConfig && m.Path == file })
	for i := range r.Models {
		m := &r.Models[i]
		_, path := origins.Of(m.Path)
		there[path] = true
		if m.Kind == KindConfig || m.Status != finding.Checked {
			continue
		}
		judged[path] = true
		one := ruleset.Accepted{Path: path, Part: m.Part, SHA256: m.SHA256, Findings: acceptIn(m, file)}
		if len(one.Findings) > 0 && !(ruleset.Writable(path) && ruleset.Writable(m.Part)) {
			return nil, fmt.Errorf("%s: a name with control characters cannot be written down; rename it first", m.Path)
		}
		list = append(list, one)
	}
	for _, a := range before {
		if !judged[a.Path] && (!whole || there[a.Path]) {
			list = append(list, a)
		}
	}
	r.Summary = Summarize(r.Models)
	return list, nil
}

// acceptIn marks what is on one model as accepted and returns it.
func acceptIn(m *finding.Model, file string) []ruleset.Spot {
	var spots []ruleset.Spot
	for i := range m.Findings {
		f := &m.Findings[i]
		if f.Level.Rank() >= finding.None.Rank() || f.Waived != nil && f.Waived.Reason != finding.AcceptedIn+file {
			continue
		}
		f.Waived = &finding.Waived{Reason: finding.AcceptedIn + file}
		spots = append(spots, spotOf(f))
	}
	return spots
}
