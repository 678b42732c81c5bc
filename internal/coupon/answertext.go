package coupon

import (
	"cmp"
	"fmt"
	"strings"
)

// Questions is a file of answers to be filled in.
func (p *Plan) Questions() string {
	var b strings.Builder
	name := ""
	if p.Machine != "" {
		name = quoted(p.Machine)
	}
	fmt.Fprintf(&b, `# What came out of the test pieces, for printlint. Fill in the number on the last piece that is
# good, counted from the easy end of its row; leave empty what you did not try. Then run
#   printlint coupon --read answers.yml --out %s
# For a second print, fill in a copy of this file and name both.
version: %d

date:       # the day of the print, such as 2026-11-20
machine: %-2s # what you call the printer, such as bench-2
room:       # what else may matter, such as 'PLA of 2025, dried; 19 °C, door shut'

# What the pieces were made for. Leave it as it is: the steps follow from it.
made-for:
%s  check: '%s'

rows:
`, p.Out(), Version, name, processText(p.Process, "  "), seal(p.Process))
	for i := range p.Rows {
		r := &p.Rows[i]
		fmt.Fprintf(&b, "  # %s, %s: %s\n  %s:\n", r.Title, r.Figure, r.stepWords(), r.Name)
		for m := range marks {
			if r.asks(m) {
				fmt.Fprintf(&b, "    %-9s # %s\n", markNames[m]+":", r.means(m))
			}
		}
	}
	return b.String()
}

// Out is the path that the file of the machine gets.
func (p *Plan) Out() string { return cmp.Or(p.File, "machines/NAME.yml") }

// means is how a mark is known.
func (r *Row) means(m mark) string {
	if m == clean {
		return r.Clean
	}
	return r.Held
}

// stepWords lists the figures of a row.
func (r *Row) stepWords() string {
	words := make([]string, len(r.Steps))
	for i := range r.Steps {
		words[i] = plainly(r.Steps[i].Value)
	}
	return strings.Join(words, ", ") + " " + r.Unit.Symbol()
}
