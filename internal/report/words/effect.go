package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
)

// Effect is what a change did to one model, in short.
type Effect struct {
	Index          int    // of the model in the report; -1 where nothing is left of it
	Path, Part     string // as it is now, or as it was
	Became         string
	New, Gone, Old finding.LevelCount
	Accepted       int
}

// Counts says what is new, gone, as before and accepted, each where there is some: "1 error
// new", "2 warnings gone".
func (e *Effect) Counts() (list []string) {
	for _, c := range []struct {
		found  finding.LevelCount
		change string
	}{{e.New, "new"}, {e.Gone, "gone"}, {e.Old, "as before"}} {
		if text := Levels(c.found); text != "" {
			list = append(list, text+" "+c.change)
		}
	}
	if e.Accepted > 0 {
		list = append(list, fmt.Sprintf("%d accepted", e.Accepted))
	}
	return list
}

// Effects lists what a change did to each model: those first on which it brought most, then
// those that it cured, then the rest by path. It is empty where nobody asked.
func Effects(r *finding.Report) (list []Effect) {
	if r.Compared == nil {
		return nil
	}
	gone := map[string]finding.LevelCount{}
	for i := range r.Compared.Models {
		m := &r.Compared.Models[i]
		gone[finding.NameOf(m)] = levelsOf(m, finding.Gone)
	}
	for i := range r.Models {
		m := &r.Models[i]
		if m.Kind == finding.KindConfig {
			continue
		}
		e := Effect{Index: i, Path: m.Path, Part: m.Part, Became: becameShort(m), New: levelsOf(m, finding.New), Old: levelsOf(m, finding.Same)}
		was := finding.NameOf(m)
		if m.Was != nil {
			was = finding.NameOf(&finding.Model{Path: m.Was.Path, Part: m.Was.Part})
		}
		e.Gone = gone[was]
		delete(gone, was)
		_, accepted := m.Count()
		e.Accepted = accepted.Error + accepted.Warning + accepted.Note
		list = append(list, e)
	}
	for _, name := range r.Compared.Lost {
		list = append(list, Effect{Index: -1, Path: name, Became: "the model is gone", Gone: gone[name]})
		delete(gone, name)
	}
	for i := range r.Compared.Models {
		m := &r.Compared.Models[i]
		if c, left := gone[finding.NameOf(m)]; left {
			list = append(list, Effect{Index: -1, Path: m.Path, Part: m.Part, Became: "it went into other models", Gone: c})
		}
	}
	slices.SortStableFunc(list, func(a, b Effect) int {
		return cmp.Or(compareLevels(b.New, a.New), compareLevels(b.Gone, a.Gone), cmp.Compare(a.Path, b.Path))
	})
	return list
}

func compareLevels(a, b finding.LevelCount) int {
	return cmp.Or(cmp.Compare(a.Error, b.Error), cmp.Compare(a.Warning, b.Warning), cmp.Compare(a.Note, b.Note))
}

// levelsOf counts the findings of one kind that count.
func levelsOf(m *finding.Model, c finding.Change) (n finding.LevelCount) {
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Counts() && f.Change == c {
			n.Add(f.Level)
		}
	}
	return n
}

// becameShort says what became of a model: that it could not be judged, its notes, and its
// shape where that is not the same.
func becameShort(m *finding.Model) string {
	said := slices.Clone(m.Notes)
	switch {
	case m.Unjudged():
		said = append(said, "it could not be judged")
	case m.Status == finding.Skipped:
		said = append(said, m.Reason)
	}
	if Became(m) != "" {
		said = append(said, m.Was.Shape.Words)
	}
	if m.Was == nil && m.Kind != finding.KindFolder && m.Status == finding.Checked && len(said) == 0 {
		return "new"
	}
	return strings.Join(said, "; ")
}
