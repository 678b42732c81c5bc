package ruleset

import (
	"cmp"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
)

// ability is one thing that a printer can do up to a limit: what just holds and, where a
// rule asks, what still comes out clean. Limits of rules follow it, so that figures measured
// on one's own printer move all of them.
type ability struct {
	name, doc   string
	unit        catalog.Unit
	low, high   float64
	least       bool   // the least that comes out, as of walls, and not the most
	holds, neat string // what each of the two is; "" where no rule asks for a clean one
	at          func(*catalog.Limits) *catalog.Mark
}

// abilities come in the order in which one may follow another.
var abilities = []ability{
	{"slope", "long slopes, by their angle from vertical", catalog.Deg, 10, 90, false,
		"steepest long slope that holds", "", func(l *catalog.Limits) *catalog.Mark { return &l.Slope }},
	{"lean", "short slopes, by their angle from vertical", catalog.Deg, 10, 90, false,
		"steepest short slope that holds", "steepest short slope with a clean underside", func(l *catalog.Limits) *catalog.Mark { return &l.Lean }},
	{"reach", "flat undersides held at one end", catalog.MM, 0, 1000, false,
		"how far a flat underside held at one end may reach out", "how far it may reach out and stay clean", func(l *catalog.Limits) *catalog.Mark { return &l.Reach }},
	{"tab", "flat undersides of little area, held at one end", catalog.MM, 0, 10_000, false,
		"how far one of little area may reach out", "", func(l *catalog.Limits) *catalog.Mark { return &l.Tab }},
	{"span", "narrow bridges", catalog.MM, 0, 10_000, false,
		"longest bridge that holds", "longest bridge that stays flat", func(l *catalog.Limits) *catalog.Mark { return &l.Span }},
	{"ceiling", "wide bridges", catalog.MM, 0, 10_000, false,
		"longest wide bridge that holds", "", func(l *catalog.Limits) *catalog.Mark { return &l.Ceiling }},
	{"wall", "walls, by their thickness", catalog.MM, 0.01, 100, true,
		"thinnest wall that prints, less a twentieth for the facets of a round one", "thinnest wall that is firm", func(l *catalog.Limits) *catalog.Mark { return &l.Wall }},
	{"gap", "gaps between two faces", catalog.MM, 0.01, 100, true,
		"narrowest gap that stays open", "", func(l *catalog.Limits) *catalog.Mark { return &l.Gap }},
	{"column", "standing columns, by how many times as tall as wide they are", catalog.Number, 1, 1000, false,
		"how many times as tall as wide a column may be", "", func(l *catalog.Limits) *catalog.Mark { return &l.Column }},
	{"foot", "what lies flat on the bed, by its area", catalog.MM2, 0.1, 100_000, true,
		"smallest foot that holds", "smallest foot that holds without a brim", func(l *catalog.Limits) *catalog.Mark { return &l.Foot }},
	{"speck", "specks that start in mid-air and soon join the rest, by their area", catalog.MM2, 0.01, 100, false,
		"largest speck that comes out", "", func(l *catalog.Limits) *catalog.Mark { return &l.Speck }},
}

// figures are all figures of the process, the machine's first.
var figures = slices.Concat(machineFigures, abilityFigures())

func abilityFigures() (list []figure) {
	for _, a := range abilities {
		list = append(list, a.figures()...)
	}
	return list
}

// figures are those of one ability, what holds before what is clean.
func (a ability) figures() []figure {
	list := []figure{{a.name + ".holds", a.holds, a.unit, a.low, a.high, func(p *catalog.Process) *float64 { return &a.at(&p.Limits).Holds }, true}}
	if a.neat != "" {
		list = append(list, figure{a.name + ".clean", a.neat, a.unit, a.low, a.high, func(p *catalog.Process) *float64 { return &a.at(&p.Limits).Clean }, true})
	}
	return list
}

// abilityPart is the mapping of one ability as a file gives it.
type abilityPart struct {
	settings settings
	source   string
}

// key is an ability's key in the process mapping.
func (a ability) key() key[*settings] {
	keys := a.keys()
	return key[*settings]{a.name, a.doc, mapOf(&keys), func(d *decoder, n *yaml.Node, into *settings) {
		if n.Kind == yaml.ScalarNode {
			d.add(d.pos(n), "%s takes its figures by name; write %s: {holds: %s}", a.name, a.name, cmp.Or(n.Value, "..."))
			return
		}
		var part abilityPart
		mapping(d, n, a.name, keys, &part)
		for _, s := range part.settings {
			s.source = part.source
			*into = append(*into, s)
		}
	}}
}

func (a ability) keys() (keys []key[*abilityPart]) {
	for _, f := range a.figures() {
		short := strings.TrimPrefix(f.name, a.name+".")
		keys = append(keys, key[*abilityPart]{short, f.doc, aFigure(f.unit), func(d *decoder, n *yaml.Node, into *abilityPart) { f.read(d, n, &into.settings) }})
	}
	return append(keys, textKey("source", "where these figures come from, such as the day they were measured", func(p *abilityPart) *string { return &p.source }))
}

// checkAbilities refuses what is clean where it does not even hold.
func (l *library) checkAbilities(p *catalog.Process, given map[string]setting) bool {
	fine := true
	for _, a := range abilities {
		m := a.at(&p.Limits)
		holds, known := given[a.name+".holds"]
		_, both := given[a.name+".clean"]
		over, most := m.Clean > m.Holds, "most"
		if a.least {
			over, most = m.Clean < m.Holds, "least"
		}
		if !known || !both || !over {
			continue
		}
		fine = false
		limit := catalog.FormatLimit(m.Holds, a.unit)
		l.add(l.later(given, a.name+".clean", a.name+".holds"), "%s.clean is %s, but only %s holds (%s.holds, %s), and what is clean holds too; make clean at %s %s, or say what holds",
			a.name, catalog.FormatLimit(m.Clean, a.unit), limit, a.name, holds.pos, most, limit)
	}
	return fine
}

// figuresIn lists what a text says of the printer, and what this is worked out from in turn.
func (b *ruleBuilder) figuresIn(text string) []Figure { return b.figuresBefore(len(figures), text) }

// figuresBefore keeps to those before one in the table, as a formula does.
func (b *ruleBuilder) figuresBefore(end int, text string) (list []Figure) {
	for i := len(machineFigures); i < end; i++ {
		f := figures[i]
		s, known := b.given[f.name]
		if !known || !strings.Contains(text, "process."+f.name) {
			continue
		}
		found := Figure{Name: "process." + f.name, Unit: f.unit, Value: *f.at(&b.process), From: s.pos, Source: s.source}
		var more []Figure
		if s.formula != nil {
			found.Text = s.formula.value
			more = b.figuresBefore(i, found.Text)
		}
		list = appendNew(list, append([]Figure{found}, more...))
	}
	return list
}

// appendNew appends what is not in a list yet.
func appendNew(list, more []Figure) []Figure {
	for _, f := range more {
		if !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	return list
}

// knows complains about a text that speaks of what nobody says of the printer.
func (b *ruleBuilder) knows(t text) bool {
	for _, f := range figures[len(machineFigures):] {
		name := "process." + f.name
		if _, known := b.given[f.name]; b.exact && !known && strings.Contains(t.value, name) {
			b.add(t.at(strings.Index(t.value, name)), "%s is not said; use: [standard] gives it", name)
			return false
		}
	}
	return true
}
