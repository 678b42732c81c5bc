package coupon

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
	"printlint/internal/near"
	"printlint/internal/ruleset"
)

// Answers are what one print gave.
type Answers struct {
	File                string
	Date, Machine, Room string
	Plan                *Plan

	last map[string][marks]answer // by row
	at   map[string]*yaml.Node    // what its keys say
}

// sameAs complains about answers that do not join with others of one machine.
func (a *Answers) sameAs(first *Answers) error {
	r := &reader{Answers: Answers{File: a.File}}
	for _, f := range figures {
		if is, was := *f.at(&a.Plan.Process), *f.at(&first.Plan.Process); is != was {
			say := func(v float64) string { return catalog.FormatLimit(v, f.unit) }
			r.complain(a.at["made-for"], "made for %s %s, but %s for %s; what was printed otherwise is another machine, so write a file for each", f.name, say(is), first.File, say(was))
		}
	}
	switch is, was := a.Plan.Process, first.Plan.Process; {
	case is.Material != was.Material: // other figures follow from it
		r.problems = nil
		r.complain(a.at["made-for"], "made for %q, but %s for %q; another plastic is another machine, so write a file for each", is.Material, first.File, was.Material)
	case len(r.problems) == 0 && is.Bed != was.Bed:
		r.complain(a.at["made-for"], "made for another bed than %s; another bed is another machine, so write a file for each", first.File)
	}
	if a.Machine != first.Machine {
		r.complain(a.at["machine"], "the machine is %q, but in %s it is %q; write a file for each", a.Machine, first.File, first.Machine)
	}
	if len(r.problems) > 0 {
		return &ruleset.Problems{List: r.problems}
	}
	return nil
}

// isCopyOf says that two files tell of one print, as far as anybody can see.
func (a *Answers) isCopyOf(b *Answers) bool {
	return a.Date == b.Date && a.Room == b.Room && maps.Equal(a.last, b.last)
}

// answer is the last good step of a row by its place in it, where there is one.
type answer struct {
	given bool
	step  int
}

// reader reads one file of answers, and complains of all that is wrong at once.
type reader struct {
	Answers
	process  catalog.Process
	problems []ruleset.Problem
}

// Read reads a file of answers. The error is a *ruleset.Problems.
func Read(file string, data []byte) (*Answers, error) {
	root, err := ruleset.Parse(file, data)
	if err != nil {
		return nil, err
	}
	r := &reader{Answers: Answers{File: file, last: map[string][marks]answer{}}}
	if root == nil {
		r.complain(nil, "the file is empty; printlint coupon writes one to fill in")
		return nil, &ruleset.Problems{List: r.problems}
	}
	found := r.fields(root, "a file of answers", "version", "date", "machine", "room", "made-for", "rows")
	r.Answers.at = found
	v := found["version"]
	planned := v != nil && v.Value == fmt.Sprint(Version)
	if !planned {
		r.complain(v, "version must be %d, that of the pieces that this program makes; print them anew", Version)
	}
	r.Date, r.Machine, r.Room = r.day(found["date"]), r.words(found["machine"], "machine"), r.words(found["room"], "room")
	if fault := ruleset.NameFault(r.Machine); !empty(found["machine"]) && fault != "" {
		r.complain(found["machine"], "%s", fault)
	}
	if r.madeFor(found["made-for"]) && planned {
		if r.Plan, err = New(r.process); err != nil {
			r.complain(found["made-for"], "%s", err)
		} else {
			r.rows(found["rows"])
		}
	}
	if len(r.problems) > 0 {
		return nil, &ruleset.Problems{List: r.problems}
	}
	return &r.Answers, nil
}

func (r *reader) place(n *yaml.Node) ruleset.Position {
	if n == nil {
		return ruleset.Position{File: r.File, Line: 1, Column: 1}
	}
	return ruleset.Position{File: r.File, Line: n.Line, Column: n.Column}
}

func (r *reader) complain(n *yaml.Node, format string, args ...any) {
	r.problems = append(r.problems, ruleset.Problem{Position: r.place(n), Text: fmt.Sprintf(format, args...)})
}

// fields are the values of a mapping whose keys are known.
func (r *reader) fields(n *yaml.Node, what string, known ...string) map[string]*yaml.Node {
	found := map[string]*yaml.Node{}
	if n == nil || n.Kind != yaml.MappingNode {
		r.complain(n, "%s must be a mapping (key: value); copy it from the file that printlint coupon wrote", what)
		return found
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		switch first := found[name.Value]; {
		case digits(name.Value) && empty(value): // what YAML makes of 1,5 between braces
			r.complain(name, "%s has a comma before %s; a number is written with a point, as in 1.5", what, name.Value)
		case !slices.Contains(known, name.Value):
			r.complain(name, "unknown key %q in %s%s", name.Value, what, near.Hint(name.Value, known))
		case first != nil:
			r.complain(name, "key %q stands twice in %s, first in line %d; keep one", name.Value, what, first.Line)
		default:
			found[name.Value] = value
		}
	}
	return found
}

