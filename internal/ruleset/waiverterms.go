package ruleset

import (
	"slices"
	"time"
	"unicode"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
)

// waiverTerms are what one file asks of every waiver. The terms of all files hold.
type waiverTerms struct {
	pos    Position
	need   []string // keys that a waiver must have
	reason int      // least letters and digits of its reason
	most   int      // most waivers in all; -1 where nothing is said
	days   int      // most days from today to its last one; -1 where nothing is said
}

// termKeys is the table of waiver-terms.
var termKeys = []key[*waiverTerms]{
	{"need", "what each waiver must say besides: until, part, box", listOf(oneOf(optionalKeys...)), func(d *decoder, n *yaml.Node, t *waiverTerms) {
		d.items(n, "need", func(item *yaml.Node) {
			if w, ok := d.one(item, "need", optionalKeys); ok {
				t.need = append(t.need, w)
			}
		})
	}},
	countKey("reason", "least number of letters and digits in its reason", func(t *waiverTerms) *int { return &t.reason }),
	countKey("most", "most waivers there may be", func(t *waiverTerms) *int { return &t.most }),
	countKey("days", "most days from today to its last day", func(t *waiverTerms) *int { return &t.days }),
}

// optionalKeys are the keys that a waiver can do without.
var optionalKeys = []string{"until", "part", "box"}

// mostCount bounds the numbers in terms, so that slips of the keyboard are seen.
const mostCount = 100_000

// countKey is a key whose whole number goes into a field.
func countKey[T any](name, doc string, field func(T) *int) key[T] {
	shape := func(*schema) object { return object{"type": "integer", "minimum": 0, "maximum": mostCount} }
	return key[T]{name, doc, shape, func(d *decoder, n *yaml.Node, into T) {
		value, unit, err := catalog.ParseQuantity(n.Value)
		if n.Kind != yaml.ScalarNode || n.Tag != "!!int" || err != nil || unit != catalog.Number || value < 0 || value > mostCount {
			d.add(d.pos(n), "%s must be a whole number from 0 to %d", name, mostCount)
			return
		}
		*field(into) = int(value)
	}}
}

func readTerms(d *decoder, n *yaml.Node, l *document) {
	l.terms = &waiverTerms{pos: d.pos(n), most: -1, days: -1}
	mapping(d, n, "waiver-terms", termKeys, l.terms)
}

// checkTerms holds waivers to the terms of every file.
func (c *Config) checkTerms(today string) {
	for _, l := range append(slices.Clone(c.library.laid), c.main) {
		if l.terms == nil {
			continue
		}
		for i, w := range c.Waivers {
			l.terms.check(c.library.complaints, w, today)
			if i == l.terms.most {
				c.library.add(w.From, "this waiver is one too many: %s allows %d and here are %d; mend a model and remove its waiver", l.terms.pos, l.terms.most, len(c.Waivers))
			}
		}
	}
}

// check complains about what a waiver lacks.
func (t *waiverTerms) check(c *complaints, w *Waiver, today string) {
	has := map[string]bool{"until": w.Until != "", "part": w.Part != "", "box": w.Box != nil}
	cure := map[string]string{"until": "until: " + dayAfter(today, 30) + ", its last day", "part": "part: NAME, the part of the file that it speaks of", "box": "box: [[x, y, z], [x, y, z]], around the findings that it speaks of"}
	for _, need := range t.need {
		if !has[need] {
			c.add(w.From, "this waiver needs %s (%s asks for it); write %s", need, t.pos, cure[need])
		}
	}
	if n := meaningful(w.Reason); n < t.reason {
		c.add(w.From, "the reason of this waiver has %d letters and digits, and %s asks for %d; say who accepts the finding, and why it does no harm", n, t.pos, t.reason)
	}
	if last := dayAfter(today, t.days); t.days >= 0 && today != "" && w.Until > last {
		c.add(w.From, "this waiver holds until %s, and %s allows %d days; write until: %s or sooner", w.Until, t.pos, t.days, last)
	}
}

// meaningful counts the letters and digits of a text.
func meaningful(s string) (n int) {
	for _, r := range s {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			n++
		}
	}
	return n
}

// dayAfter is a day so many days after another; an example where that is not known.
func dayAfter(day string, days int) string {
	from, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return "2027-03-01"
	}
	return from.AddDate(0, 0, days).Format(time.DateOnly)
}
