package report

import (
	"cmp"
	"io"
	"strings"

	"github.com/jstemmer/go-junit-report/v2/junit"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// writeJUnit writes the report as JUnit XML: a suite for each model, a case for each
// rule that found something on it, and one passed case where none did. Like places share a
// line. A finding is a failure from the level on that fails the gate; below it, the case passes and its
// output tells. What a model is on each machine stands among the properties of its suite. A model that could not be judged, or only in part, is an error. JUnit XML has no
// standard; this keeps to the elements and attributes that all readers share.
func writeJUnit(w io.Writer, r *finding.Report, opt Options) error {
	suites := junit.Testsuites{Name: r.Tool.Name}
	for i := range r.Models {
		suite := suiteOf(r, &r.Models[i], len(suites.Suites), opt)
		suite.AddProperty("rules", cdata(words.Rules(&r.Rules)))
		for k, cell := range words.Matrix(r, &r.Models[i]) {
			name := r.Machines[k].Name
			suite.AddProperty("on "+cdata(words.Safe(name)), cdata(words.Said(cell, words.OnMachine(&r.Models[i], name))))
		}
		suites.AddSuite(suite)
	}
	if _, err := io.WriteString(w, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"); err != nil {
		return err
	}
	return suites.WriteXML(w)
}

func suiteOf(r *finding.Report, m *finding.Model, id int, opt Options) junit.Testsuite {
	name := words.Safe(m.Path) + words.OfPart(m)
	suite := junit.Testsuite{Name: name, ID: id, File: words.Safe(m.Path), Time: "0"}
	one := junit.Testcase{Name: "printable", Classname: name}
	if m.Kind == finding.KindConfig {
		one.Name = "rules"
	}
	var notes []string
	for _, n := range m.Notes {
		notes = append(notes, "note: "+words.Safe(n))
	}
	if len(notes) > 0 {
		suite.SystemOut = &junit.Output{Data: cdata(strings.Join(notes, "\n"))}
	}
	switch m.Status {
	case finding.Unreadable:
		one.Error = unjudgedCase(m)
		suite.AddTestcase(one)
		return suite
	case finding.Undecided: // what was found follows
		one.Error = unjudgedCase(m)
		suite.AddTestcase(one)
	case finding.Skipped:
		one.Skipped = &junit.Result{Message: words.Safe(m.Reason)}
		suite.AddTestcase(one)
		return suite
	}
	for _, groups := range words.Grouped(m) {
		suite.AddTestcase(caseOf(m, name, groups, r.Closes(groups[0].Finding, cmp.Or(opt.FailAt, finding.Error))))
	}
	if suite.Tests == 0 {
		suite.AddTestcase(one)
	}
	return suite
}

func unjudgedCase(m *finding.Model) *junit.Result {
	return &junit.Result{Message: words.Safe(m.Reason), Type: string(m.Status), Data: cdata(words.Place(m.Path, m.Line, 0) + ": " + words.Unjudged(m))}
}

func caseOf(m *finding.Model, class string, groups []words.Group, fails bool) junit.Testcase {
	first := &groups[0]
	var lines []string
	for i := range groups {
		lines = append(lines, textGroup(m, &groups[i], Options{}))
	}
	if first.Advice != "" {
		lines = append(lines, words.Order(first.Advice))
	}
	lines = append(lines, adviceLines(m)...)
	c := junit.Testcase{Name: words.Safe(first.Rule), Classname: class}
	text := cdata(strings.Join(lines, "\n"))
	c.Name += words.Only(first.Finding) // readers take cases of one name for one
	if first.Change == finding.Same {
		c.Name += words.Brought(first.Finding)
	}
	if fails {
		c.Failure = &junit.Result{Message: words.Safe(first.FullMessage()) + words.Only(first.Finding) + words.More(groups), Type: string(first.Level), Data: text}
	} else {
		c.SystemOut = &junit.Output{Data: text}
	}
	return c
}

// cdata drops what XML 1.0 cannot carry at all. Control characters are escaped by
// Safe already; what remains are U+FFFE and U+FFFF.
func cdata(s string) string {
	return strings.Map(func(r rune) rune {
		if r == 0xFFFE || r == 0xFFFF {
			return '?'
		}
		return r
	}, s)
}
