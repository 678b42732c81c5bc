package coupon

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/ruleset"
)

// Prints are what is known of one machine.
type Prints struct {
	List []*Answers
	// Name is that of the machine where the answers give none.
	Name string
	// Quantile is which of several prints counts, in percent of them from the worst on; 0 is
	// the worst.
	Quantile int
}

// MostQuantile is the highest quantile: past it most prints would fail what the limits let pass.
const MostQuantile = 50

// Machine is the file of the machine that prints of one plan give: its process, with what it
// can do, row by row. The error is a *ruleset.Problems.
func (p Prints) Machine() (string, error) {
	first := p.List[0]
	for i, a := range p.List[1:] {
		if err := a.sameAs(first); err != nil {
			return "", err
		}
		if k := slices.IndexFunc(p.List[:i+1], a.isCopyOf); k >= 0 {
			r := &reader{Answers: Answers{File: a.File}}
			r.complain(a.at["date"], "it says the same as %s, day and room too, and one print is not counted twice; where a second print came out alike, say so under room", p.List[k].File)
			return "", &ruleset.Problems{List: r.problems}
		}
	}
	return p.gathered().text(), nil
}

// Summary says in one line what the file of the machine is made of.
func (p Prints) Summary() string {
	m := p.gathered()
	var days []string
	for _, a := range p.List {
		days = append(days, a.Date)
	}
	said := fmt.Sprintf("%s, by the print of %s", m.name(), days[0])
	if len(days) > 1 {
		said = fmt.Sprintf("%s, by %d prints (%s)", m.name(), len(days), strings.Join(days, ", "))
	}
	if len(m.silent) > 0 {
		said += "; not answered: " + strings.Join(m.silent, ", ")
	}
	return said
}

// gathered is the machine with all that was measured.
func (p Prints) gathered() *machine {
	m := &machine{Prints: p, plan: p.List[0].Plan}
	m.gather()
	return m
}

// name is what the machine is called.
func (m *machine) name() string { return cmp.Or(m.List[0].Machine, m.Name) }

// machine is a file being written.
type machine struct {
	Prints
	plan   *Plan
	parts  []*part
	silent []string // rows and marks without an answer
}

// part is one thing that a machine can do, with what was measured.
type part struct{ name, figures, source string }

// gather turns the last good steps into figures, in the order of the rows.
func (m *machine) gather() {
	for i := range m.plan.Rows {
		row := &m.plan.Rows[i]
		holds := m.counted(row, held)
		for k := marks - 1; k >= 0; k-- {
			c := m.counted(row, k)
			switch {
			case !row.asks(k):
				continue
			case c.of == 0:
				m.silent = append(m.silent, row.Name+" "+markNames[k])
				continue
			case c.step > holds.step: // another print held less
				c.cut, c.step = true, holds.step
			}
			m.take(row, k, c)
		}
	}
}

// take writes down what a mark gives.
func (m *machine) take(row *Row, k mark, c counted) {
	for _, l := range row.limits {
		if l.mark != k {
			continue
		}
		thing, short, _ := strings.Cut(l.name, ".")
		p := m.part(thing)
		p.figures += fmt.Sprintf("    %s: %s\n", short, l.write(row, row.Steps[c.step].Value, m.plan.Process))
		p.source += "      " + m.origin(row, k, c) + "\n"
	}
}

// counted is the step that counts for a mark of a row.
type counted struct {
	step, best int
	of         int  // how many prints say one
	rank       int  // by which of them it counts, 1 for the worst
	cut        bool // to what held
}

// counted picks among the last good steps of all prints by the nearest rank, from the worst
// on: a step that was seen, and no figure between two.
func (m *machine) counted(row *Row, k mark) (c counted) {
	var steps []int
	for _, a := range m.List {
		if last := a.last[row.Name][k]; last.given {
			steps = append(steps, last.step)
		}
	}
	if c.of = len(steps); c.of == 0 {
		return c
	}
	slices.Sort(steps)
	c.rank = max(1, (m.Quantile*c.of+99)/100)
	c.step, c.best = steps[c.rank-1], steps[c.of-1]
	return c
}

func (m *machine) part(name string) *part {
	if i := slices.IndexFunc(m.parts, func(p *part) bool { return p.name == name }); i >= 0 {
		return m.parts[i]
	}
	m.parts = append(m.parts, &part{name: name})
	return m.parts[len(m.parts)-1]
}

// origin says where a figure comes from, and how sure it is.
func (m *machine) origin(row *Row, k mark, c counted) string {
	figure := func(i int) string { return catalog.FormatLimit(row.Steps[i].Value, row.Unit) }
	prints := "1 print"
	switch {
	case c.of > 1 && c.rank > 1:
		prints = fmt.Sprintf("%d prints, of which number %d from the worst counts, the %d %% quantile", c.of, c.rank, m.Quantile)
	case c.of > 1:
		prints = fmt.Sprintf("the worst of %d prints", c.of)
	}
	next := ", and the plate has no harder piece; the printer may do more"
	switch {
	case c.cut:
		next = ", as another print held no more"
	case c.step+1 < len(row.Steps):
		next = fmt.Sprintf(" and %s did not; the true limit lies between", figure(c.step+1))
	}
	spread := ""
	if c.best > c.step {
		spread = fmt.Sprintf(", and the best of them gives %s", figure(c.best))
	}
	done := [marks]string{"came out clean", "held"}[k]
	return fmt.Sprintf("%s: measured on %s (%s), %s %s%s%s.", row.Name, prints, m.days(row, k), figure(c.step), done, next, spread)
}

// days lists the days of the prints that answered.
func (m *machine) days(row *Row, k mark) string {
	var days []string
	for _, a := range m.List {
		if a.last[row.Name][k].given {
			days = append(days, a.Date)
		}
	}
	slices.Sort(days)
	return strings.Join(slices.Compact(days), ", ")
}

// text is the file.
func (m *machine) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "# What one printer can do, measured on test pieces; written by printlint coupon --read.\n")
	fmt.Fprintf(&b, "# It holds for this printer, plastic and room, and for shapes like those of the pieces; print anew\n# when one of these changes.\n")
	for _, a := range m.List {
		fmt.Fprintf(&b, "#   print of %s\n", a.Date)
		if a.Room != "" {
			fmt.Fprintf(&b, "#   room: %s\n", a.Room)
		}
	}
	if len(m.List) > 1 {
		fmt.Fprintf(&b, "# %s\n", m.rankWords())
	}
	if len(m.silent) > 0 {
		fmt.Fprintf(&b, "# Not answered, so that the rule set's own figures hold: %s.\n", strings.Join(m.silent, ", "))
	}
	fmt.Fprintf(&b, "version: 1\nname: %s\nprocess:\n%s", quoted(m.name()), processText(m.plan.Process, "  "))
	for _, p := range m.parts {
		fmt.Fprintf(&b, "  %s:\n%s    source: >-\n%s", p.name, p.figures, p.source)
	}
	return b.String()
}

// rankWords says which of several prints counts.
func (m *machine) rankWords() string {
	if m.Quantile == 0 {
		return "Of several prints the worst counts, row by row."
	}
	return fmt.Sprintf("Of several prints the %d %% quantile counts, row by row: sorted from the worst on, the one at\n# %d %% of their number, rounded up. It is a step that was seen, and nothing between two.", m.Quantile, m.Quantile)
}
