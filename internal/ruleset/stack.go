package ruleset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/near"
)

// lastMaterial is where a material was last named; its zero value where none was.
func lastMaterial(layers []*document) (last setting) {
	for _, l := range layers {
		if s := l.process.plastic(); s != nil {
			last = *s
		}
	}
	return last
}

// stacked lists what holds for some places, the last word last: sets, the configuration and
// the places; below the places what the machine is, where one is asked about: a place is for
// a few models, and means them on every machine. The set of the material lies under the user's own files, or, where a place
// names it, just below that place: no figure of another plastic may stay over it.
func (l *library) stacked(main *document, places []*place) ([]*document, setting) {
	material := lastMaterial(slices.Concat(l.laid, []*document{main}))
	machine := l.onMachine(&material)
	last := -1
	for i, p := range places {
		if s := p.process.plastic(); s != nil {
			last, material = i, *s
		}
	}
	laid := l.withMaterial(material.word)
	if last >= 0 {
		laid = l.withoutMaterials()
	}
	sets := slices.Concat(laid, []*document{main}, machine)
	for i, p := range places {
		if i == last {
			sets = append(sets, &document{fresh: true})
			if own := l.material(material.word); own != nil {
				sets = append(sets, own)
			}
		}
		sets = append(sets, &document{process: p.process})
	}
	return sets, material
}

// ofPlastic are the figures that a plastic has and a machine has not.
var ofPlastic = []string{"bridge", "density", "flow"}

// layProcess lays process keys over each other, and finds the last one of a file. Where
// another plastic begins, nothing stays that was said or measured for the one before.
func layProcess(sets []*document, file string) (given map[string]setting, last Position) {
	given, builtin := map[string]setting{}, map[string]setting{}
	for i, set := range sets {
		if set.fresh {
			for _, name := range ofPlastic {
				delete(given, name)
			}
			for _, f := range figures[len(machineFigures):] {
				delete(given, f.name)
				if s, ok := builtin[f.name]; ok {
					given[f.name] = s
				}
			}
		}
		for _, s := range set.process {
			s.laid = i
			given[s.name] = s
			if isBuiltin(s.pos) {
				builtin[s.name] = s
			}
			if s.pos.File == file {
				last = s.pos
			}
		}
	}
	return given, last
}

// mergeProcess lays process keys over each other and says whether all needed ones
// are there, and fit each other.
func (l *library) mergeProcess(sets []*document, p *catalog.Process, material setting, start Position) (map[string]setting, bool) {
	given, at := layProcess(sets, start.File)
	if at == (Position{}) {
		at = start
	}
	for _, s := range given {
		if s.formula == nil {
			s.set(p)
		}
	}
	var lacks []string
	for _, f := range figures {
		if _, ok := given[f.name]; !f.optional && !ok {
			lacks = append(lacks, f.name)
		}
	}
	if _, ok := given["bed"]; !ok {
		lacks = append(lacks, "bed")
	}
	slices.Sort(lacks)
	switch {
	case len(lacks) == 0:
		return given, l.computed(p, given, 0, len(machineFigures)) && l.checkLaid(sets, given, start.File) && l.checkProcess(p, given) && l.checkMaterial(sets, given, material) &&
			l.computed(p, given, len(machineFigures), len(figures)) && l.checkAbilities(p, given)
	case l.incomplete:
		return given, false
	case slices.Contains(l.materials(), strings.ToLower(material.word)) && material.word != strings.ToLower(material.word):
		l.add(material.pos, "no built-in material is called %q; write %s", material.word, strings.ToLower(material.word))
	case material.word != "" && !slices.Contains(l.materials(), material.word):
		l.add(material.pos, "no built-in material is called %q%s; for one of your own, process must give its %s", material.word, near.Hint(material.word, l.materials()), strings.Join(lacks, ", "))
	default:
		l.add(at, "process lacks %s; use: [standard] gives them all", strings.Join(lacks, ", "))
	}
	return given, false
}

// checkMaterial refuses what was measured with another plastic than the one in force.
func (l *library) checkMaterial(sets []*document, given map[string]setting, material setting) bool {
	for _, set := range sets {
		own := set.process.plastic()
		if own == nil || own.word == material.word || isBuiltin(own.pos) {
			continue
		}
		if name, at := measuredIn(set, given); name != "" {
			l.add(material.pos, "the plastic is %s, but %s was measured with %s (%s); measure with %s too, or leave that file out", material.word, name, own.word, at, material.word)
			return false
		}
	}
	return true
}

// checkLaid refuses what a file of a machine measured with another nozzle, line or layer than
// the configuration says over it. A place may say another one for a few models.
func (l *library) checkLaid(sets []*document, given map[string]setting, config string) bool {
	for _, set := range sets {
		for _, own := range set.process {
			i := slices.IndexFunc(machineFigures, func(f figure) bool { return f.name == own.name && slices.Contains(ofNozzle, own.name) })
			now := given[own.name]
			if i < 0 || own.pos.File == config || now.pos.File != config || sets[now.laid].file == "" || isBuiltin(own.pos) || own.formula != nil || now.formula != nil {
				continue
			}
			var was, is catalog.Process
			own.set(&was)
			now.set(&is)
			f := &machineFigures[i]
			if name, at := measuredIn(set, given); name != "" && *f.at(&was) != *f.at(&is) {
				l.add(now.pos, "the %s is %s, but %s was measured with %s (%s); measure with this one too, or leave that file out",
					own.name, catalog.FormatLimit(*f.at(&is), f.unit), name, catalog.FormatLimit(*f.at(&was), f.unit), at)
				return false
			}
		}
	}
	return true
}

