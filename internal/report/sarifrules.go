package report

import (
	"cmp"
	"slices"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// unreadableRule is what code scanning is told of a model that could not be read.
const unreadableRule = "unreadable"

// leftOutRule is what code scanning is told of results that it would not show.
const leftOutRule = "left-out"

// sarifRules describes the rules in force, and those of findings that came from elsewhere,
// such as an older report, in the order of their names.
func sarifRules(r *finding.Report, scanning bool) []sarifRule {
	rules := slices.Clone(r.Rules.Rules)
	known := map[string]bool{}
	for i := range rules {
		known[rules[i].ID] = true
	}
	add := func(when bool, rule finding.Rule) {
		if when && !known[rule.ID] {
			known[rule.ID] = true
			rules = append(rules, rule)
		}
	}
	add(scanning, finding.Rule{
		ID: unreadableRule, Level: finding.Error,
		Because: "A model that cannot be read cannot be judged, and must not pass for that.",
		Do:      "See the message of the finding for the cure.",
	})
	add(scanning && tooMany(r), finding.Rule{
		ID: leftOutRule, Level: finding.Warning,
		Because: "A service shows a limited number of results of one run; the rest are in the other reports of the run.",
		Do:      "Mend the worst first, or write the report in another format.",
	})
	undecided := func(m finding.Model) bool { return m.Status == finding.Undecided }
	add(slices.ContainsFunc(r.Models, undecided), finding.Rule{
		ID: finding.RuleUndecided, Level: finding.Error, Because: "A model that was judged only in part must not pass for that.",
	})
	eachFinding(r, func(_ *finding.Model, f *finding.Finding) {
		add(true, finding.Rule{ID: f.Rule, Level: f.Level, Because: f.Message, Do: f.Advice})
	})
	slices.SortStableFunc(rules, func(a, b finding.Rule) int { return cmp.Compare(a.ID, b.ID) })
	list := []sarifRule{}
	for i := range rules {
		list = append(list, describe(&rules[i]))
	}
	return list
}

// tooMany says that there may be more results than are shown.
func tooMany(r *finding.Report) bool {
	n := 0
	for i := range r.Models {
		n += 1 + len(r.Models[i].Findings)
	}
	return n > maxResults
}

// ruleIndex is a rule's place in the list of rules.
func (s *sarifWriter) ruleIndex(id string) int {
	id = plainMessage(id)
	return slices.IndexFunc(s.rules, func(r sarifRule) bool { return r.ID == id })
}

// The longest texts that code scanning services take.
const (
	longestName        = 255
	longestDescription = 1024
)

func describe(r *finding.Rule) sarifRule {
	title := strings.ReplaceAll(r.ID, "-", " ")
	switch {
	case r.Per == finding.KindFolder:
		title += ", over each folder that holds models"
	case r.Per != "":
		title += ", over the whole model: " + r.Measure
	case r.Measure != "":
		title += ", over the measure " + r.Measure
	}
	because := sentence(cmp.Or(oneLine(r.Because), title))
	out := sarifRule{
		ID:    plainMessage(r.ID),
		Short: sarifMessage{Text: cut(sentence(plainMessage(title)), longestName)},
		Full:  sarifMessage{Text: cut(plainMessage(because), longestDescription)},
		Help:  help(r, because),
	}
	out.Default.Enabled, out.Default.Level = r.Level != finding.None, string(r.Level)
	return out
}

// help is the rule's page, plain and as Markdown.
func help(r *finding.Rule, because string) sarifMessage {
	var text, md strings.Builder
	text.WriteString(plainMessage(because))
	md.WriteString(markdownText(because))
	for _, part := range []struct{ head, text string }{
		{"What to do", r.Do}, {"Limits", strings.Join(r.Limits, ", ")}, {"Source", r.Source},
	} {
		if part.text == "" {
			continue
		}
		line := sentence(oneLine(part.text))
		text.WriteString("\n" + part.head + ": " + plainMessage(line))
		md.WriteString("\n\n**" + part.head + ":** " + markdownText(line))
	}
	return sarifMessage{Text: text.String(), Markdown: md.String()}
}

// plainMessage is text for a place where SARIF takes plain text messages.
func plainMessage(s string) string {
	return strings.ReplaceAll(words.Safe(s), "](", "] (")
}

// oneLine folds white space.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// cut shortens text to a number of bytes, at a space, and shows that it did.
func cut(s string, most int) string {
	if len(s) <= most {
		return s
	}
	const mark = " ..."
	end := strings.LastIndexByte(s[:most-len(mark)], ' ')
	if end <= 0 {
		end = most - len(mark)
		for end > 0 && s[end]&0xC0 == 0x80 { // not within a character
			end--
		}
	}
	return s[:end] + mark
}
