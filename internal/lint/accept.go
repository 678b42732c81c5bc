package lint

import (
	"fmt"
	"slices"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// waive marks the findings on a model that were accepted: by a waiver, or else as they
// were found before. The path is the one that rules are written against.
// That something could not be judged is a status, and no finding that could be accepted.
func (j *judge) waive(rules string, model *finding.Model) {
	one := ruleset.Accepted{Path: rules, Part: model.Part}
	var open []int
	for i := range model.Findings {
		f := &model.Findings[i]
		f.Waived, f.Worse = nil, ""
		if w := j.usage.Waive(rules, model.Part, f.Rule, f.Box); w != nil {
			f.Waived = &finding.Waived{Kind: finding.ByWaiver, File: w.From.File, Reason: w.Reason, Until: w.Until}
			continue
		}
		if f.Level.Rank() < finding.None.Rank() {
			open = append(open, i)
			one.Tall, one.Surface = f.Location.Tall, f.Location.Surface
			one.Findings = append(one.Findings, acceptedOf(f))
		}
	}
	for k, held := range j.usage.Accept(&one) {
		f := &model.Findings[open[k]]
		if f.Worse = held.Worse; held.File != "" {
			f.Waived = finding.Accepted(held.File)
		}
	}
}

// acceptedOf is a finding as it is written down to be accepted.
func acceptedOf(f *finding.Finding) ruleset.FindingRecord {
	return ruleset.FindingRecord{
		Rule: f.Rule, Fingerprint: f.Fingerprint, Values: f.Values, Whole: f.Location.Whole,
		At: f.At, Top: f.Location.Top, Placed: true, Height: f.Location.Height, Radius: f.Location.Radius, Size: f.Location.Size,
	}
}

// Book is a file of accepted findings that is to be written anew.
type Book struct {
	Name   string                 // as reports name it
	Is     func(file string) bool // that it is the same file as one named otherwise
	Before []ruleset.Accepted     // what it holds
}

// AcceptAll marks everything that a run found, and that no waiver speaks of, as accepted
// in the file, and returns what the file is to hold. Of models that were not judged, or
// not as a whole, what was accepted before stays: of all of them, or in a whole run of
// those that are still there.
func AcceptAll(r *finding.Report, files []collection.File, book Book, whole bool) ([]ruleset.Accepted, error) {
	origins := collection.OriginsOf(files)
	sizes := make(map[string]int64, len(files))
	for i := range files {
		sizes[files[i].Path] = files[i].Size
	}
	judged, there := map[string]bool{}, map[string]bool{}
	var list []ruleset.Accepted
	// What is stale in the file is about to go.
	r.Models = slices.DeleteFunc(r.Models, func(m finding.Model) bool { return m.Kind == KindConfig && book.Is(m.Path) })
	for i := range r.Models {
		m := &r.Models[i]
		file, path := origins.Of(m.Path)
		there[path] = true
		if m.Kind == KindConfig || m.Status != finding.Checked {
			continue
		}
		judged[path] = true
		one := book.accept(m)
		m.CountMachines()
		one.Path, one.Bytes = path, sizes[file]
		if len(one.Findings) > 0 && !(ruleset.Writable(path) && ruleset.Writable(m.Part)) {
			return nil, fmt.Errorf("%s: a name with control characters cannot be written down; rename it first", m.Path)
		}
		list = append(list, one)
	}
	for _, a := range book.Before {
		if !judged[a.Path] && (!whole || there[a.Path]) {
			list = append(list, a)
		}
	}
	r.Summary = Summarize(r.Models)
	return list, nil
}

// accept marks what is on one model as accepted and returns it. That something could not
// be judged stays.
func (b *Book) accept(m *finding.Model) ruleset.Accepted {
	one := ruleset.Accepted{Part: m.Part, SHA256: m.SHA256}
	for i := range m.Findings {
		f := &m.Findings[i]
		if f.Level.Rank() >= finding.None.Rank() || f.Waived != nil && !(f.Waived.AsFound() && b.Is(f.Waived.File)) {
			continue
		}
		f.Waived, f.Worse = finding.Accepted(b.Name), ""
		one.Tall, one.Surface = f.Location.Tall, f.Location.Surface
		one.Findings = append(one.Findings, acceptedOf(f))
	}
	return one
}
