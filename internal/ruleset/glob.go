package ruleset

import (
	"slices"
	"strings"

	"github.com/bmatcuk/doublestar/v4"
	"gopkg.in/yaml.v3"

	"printlint/internal/pathname"
)

// globOf reads one glob of a list.
func globOf(what string) func(*decoder, *yaml.Node) (text, bool) {
	return func(d *decoder, n *yaml.Node) (text, bool) { return d.glob(n, what) }
}

const (
	maxGlob         = 500
	maxAlternatives = 1000 // each is tried, so they multiply
)

// alternatives bounds from above how many globs without braces a glob stands for.
func alternatives(glob string) int {
	total := 1
	var open []int // alternatives so far in each brace that is open
	for _, r := range glob {
		switch {
		case r == '{':
			open = append(open, 1)
		case r == ',' && len(open) > 0:
			open[len(open)-1]++
		case r == '}' && len(open) > 0:
			total *= open[len(open)-1]
			open = open[:len(open)-1]
		}
		if total > maxAlternatives {
			break
		}
	}
	return total
}

func (d *decoder) glob(n *yaml.Node, what string) (text, bool) {
	t, ok := d.words(n, "a glob of "+what)
	if !ok {
		return t, false
	}
	if !doublestar.ValidatePattern(t.value) {
		d.add(t.pos(), "%q is not a glob: a bracket or brace is not closed", t.value)
		return t, false
	}
	if len(t.value) > maxGlob || alternatives(t.value) > maxAlternatives {
		d.add(t.pos(), "a glob may have %d characters and its braces %d alternatives; write several globs", maxGlob, maxAlternatives)
		return t, false
	}
	if strings.HasPrefix(t.value, "/") || strings.HasPrefix(t.value, "./") || strings.HasPrefix(t.value, "../") {
		d.add(t.pos(), "%q can match nothing: paths begin at the configuration's folder, without / or .", t.value)
		return t, false
	}
	return t, true
}

func matchesAny(globs []text, path string) bool {
	return slices.ContainsFunc(globs, func(g text) bool { return pathname.Match(g.value, path) })
}

func values(list []text) []string {
	var out []string
	for _, t := range list {
		out = append(out, t.value)
	}
	return out
}
