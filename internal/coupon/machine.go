package coupon

import (
	"fmt"
	"slices"
	"strings"

	"printlint/internal/catalog"
)

// Machine is the rule set that prints of one plan give, as a file that others use. Of
// several prints the worst counts, row by row.
func Machine(prints []*Answers) (string, error) {
	first := prints[0]
	for _, a := range prints[1:] {
		if a.Plan.Process != first.Plan.Process {
			return "", fmt.Errorf("%s and %s were made for different processes; what was printed otherwise is another machine, so write a file for each", first.File, a.File)
		}
		if a.Machine != first.Machine {
			return "", fmt.Errorf("%s is about the machine %q, %s about %q; write a file for each", first.File, first.Machine, a.File, a.Machine)
		}
	}
	m := &machine{prints: prints, plan: first.Plan}
	m.gather()
	return m.text(), nil
}

// machine is a rule set being written.
type machine struct {
	prints []*Answers
	plan   *Plan
	rules  []*changed
	silent []string // rows and marks without an answer
}

// changed is a rule with limits that were measured.
type changed struct{ id, limits, source string }

// gather turns the last good steps into limits, in the order of the rows.
func (m *machine) gather() {
	for i := range m.plan.Rows {
		row := &m.plan.Rows[i]
		for k := range marks {
			if !row.asks(k) {
				continue
			}
			worst, best, of := m.spread(row, k)
			if of == 0 {
				m.silent = append(m.silent, row.Name+" "+markNames[k])
				continue
			}
			said := false
			for _, l := range row.limits {
				if l.mark != k {
					continue
				}
				r := m.rule(l.rule)
				r.limits += fmt.Sprintf("      %s: %s\n", l.name, l.write(row, row.Steps[worst].Value, m.plan.Process))
				if !said {
					r.source += m.origin(row, k, worst, best, of)
				}
				said = true
			}
		}
	}
}

// spread is the least and the best step that prints give for a mark, and how many give one.
func (m *machine) spread(row *Row, k mark) (worst, best, of int) {
	for _, a := range m.prints {
		if last := a.last[row.Name][k]; last.given {
			if of == 0 || last.step < worst {
				worst = last.step
			}
			best = max(best, last.step)
			of++
		}
	}
	return worst, best, of
}

func (m *machine) rule(id string) *changed {
	if i := slices.IndexFunc(m.rules, func(r *changed) bool { return r.id == id }); i >= 0 {
		return m.rules[i]
	}
	m.rules = append(m.rules, &changed{id: id})
	return m.rules[len(m.rules)-1]
}

// origin says where a limit comes from, and how sure it is.
func (m *machine) origin(row *Row, k mark, step, best, of int) string {
	figure := func(i int) string { return catalog.FormatLimit(row.Steps[i].Value, row.Unit) }
	prints := "1 print"
	if of > 1 {
		prints = fmt.Sprintf("the worst of %d prints", of)
	}
	spread := ""
	if best > step {
		spread = fmt.Sprintf(", and the best of them gives %s", figure(best))
	}
	next := ", and the plate has no harder piece; the printer may do more"
	if step+1 < len(row.Steps) {
		next = fmt.Sprintf(" and %s did not; the true limit lies between", figure(step+1))
	}
	done := [marks]string{"came out clean", "held"}[k]
	return fmt.Sprintf("      %s: measured on %s (%s), %s %s%s%s.\n", row.Name, prints, m.days(row, k), figure(step), done, next, spread)
}

// days lists the days of the prints that answered.
func (m *machine) days(row *Row, k mark) string {
	var days []string
	for _, a := range m.prints {
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
	fmt.Fprintf(&b, "# Limits of one printer, measured on test pieces; written by printlint coupon --read.\n")
	fmt.Fprintf(&b, "# They hold for this printer, plastic and room, and for shapes like those of the pieces; print anew\n# when one of these changes.\n")
	for _, a := range m.prints {
		for _, line := range []string{"print of " + a.Date, "machine: " + a.Machine, "room: " + a.Room} {
			if !strings.HasSuffix(line, ": ") {
				fmt.Fprintf(&b, "#   %s\n", line)
			}
		}
	}
	if len(m.silent) > 0 {
		fmt.Fprintf(&b, "# Not answered, so that the limits of standard hold: %s.\n", strings.Join(m.silent, ", "))
	}
	fmt.Fprintf(&b, "version: 1\nuse: [standard]\nprocess:\n%srules:\n", processText(m.plan.Process, "  "))
	for _, r := range m.rules {
		fmt.Fprintf(&b, "  %s:\n    limits:\n%s    source: >-\n%s      Other limits: as in standard.\n", r.id, r.limits, r.source)
	}
	return b.String()
}
