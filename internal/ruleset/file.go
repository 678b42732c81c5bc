package ruleset

import (
	"slices"
	"strings"

	"github.com/bmatcuk/doublestar/v4"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/pathname"
)

// textOf finds MEASURE.TEXT; nil where there is none.
func textOf(list []catalog.Measure, name string) (*catalog.Measure, catalog.Text) {
	of, short, _ := strings.Cut(name, ".")
	if name == expression.BesideText {
		i := slices.IndexFunc(list, func(m catalog.Measure) bool { return len(m.Texts) > 0 })
		if i < 0 {
			return nil, catalog.Text{}
		}
		return &list[i], catalog.Text{Name: name, Doc: "a file with such a name lies in its folder"}
	}
	if m := find(list, of); m != nil {
		for _, t := range m.Texts {
			if t.Name == short {
				return m, t
			}
		}
	}
	return nil, catalog.Text{}
}

// textNames lists every text that a rule over the whole model can ask of.
func textNames(list []catalog.Measure) (names []string) {
	for i := range list {
		for _, t := range list[i].Texts {
			names = append(names, list[i].Name+"."+t.Name)
		}
	}
	return names
}

// text takes up what is asked of a text; nil where the name is none.
func (b *ruleBuilder) text(name string) expression.Taker {
	if take := b.asksNames(name); take != nil {
		return take
	}
	m, t := textOf(b.sees(), name)
	if m == nil {
		return nil
	}
	return func(words string, test func(string) bool) expression.Meaning {
		b.learn(m, t.Name)
		v := catalog.Value{Name: words, Unit: catalog.Bool, Doc: "yes or no: " + t.Doc}
		return b.take(v, seen{ask: b.ask(m.Name), value: -1, text: t.Name, words: words, test: test})
	}
}

// besideGlob makes a test of a glob of file names, in which capitals make no difference.
func besideGlob(glob string) (test func(string) bool, bad string) {
	switch {
	case glob == "" || strings.ContainsAny(glob, `/\`):
		return nil, "the look is into one folder, so names stand without a folder, as in README*"
	case !doublestar.ValidatePattern(glob):
		return nil, "a bracket or brace is not closed in this name"
	case len(glob) > maxGlob || alternatives(glob) > maxAlternatives:
		return nil, "this name stands for too many"
	}
	low := strings.ToLower(glob)
	return func(name string) bool {
		ok, _ := doublestar.Match(low, strings.ToLower(name))
		return ok
	}, ""
}

// answers says whether the file or folder passes the test.
func (s *seen) answers(f told) float64 {
	passes := false
	if s.text == expression.BesideText {
		passes = f.Holds(s.words, s.test)
	} else {
		passes = s.test(f.Text(s.text))
	}
	if passes {
		return 1
	}
	return 0
}

// About is the rule with the texts of a file filled in where its words name them.
func (r *Rule) About(f *catalog.File) *Rule {
	about := *r
	about.say, about.do = r.say.about(f), r.do.about(f)
	return &about
}

// about fills in the texts of a file or folder.
func (t template) about(f told) template {
	out := slices.Clone(t)
	for i := range out {
		if out[i].of != "" {
			if out[i].text = f.Text(out[i].of); out[i].of == "name" || out[i].of == "part" { // others are paths, which are shown already
				out[i].text = pathname.Shown(out[i].text)
			}
		}
	}
	return out
}

// Opens says whether a rule of the view asks for what is known only when a model is opened.
func (v *View) Opens() bool {
	return v.Err != nil || slices.ContainsFunc(v.Rules, (*Rule).opens)
}

func (r *Rule) opens() bool { return r.open || r.Per == PerPlace }

// learn notes whether the rule needs the model opened for a value or text of a measure.
func (b *ruleBuilder) learn(m *catalog.Measure, name string) {
	b.rule.open = b.rule.open || !slices.Contains(m.Unopened, name)
}

// Beside says of a file what the conditions of all rules find beside it, for whoever must
// know when that changes: one letter a condition, and "" where none asks.
func (c *Config) Beside(f *catalog.File) string {
	var out strings.Builder
	for _, v := range c.alone() {
		for _, r := range v.all {
			for i := range r.seen {
				if r.Per == PerModel && r.seen[i].text == expression.BesideText {
					out.WriteByte("-+"[int(r.seen[i].answers(f))])
				}
			}
		}
	}
	return out.String()
}
