package words

import (
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
)

// Caution is what must not be read into a report of models that are fine.
const Caution = "fine means the shape suits the process; it says nothing about strength, heat, food, electrical or child safety"

// Further says what to type next: the word in brackets behind a finding is its rule, and
// its numbers say where it is to nobody without a picture.
const Further = "why it matters: printlint explain RULE, the word in [ ]; where it is: printlint draw MODEL --out picture.png"

// Count writes a number with its word, which takes an s where there is not one.
func Count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// Levels counts findings by level, leaving out what there is none of; it is empty where
// there is none at all.
func Levels(c finding.LevelCount) string {
	if c == (finding.LevelCount{}) {
		return ""
	}
	return c.String()
}

// Totals says in one line what a run came to: what became of the models, and how many
// findings there are.
func Totals(r *finding.Report) string {
	s := r.Summary
	var models, found []string
	add := func(list *[]string, n int, word string) {
		if n > 0 {
			*list = append(*list, fmt.Sprintf("%d %s", n, word))
		}
	}
	add(&models, s.Fail, wouldFail(r))
	add(&models, s.Look, "to look at")
	models = append(models, fmt.Sprintf("%d fine", s.Clean))
	var fine []string
	add(&fine, s.Noted, "with notes")
	add(&fine, AcceptedErrors(r), "only because accepted")
	if len(fine) > 0 {
		models[len(models)-1] += " (" + strings.Join(fine, ", ") + ")"
	}
	add(&models, s.Undecided, "undecided")
	add(&models, s.Unreadable, "unreadable")
	add(&models, Skipped(r), "skipped")
	if levels := Levels(s.Levels()); levels != "" {
		found = append(found, levels)
	}
	add(&found, s.Waived, "accepted")
	line := Count(s.Models, "model") + ": " + strings.Join(models, ", ")
	if len(found) > 0 {
		line += "; " + strings.Join(found, ", ")
	}
	return line
}

// wouldFail is what is said of models with an error: where the gate asks for more than one
// machine, not each of them closes it.
func wouldFail(r *finding.Report) string {
	if r.Where != nil && r.Where.Policy != finding.FailOnAny {
		return "would fail on one machine or more"
	}
	return "would fail"
}

// AcceptedErrors counts the models that are fine only because an error of them was accepted.
func AcceptedErrors(r *finding.Report) int {
	n := 0
	for i := range r.Models {
		m := &r.Models[i]
		if m.Clean() && slices.ContainsFunc(m.Findings, func(f finding.Finding) bool { return f.Waived != nil && f.Level == finding.Error }) {
			n++
		}
	}
	return n
}

// Skipped counts the models of a report that were skipped.
func Skipped(r *finding.Report) int {
	n := 0
	for i := range r.Models {
		if r.Models[i].Status == finding.Skipped {
			n++
		}
	}
	return n
}

// Shown lists the findings of a model that count, by index: as Grouped has them, the worst
// first. Pictures and formats number them so, from 1. What a comparison found out, when
// the pictures were drawn already, changes no number.
func Shown(m *finding.Model) []int {
	drawn := *m
	drawn.Findings = slices.Clone(m.Findings)
	at := make(map[*finding.Finding]int, len(m.Findings))
	for i := range drawn.Findings {
		drawn.Findings[i].Change = ""
		at[&drawn.Findings[i]] = i
	}
	var list, later []int
	for _, groups := range Grouped(&drawn) {
		for _, g := range groups {
			for _, f := range g.Places {
				if f.Rule == finding.RuleResized {
					later = append(later, at[f])
				} else {
					list = append(list, at[f])
				}
			}
		}
	}
	return append(list, later...)
}

// Message is what a finding says, where it is, in a binary file by which triangle, and in
// which part.
func Message(m *finding.Model, f *finding.Finding) string {
	text := Safe(f.FullMessage()) + Only(f)
	if where := at(m, f); where != "" {
		text += ", " + where
	}
	return text + OfPart(m)
}

// at says where a finding is, and nothing where it is on no triangle. A binary file has no
// line, and the number behind its path might be taken for one.
func at(m *finding.Model, f *finding.Finding) string {
	switch {
	case f.Triangle == 0:
		return ""
	case f.Line > 0:
		return "at " + Where(m, f.At)
	}
	return fmt.Sprintf("at %s, triangle %d", Where(m, f.At), f.Triangle)
}

// Unjudged says why a model has no whole verdict: it could not be read, or it could be
// judged only in part.
func Unjudged(m *finding.Model) string {
	if m.Status == finding.Undecided {
		return fmt.Sprintf("undecided%s: %s", OfPart(m), Safe(m.Reason))
	}
	return Safe(m.Reason)
}

// OfPart names the model inside its file, as in ` of "lid"`, where the file holds several.
func OfPart(m *finding.Model) string {
	if m.Part == "" {
		return ""
	}
	return fmt.Sprintf(` of "%s"`, Safe(m.Part))
}
