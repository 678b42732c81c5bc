package ruleset

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
)

// digest covers everything that decides a verdict or its words, and nothing else:
// not where it stands, nor in which of the files.
func (c *Config) digest() string {
	h := sha256.New()
	fmt.Fprintf(h, "include %q exclude %q lfs %q fail-at %q\n", c.Include, c.Exclude, c.LFS, c.FailAt)
	c.base.digest(h)
	for i, p := range c.main.main.places {
		fmt.Fprintf(h, "place %q\n", values(p.paths))
		c.views[c.held(func(j int) bool { return i == j })].digest(h)
	}
	for _, w := range c.Waivers {
		fmt.Fprintf(h, "waiver %q %q %q %q %q %v", w.Path, w.Rule, w.Part, w.Reason, w.Until, w.past)
		if w.Box != nil {
			fmt.Fprintf(h, " %v", *w.Box)
		}
		fmt.Fprintln(h)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func (v *View) digest(h hash.Hash) {
	fmt.Fprintf(h, "process %q unit %q\n", fmt.Sprint(v.Process), v.Unit)
	for _, r := range v.all {
		fmt.Fprintf(h, "rule %q %q %q %q %q %q %q\n", r.ID, r.Measure, r.Level, r.Find, r.Say, r.Do, r.Because)
		for _, l := range r.Limits {
			fmt.Fprintf(h, "limit %q %q %v\n", l.Name, l.Unit, l.Value)
		}
	}
}
