package ruleset

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// digest covers everything that decides a verdict or its words, and nothing else:
// not where it stands, nor in which of the files.
func (c *Config) digest() string {
	h := sha256.New()
	fmt.Fprintf(h, "root %q include %q exclude %q lfs %q fail-at %q\n", c.Root, c.Include, c.Exclude, c.LFS, c.FailAt)
	if c.FailOn == finding.FailOnNew {
		fmt.Fprintf(h, "fail-on %q\n", c.FailOn)
	}
	c.digestMachines(h)
	c.base.digest(h)
	for _, p := range c.main.main.places {
		fmt.Fprintf(h, "place %q\n", values(p.paths))
		p.view.digest(h)
		p.digest(h)
	}
	for _, w := range c.Waivers {
		fmt.Fprintf(h, "waiver %q %q %q %q %q %v", w.Path, w.Rule, w.Part, w.Reason, w.Until, w.past)
		if w.Box != nil {
			fmt.Fprintf(h, " %v", *w.Box)
		}
		fmt.Fprintln(h)
	}
	for _, m := range c.accepted {
		fmt.Fprintf(h, "accepted %q\n", fmt.Sprint(m.Accepted))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// digest covers what the place itself says: where several hold, also what changes
// nothing by itself decides, since it wins over an earlier one.
func (p *place) digest(h hash.Hash) {
	var process catalog.Process
	for _, s := range p.process {
		fmt.Fprintf(h, "sets %q\n", s.name)
		if s.formula != nil {
			fmt.Fprintf(h, "as %q\n", s.formula.value)
			continue
		}
		s.set(&process)
	}
	p.intent.digest(h)
	fmt.Fprintf(h, "to %q unit %q\n", fmt.Sprint(process), p.unit)
	for _, r := range p.rules {
		fmt.Fprintf(h, "changes %q\n", r.id)
		for _, t := range r.fields {
			if t != nil {
				fmt.Fprintf(h, "%q", t.value)
			}
			fmt.Fprintln(h)
		}
		if r.yields != nil {
			fmt.Fprintf(h, "yields to %q\n", values(r.yields.rules))
		}
		for _, l := range r.limits {
			fmt.Fprintf(h, "limit %q %q\n", l.name, l.text.value)
		}
	}
}

func (v *View) digest(h hash.Hash) {
	fmt.Fprintf(h, "process %q unit %q\n", fmt.Sprint(v.Process), v.Unit.Word)
	if !v.Lay.AsItLies() || v.Supported {
		fmt.Fprintf(h, "lay %v support %v\n", v.Lay, v.Supported)
	}
	for _, r := range v.all {
		fmt.Fprintf(h, "rule %q %q %q %q %q %q %q %q\n", r.ID, r.Per, r.Measure, r.Level, r.Find, r.Say, r.Do, r.Because)
		fmt.Fprintf(h, "yields to %q\n", r.YieldsTo)
		for _, l := range r.Limits {
			fmt.Fprintf(h, "limit %q %q %v\n", l.Name, l.Unit, l.Value)
		}
	}
}