// digits says that a word is of nothing else.
func digits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// empty says that a key was left out or not filled in.
func empty(n *yaml.Node) bool { return n == nil || n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// day reads the date of the print.
func (r *reader) day(n *yaml.Node) string {
	if empty(n) {
		r.complain(n, "date is missing; write the day of the print, such as 2026-11-20")
		return ""
	}
	if _, err := time.Parse(time.DateOnly, n.Value); err != nil {
		r.complain(n, "date is %q, which is no day; write it as 2026-11-20", n.Value)
	}
	return n.Value
}

// lineEnds are all that YAML takes for the end of a line, and so of a comment.
const lineEnds = "\n\r\u0085\u2028\u2029"

// words reads one line of text, which may be left out.
func (r *reader) words(n *yaml.Node, what string) string {
	if empty(n) {
		return ""
	}
	if n.Kind != yaml.ScalarNode || strings.ContainsAny(n.Value, lineEnds) || len(n.Value) > 200 {
		r.complain(n, "%s must be one line of text, of at most 200 letters", what)
		return ""
	}
	return n.Value
}

// madeFor reads the process that the pieces were made for, and says whether it is one.
func (r *reader) madeFor(n *yaml.Node) bool {
	before := len(r.problems)
	known := []string{"material", "bed", "check"}
	for _, f := range figures {
		known = append(known, f.name)
	}
	found := r.fields(n, "made-for", known...)
	r.process.Material = r.words(found["material"], "material")
	for _, f := range figures {
		*f.at(&r.process) = r.quantity(found[f.name], n, f.name, f.unit)
	}
	bed := found["bed"]
	if bed == nil || bed.Kind != yaml.SequenceNode || len(bed.Content) != len(r.process.Bed) {
		r.complain(cmp.Or(bed, n), "made-for needs the bed, such as bed: [220 mm, 220 mm, 250 mm]")
		return false
	}
	for i := range r.process.Bed {
		r.process.Bed[i] = r.quantity(bed.Content[i], n, "bed", catalog.MM)
	}
	check := found["check"]
	if len(r.problems) == before && (check == nil || check.Value != seal(r.process)) {
		r.complain(cmp.Or(check, n), "the figures under made-for are not those that the pieces were made for; copy made-for from the file that printlint coupon wrote, and for another process print the pieces anew")
	}
	return len(r.problems) == before
}

// mostFigure bounds what a process may say: no machine comes near it, and a plan has to end.
const mostFigure = 1e5

// quantity reads a figure of the process. Where there is none, the complaint is about what
// should hold it.
func (r *reader) quantity(n, in *yaml.Node, what string, unit catalog.Unit) float64 {
	if empty(n) {
		r.complain(in, "made-for needs %s; copy it from the file that printlint coupon wrote", what)
		return 1
	}
	value, got, err := catalog.ParseQuantity(n.Value)
	if err != nil || got != unit {
		r.complain(n, "%s is %q; it is a number in %s", what, n.Value, unit)
	} else if value < 0.01 || value > mostFigure {
		r.complain(n, "%s is %s, which cannot be meant; copy it from the file that printlint coupon wrote", what, n.Value)
	}
	return value
}

// rows reads the last good steps.
func (r *reader) rows(n *yaml.Node) {
	var known []string
	for i := range r.Plan.Rows {
		known = append(known, r.Plan.Rows[i].Name)
	}
	found := r.fields(n, "rows", known...)
	before, filled := len(r.problems), 0
	for i := range r.Plan.Rows {
		row := &r.Plan.Rows[i]
		value := found[row.Name]
		if empty(value) {
			continue
		}
		last := r.row(row, value)
		r.last[row.Name] = last
		for m := range marks {
			if last[m].given {
				filled++
			}
		}
	}
	if filled == 0 && len(r.problems) == before {
		r.complain(n, "no row is filled in; write the number on the last good piece behind clean: and held:")
	}
}

// row reads one row, and holds that its marks do not speak against each other.
func (r *reader) row(row *Row, n *yaml.Node) (last [marks]answer) {
	var known []string
	for m := range marks {
		if row.asks(m) {
			known = append(known, markNames[m])
		}
	}
	before := len(r.problems)
	found := r.fields(n, row.Name, known...)
	for m := range marks {
		if value := found[markNames[m]]; !empty(value) {
			last[m] = r.step(row, value)
		}
	}
	c, h := last[clean], last[held]
	switch {
	case len(r.problems) > before || !c.given:
	case !h.given:
		r.complain(found[markNames[clean]], "%s says what came out clean and not what held; write the last piece that held behind held:, which may be the same", row.Name)
	case c.step > h.step:
		r.complain(found[markNames[clean]], "%s: %s is clean, but only %s held; what is clean has held as well, so look at the pieces again, or exchange the two", row.Name, row.Steps[c.step].Label, row.Steps[h.step].Label)
	}
	return last
}

// step finds the step that an answer names.
func (r *reader) step(row *Row, n *yaml.Node) answer {
	if n.Kind != yaml.ScalarNode {
		r.complain(n, "%s takes one number here, that on the last good piece", row.Name)
		return answer{}
	}
	if strings.EqualFold(n.Value, "none") {
		r.complain(n, "not even the first piece of %s is good, and no limit follows from that; look after the printer, print again, or leave it empty to keep the built-in limit", row.Name)
		return answer{}
	}
	text := n.Value
	if strings.HasPrefix(text, ".") {
		text = "0" + text
	}
	value, unit, err := catalog.ParseQuantity(strings.Replace(text, ",", ".", 1))
	if err == nil && strings.Contains(text, ",") {
		r.complain(n, "%s: %q has a comma; a number is written with a point, as in 1.5", row.Name, n.Value)
		return answer{}
	}
	if err == nil && unit != catalog.Number && unit != row.Unit {
		r.complain(n, "%s is counted in %s, not as in %q", row.Name, row.Unit.Symbol(), n.Value)
		return answer{}
	}
	i := slices.IndexFunc(row.Steps, func(s Step) bool { return err == nil && math.Abs(s.Value-value) < 1e-6 })
	if i < 0 {
		r.complain(n, "%s has no piece %q; its numbers are %s", row.Name, n.Value, row.stepWords())
		return answer{}
	}
	return answer{true, i}
}
