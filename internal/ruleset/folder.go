package ruleset

import (
	"fmt"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
)

// told is what texts are asked of: the file of a model, or a folder.
type told interface {
	Text(name string) string
	Others() []string
}

// folderOnly are the values of a folder that lists its names.
var folderOnly = []catalog.Measure{catalog.FolderMeasure}

// sees lists the measures whose values a rule can name.
func (b *ruleBuilder) sees() []catalog.Measure {
	if b.rule.Per == PerFolder {
		return folderOnly
	}
	return b.solver.catalog
}

// asksNames takes up what is asked of the names in a folder, where the rule is over folders.
func (b *ruleBuilder) asksNames(name string) expression.Taker {
	doc := "files in it that match"
	switch {
	case b.rule.Per != PerFolder || name != catalog.HoldsText && name != catalog.LaterText:
		return nil
	case name == catalog.LaterText:
		doc = "models with a source that matches and was changed in a later commit"
	}
	return func(words string, test func(string) bool) expression.Meaning {
		return b.take(catalog.Value{Name: words, Doc: doc}, seen{ask: b.ask(catalog.FolderMeasure.Name), value: -1, text: name, test: test})
	}
}

// names lists what a value of a folder counts; nil for what is no count.
func (s *seen) names(f *catalog.Folder) []string {
	switch {
	case s.test == nil:
		return f.List(catalog.FolderMeasure.Model[s.value].Name)
	case s.text == catalog.LaterText:
		return f.Later(s.test)
	case s.text == catalog.HoldsText:
		return slices.DeleteFunc(slices.Clone(f.Names), func(name string) bool { return !s.test(name) })
	}
	return nil
}

// GatherFolder makes the values of a rule over a folder.
func (r *Rule) GatherFolder(f *catalog.Folder) []float64 {
	values := make([]float64, len(r.seen))
	for i := range r.seen {
		s := &r.seen[i]
		if s.test != nil && s.text != catalog.HoldsText && s.text != catalog.LaterText {
			values[i] = s.answers(f)
			continue
		}
		values[i] = float64(len(s.names(f)))
	}
	return values
}

// AboutFolder is the rule with the texts and names of a folder filled in where its words
// name them.
func (r *Rule) AboutFolder(f *catalog.Folder) *Rule {
	about := *r
	fill := func(t template) template {
		out := t.about(f)
		for i := range out {
			if p := &out[i]; p.which {
				p.text, p.value = listed(r.seen[p.value].names(f)), -1
			}
		}
		return out
	}
	about.say, about.do = fill(r.say), fill(r.do)
	return &about
}

// ByNames says that a rule over folders asks for nothing but the names of files.
func (r *Rule) ByNames() bool {
	return !slices.ContainsFunc(r.seen, func(s seen) bool {
		if s.test != nil {
			return s.text == catalog.LaterText
		}
		name := catalog.FolderMeasure.Model[s.value].Name
		return name == catalog.FolderCopies || name == catalog.FolderSame || name == catalog.FolderUneven
	})
}

// mostNamed is how many names a message lists.
const mostNamed = 5

// listed puts names into one line.
func listed(names []string) string {
	more := ""
	if len(names) > mostNamed {
		more = fmt.Sprintf(" and %d more", len(names)-mostNamed)
		names = names[:mostNamed]
	}
	return strings.Join(names, ", ") + more
}

// sampleFolder is the folder of an example.
var sampleFolder = &catalog.Folder{
	Path: "parts/clips", Name: "clips", Names: []string{"clip v2.stl", "photo.png"},
	List:  func(string) []string { return []string{"clip v2.stl"} },
	Later: func(func(string) bool) []string { return []string{"clip v2.stl"} },
}
