package words

import (
	"fmt"
	"slices"

	"printlint/internal/finding"
)

// Caution is what a clean report must not be taken for.
const Caution = "clean means the shape suits the process; it says nothing about strength, heat, food, electrical or child safety"

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

// Totals says in one line what a run came to.
func Totals(r *finding.Report) string {
	s := r.Summary
	line := fmt.Sprintf("%s: %d clean", Count(s.Models, "model"), s.Clean)
	add := func(n int, word string) {
		if n > 0 {
			line += fmt.Sprintf(", %d %s", n, word)
		}
	}
	add(s.Models-s.Clean-s.Undecided-s.Unreadable, "with findings")
	if found := Levels(finding.LevelCount{Error: s.Error, Warning: s.Warning, Note: s.Note}); found != "" {
		line += " (" + found + ")"
	}
	add(s.Undecided, "undecided")
	add(s.Unreadable, "unreadable")
	add(s.Waived, "waived")
	add(Skipped(r), "skipped")
	return line
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

// Shown lists the findings of a model that count, by index: the worst level first, and
// within a level in the order of the report. Pictures and formats number them so, from 1.
func Shown(m *finding.Model) []int {
	var list []int
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Waived == nil && f.Level != finding.None {
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return m.Findings[a].Level.Rank() - m.Findings[b].Level.Rank() })
	return list
}

// ByRule groups the findings that count by rule and level, the most severe first. Within
// a group they stay in the order of the report, and belong to the model.
func ByRule(m *finding.Model) [][]*finding.Finding {
	var groups [][]*finding.Finding
	for _, i := range Shown(m) {
		f := &m.Findings[i]
		k := slices.IndexFunc(groups, func(g []*finding.Finding) bool { return g[0].Rule == f.Rule && g[0].Level == f.Level })
		if k < 0 {
			k = len(groups)
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], f)
	}
	return groups
}

// Message is what a finding says, where it is, in a binary file by which triangle, and in
// which part.
func Message(m *finding.Model, f *finding.Finding) string {
	text := Safe(f.FullMessage())
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
	return fmt.Sprintf("at triangle %d, %s", f.Triangle, Where(m, f.At))
}

// More says, behind the first of several findings, how many more there are.
func More(found []*finding.Finding) string {
	if len(found) < 2 {
		return ""
	}
	return ", and " + Count(len(found)-1, "more place")
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