// ofNozzle are the figures that say what is laid.
var ofNozzle = []string{"nozzle", "line", "layer"}

// measuredIn is a figure in force that was measured, by what a file says, and its place there;
// empty where there is none.
func measuredIn(set *document, given map[string]setting) (string, Position) {
	for _, f := range figures[len(machineFigures):] {
		if s := given[f.name]; s.source != "" && s.pos.File == set.file {
			return f.name, s.pos
		}
	}
	return "", Position{}
}

// computed works out the figures from one of the table to another that are given as expressions,
// in its order: each may speak of those before it, so that none can wait for itself.
func (l *library) computed(p *catalog.Process, given map[string]setting, from, to int) bool {
	b := &ruleBuilder{complaints: l.complaints, exact: true, given: given}
	for i, f := range figures[:to] {
		if i < from {
			continue
		}
		t := given[f.name].formula
		if t == nil {
			continue
		}
		b.process = *p
		before := processNames()[:i]
		find := func(name string) (expression.Meaning, bool) {
			m, ok := b.processName(name)
			return m, ok && slices.Contains(before, name)
		}
		run, got, ok := b.compile(*t, expression.Names{Find: find, Known: before, Listed: before})
		if !ok {
			return false
		}
		unit := expression.Base(f.unit)
		if got != unit.Dim {
			b.add(t.at(0), "%s must be %s, this is %s", f.name, unit.Dim, got)
			return false
		}
		value := run(nil) / unit.Factor
		if math.IsNaN(value) || !f.holds(value) {
			b.add(t.at(0), "%s comes to %s here, which is not between %s and %s", f.name, catalog.FormatLimit(value, f.unit),
				catalog.FormatLimit(f.low, f.unit), catalog.FormatLimit(f.high, f.unit))
			return false
		}
		*f.at(p) = value
	}
	return true
}

// How wide and how high a line may be, in bores of the nozzle. Common practice, no source:
// plastic swells as it leaves the bore, so that a line is at least as wide as the bore; the
// flat face of a nozzle is some two bores wide, and nothing presses down what lies beyond
// it; a layer higher than four fifths of the bore is laid as a round string, which hardly
// sticks to the one below.
const (
	widestLine   = 2.0
	highestLayer = 0.8
	sameLength   = 1e-9 // mm, the rounding of a product
)

// checkProcess refuses what the nozzle cannot lay.
func (l *library) checkProcess(p *catalog.Process, given map[string]setting) bool {
	mm := func(x float64) string { return catalog.FormatLimit(x, catalog.MM) }
	const practice = " (common practice, no source)"
	one, says := "line", ""
	switch {
	case p.Line < p.Nozzle-sameLength:
		says = fmt.Sprintf("a line of %s is narrower than the nozzle of %s; a line is 1 to 2 times as wide as the nozzle, since plastic swells as it leaves it%s; without line it follows the nozzle", mm(p.Line), mm(p.Nozzle), practice)
	case p.Line > float64(widestLine*p.Nozzle)+sameLength:
		says = fmt.Sprintf("a line of %s is too wide for a nozzle of %s; a line is 1 to 2 times as wide as the nozzle, whose face presses down no more%s; without line it follows the nozzle", mm(p.Line), mm(p.Nozzle), practice)
	case p.Layer > float64(highestLayer*p.Nozzle)+sameLength:
		one = "layer"
		says = fmt.Sprintf("a layer of %s is too high for a nozzle of %s; above 0.8 of the nozzle lines are not pressed onto the layer below%s; without layer it follows the nozzle", mm(p.Layer), mm(p.Nozzle), practice)
	default:
		return true
	}
	at := l.later(given, one, "nozzle")
	if l.machine != nil {
		says = "on " + l.machine.machine() + ", " + says
		for _, name := range []string{one, "nozzle"} {
			if pos := given[name].pos; pos.File != at.File && !isBuiltin(pos) {
				says += fmt.Sprintf("; the %s stands at %s", name, pos)
			}
		}
	}
	l.add(at, "%s", says)
	return false
}

// later is where the one of two figures stands that a user gave, or gave last.
func (l *library) later(given map[string]setting, one, two string) Position {
	a, b := given[one].pos, given[two].pos
	if l.machine != nil && a.File != b.File {
		if given[one].laid < given[two].laid {
			return b
		}
		return a
	}
	if isBuiltin(a) || !isBuiltin(b) && a.File == b.File && (b.Line > a.Line || b.Line == a.Line && b.Column > a.Column) {
		return b
	}
	return a
}

// isBuiltin says whether a place is in a built-in set.
func isBuiltin(p Position) bool { return strings.HasPrefix(p.File, builtinDir) }
