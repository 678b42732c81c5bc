package ruleset

import "sync/atomic"

// Usage is what one run used of a configuration: the waivers and accepted findings that
// held, and the renamed files. Two runs with one configuration have one each. It is safe
// for concurrent use, apart from Take.
type Usage struct {
	*Config
	waived []atomic.Bool // by the index of the waiver
	found  []atomic.Bool // by the index of the accepted finding
	taken  map[string]string
}

// NewUsage begins a run, in which nothing has been used.
func (c *Config) NewUsage() *Usage {
	return &Usage{c, make([]atomic.Bool, len(c.Waivers)), make([]atomic.Bool, c.findings), map[string]string{}}
}

// Waive finds the first waiver that accepts a finding and marks it used, or returns nil.
// The box is the finding's, in mm in the file's own frame.
func (u *Usage) Waive(path, part, rule string, box [2][3]float64) *Waiver {
	i := u.waiver(path, part, rule, box)
	if i < 0 {
		return nil
	}
	u.waived[i].Store(true)
	return u.Waivers[i]
}

// Take lets the models of a file have what was accepted under another path, where the
// file lay before. To be called before models are judged.
func (u *Usage) Take(file, from string) { u.taken[file] = from }

// Taken returns the path that a file takes over from, or "".
func (u *Usage) Taken(file string) string { return u.taken[file] }

// from is the path under which findings on a model were accepted.
func (u *Usage) from(model string) string {
	file := FileOf(model)
	if was, ok := u.taken[file]; ok {
		return was + model[len(file):]
	}
	return model
}

func (u *Usage) fromAll(models []string) map[string]bool {
	set := make(map[string]bool, len(models))
	for _, m := range models {
		set[u.from(m)] = true
	}
	return set
}
