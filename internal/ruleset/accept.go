package ruleset

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// How far a finding may stand from where it was accepted, in mm: half the grid that
// fingerprints are rounded to. A finding that lay beside a line of the grid gets another
// fingerprint when the model is exported again and the place comes out a little off. The
// place named for a large site may be anywhere on it where the shape is even, such as
// the underside of a table: there the radius may differ by the site's size.
const (
	AcceptHeight = 1.0
	AcceptRadius = 4.0
)

// Accept tells which of the findings on one part of a model were accepted, by the file
// that accepts each; "" is none. An accepted finding accepts one finding of its rule:
// that with its fingerprint, or else the nearest within the tolerance. The model is
// known by its path, or, where nothing is accepted for that, by its content: a model
// that was only renamed stays accepted. Safe for concurrent use.
func (c *Config) Accept(path, part, sha256 string, found []Spot) []string {
	files := make([]string, len(found))
	list := c.acceptedBy[acceptedKey{path: path, part: part}]
	if list == nil {
		list = c.acceptedBy[acceptedKey{sha256: sha256, part: part}]
	}
	taken := make([]bool, len(list))
	take := func(i, j int) {
		files[i], taken[j] = list[j].from.File, true
		list[j].used.Store(true)
	}
	for i, f := range found {
		j := slices.IndexFunc(list, func(a *acceptedFinding) bool { return a.Rule == f.Rule && a.Fingerprint == f.Fingerprint })
		if j >= 0 && !taken[j] {
			take(i, j)
		}
	}
	for _, p := range near(found, files, list, taken) {
		if files[p.found] == "" && !taken[p.entry] {
			take(p.found, p.entry)
		}
	}
	return files
}

// acceptedKey is what a model is known by: its path, or its content.
type acceptedKey struct{ path, sha256, part string }

// pair is a finding and an accepted one that may be the same.
type pair struct {
	found, entry int
	apart        float64 // 0 is the same place, 1 the end of the tolerance
}

// near lists what may be the same and is not settled yet, the nearest first.
func near(found []Spot, files []string, list []*acceptedFinding, taken []bool) []pair {
	var pairs []pair
	for i, f := range found {
		for j, a := range list {
			if files[i] != "" || taken[j] || a.Rule != f.Rule {
				continue
			}
			reach := max(AcceptRadius, min(a.Size, f.Size))
			apart := max(math.Abs(a.Height-f.Height)/AcceptHeight, math.Abs(a.Radius-f.Radius)/reach)
			if apart <= 1 {
				pairs = append(pairs, pair{i, j, apart})
			}
		}
	}
	slices.SortFunc(pairs, func(a, b pair) int {
		return cmp.Or(cmp.Compare(a.apart, b.apart), cmp.Compare(a.found, b.found), cmp.Compare(a.entry, b.entry))
	})
	return pairs
}

// index files what was accepted by what it is looked for.
func (c *Config) index(models []*acceptedModel) {
	c.accepted = models
	c.acceptedBy = map[acceptedKey][]*acceptedFinding{}
	for _, m := range models {
		byPath := acceptedKey{path: m.Path, part: m.Part}
		c.acceptedBy[byPath] = append(c.acceptedBy[byPath], m.list...)
		bySum := acceptedKey{sha256: m.SHA256, part: m.Part}
		if m.SHA256 != "" && c.acceptedBy[bySum] == nil {
			c.acceptedBy[bySum] = m.list
		}
	}
}

// StaleAccepted is an accepted finding that is not found any more.
type StaleAccepted struct {
	Path, Part, Rule string
	From             Position
}

// StaleAccepted returns, in the files' order, what was accepted and not found again.
// Models that were not among those checked are left in peace; in a whole run only
// those that are there and could not be judged.
func (c *Config) StaleAccepted(checked, unjudged []string, whole bool) []StaleAccepted {
	seen, lost := setOf(checked), setOf(unjudged)
	var out []StaleAccepted
	for _, m := range c.accepted {
		if !seen[m.Path] && (!whole || lost[m.Path]) {
			continue
		}
		for _, f := range m.list {
			if !f.used.Load() {
				out = append(out, StaleAccepted{m.Path, m.Part, f.Rule, f.from})
			}
		}
	}
	return out
}

func setOf(list []string) map[string]bool {
	set := make(map[string]bool, len(list))
	for _, s := range list {
		set[s] = true
	}
	return set
}

// acceptedHead begins a file of accepted findings.
const acceptedHead = `# Findings accepted as they were when this file was written, by printlint check --accept.
# An entry that is mended is reported and should go: write the file anew. To accept one
# finding for good, and to say why, write a waiver into the configuration instead.
version: 1
accepted:
`

// WriteAccepted writes a file of accepted findings: sorted, one finding a line, so that
// two versions of it can be compared.
func WriteAccepted(w io.Writer, models []Accepted) error {
	models = slices.DeleteFunc(slices.Clone(models), func(m Accepted) bool { return len(m.Findings) == 0 })
	slices.SortStableFunc(models, func(a, b Accepted) int {
		return cmp.Or(strings.Compare(a.Path, b.Path), strings.Compare(a.Part, b.Part))
	})
	var b strings.Builder
	b.WriteString(acceptedHead)
	if len(models) == 0 {
		b.WriteString("  []\n")
	}
	for _, m := range models {
		fmt.Fprintf(&b, "  - path: %s\n", quote(m.Path))
		if m.Part != "" {
			fmt.Fprintf(&b, "    part: %s\n", quote(m.Part))
		}
		if m.SHA256 != "" {
			fmt.Fprintf(&b, "    sha256: %s\n", quote(m.SHA256))
		}
		b.WriteString("    findings:\n")
		spots := slices.Clone(m.Findings)
		for i := range spots {
			s := &spots[i]
			s.Height, s.Radius, s.Size = hundredth(s.Height), hundredth(s.Radius), hundredth(s.Size)
		}
		slices.SortFunc(spots, func(a, b Spot) int {
			return cmp.Or(strings.Compare(a.Rule, b.Rule), cmp.Compare(a.Height, b.Height), cmp.Compare(a.Radius, b.Radius), strings.Compare(a.Fingerprint, b.Fingerprint))
		})
		for _, s := range spots {
			fmt.Fprintf(&b, "      - {rule: %s, height: %s, radius: %s, size: %s, fingerprint: %s}\n",
				quote(s.Rule), inMM(s.Height), inMM(s.Radius), inMM(s.Size), quote(s.Fingerprint))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// quote writes text in double quotes: Go's escapes are among those that YAML 1.2 (5.7)
// reads. What cannot be read back is refused before.
func quote(s string) string { return strconv.Quote(s) }

// hundredth cuts a length in mm to what is written, far finer than the tolerance.
func hundredth(x float64) float64 {
	if math.Abs(x) > 1e15 {
		return x // has no hundredths, and a hundred times as much may be no number
	}
	return math.Round(x*100)/100 + 0
}

func inMM(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// Writable says whether a name can stand in a file of rules: text in UTF-8 without
// control characters.
func Writable(name string) bool {
	at, _ := notText(name)
	return at < 0 && !strings.ContainsAny(name, "\n\r\t")
}
