package ruleset

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"printlint/internal/near"
	"printlint/internal/pathname"
)

// Looked is what a run looked at, by the paths that rules are written against.
type Looked struct {
	Checked  []string // judged to the end
	Unjudged []string // there, but unreadable, undecided or skipped: nothing follows from them
	Listed   []string // every file of the run, those of other shares too
	// Whole says that nothing of the collection was left out.
	Whole bool
}

// Stale is a waiver that should go, and why.
type Stale struct {
	*Waiver
	Why string
}

// Stale returns, in the file's order, the waivers that are past their day or accepted
// nothing. A waiver for models that were not among those checked is left in peace, unless
// the run was whole; one that may speak of a model that could not be judged always is.
func (u *Usage) Stale(l Looked) []Stale {
	var out []Stale
	for i, w := range u.Waivers {
		met := meets(w.Path, l.Checked)
		switch {
		case w.past:
			out = append(out, Stale{w, "its last day was " + w.Until + " in UTC"})
		case u.waived[i].Load() || !met && !l.Whole || awaits(w.Path, l.Unjudged):
		case met || meets(w.Path, l.Listed):
			out = append(out, Stale{w, "the rule finds nothing " + w.where() + ", or a waiver before it accepts that"})
		default:
			out = append(out, Stale{w, "no model matches its path" + nearPath(w.Path, l.all())})
		}
	}
	return out
}

// where is what the waiver speaks of on its models.
func (w *Waiver) where() string {
	switch {
	case w.Box != nil:
		return "in its box"
	case w.Part != "":
		return fmt.Sprintf("on the part %q", w.Part)
	}
	return "there"
}

// StalePlace is a place that speaks of no model.
type StalePlace struct {
	Paths string // its globs
	Hint  string // what was likely meant, to stand behind them; or empty
	From  Position
}

// StalePlaces returns, in the file's order, the places whose paths match no model.
func (c *Config) StalePlaces(l Looked) []StalePlace {
	var out []StalePlace
	all := l.all()
	for _, p := range c.main.main.places {
		spoken := func(t text) bool { return meets(t.value, all) || awaits(t.value, l.Unjudged) }
		if len(p.paths) == 0 || slices.ContainsFunc(p.paths, spoken) {
			continue
		}
		why := ""
		for _, t := range p.paths {
			if why == "" {
				why = nearPath(t.value, all)
			}
		}
		out = append(out, StalePlace{strings.Join(values(p.paths), ", "), why, p.pos})
	}
	return out
}

func (l Looked) all() []string { return slices.Concat(l.Listed, l.Checked, l.Unjudged) }

func meets(glob string, paths []string) bool {
	return slices.ContainsFunc(paths, func(p string) bool { return pathname.Match(glob, p) })
}

// awaits says that a glob speaks of a model that was not judged, or of what may be in one:
// a pack that cannot be opened does not tell what it holds.
func awaits(glob string, unjudged []string) bool {
	if meets(glob, unjudged) {
		return true
	}
	outer, _, within := strings.Cut(glob, pathname.Inside)
	return within && meets(outer, unjudged)
}

// nearPath ends a complaint about a glob that matches nothing: what was likely meant among
// the paths there are, a file of that name elsewhere or the nearest folder.
func nearPath(glob string, paths []string) string {
	base := path.Base(glob)
	known, named := map[string]bool{}, map[string]bool{}
	for _, p := range paths {
		known[p] = true
		if path.Base(p) == base {
			named[p] = true
		}
		for d := path.Dir(p); d != "." && d != "/"; d = path.Dir(d) {
			known[d+"/**"] = true
			if strings.ContainsAny(base, globSigns) {
				known[d+"/"+base] = true
			}
		}
	}
	best := ""
	for p := range named {
		if len(named) == 1 {
			best = p
		}
	}
	if best == "" {
		list := make([]string, 0, len(known))
		for p := range known {
			if p != glob {
				list = append(list, p)
			}
		}
		best = near.Nearest(glob, list)
	}
	if best == "" || !meets(best, paths) {
		return ""
	}
	return fmt.Sprintf(" (did you mean %q?)", best)
}
