package report

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// maxAnnotations is how many annotations of each level a workflow step may make; the
// service drops the rest without a word.
const maxAnnotations = 10

// annotation is one message shown beside a file.
type annotation struct {
	level finding.Level
	model *finding.Model
	line  int
	title string
	text  string
	count int // findings it speaks for
	// first is what decides a run or says by which rules: it stands before findings.
	first bool
	// last was there before: it stands behind what a change brought.
	last bool
}

// writeAnnotations writes the report as workflow commands, ::error file=F,line=L::MESSAGE.
// Models that cannot be judged and the most severe findings come first. Findings of
// one rule on one model share an annotation, and the last one of a level tells how
// many are not shown.
func writeAnnotations(w io.Writer, r *finding.Report, opt Options) error {
	out := bufio.NewWriter(w)
	list := annotations(r, opt)
	for _, level := range []finding.Level{finding.Error, finding.Warning, finding.Note} {
		var of []annotation
		for i := range list {
			if list[i].level == level {
				of = append(of, list[i])
			}
		}
		writeLevel(out, level, of)
	}
	fmt.Fprintln(out, words.Totals(r))
	if text := words.Compared(r); text != "" {
		fmt.Fprintln(out, text)
	}
	if text := words.FailsWhere(r); text != "" {
		fmt.Fprintln(out, text)
	}
	fmt.Fprintln(out, words.Rules(&r.Rules))
	return out.Flush()
}

// writeLevel writes the annotations of one level, no more than are shown.
func writeLevel(out io.Writer, level finding.Level, list []annotation) {
	shown := list
	if len(list) > maxAnnotations {
		shown = list[:maxAnnotations-1]
	}
	for i := range shown {
		fmt.Fprintln(out, command(&shown[i]))
	}
	if more := list[len(shown):]; len(more) > 0 {
		findings, models := 0, map[*finding.Model]bool{}
		for i := range more {
			findings += more[i].count
			models[more[i].model] = true
		}
		text := fmt.Sprintf("and %d more on %s; see the summary or the report", findings, words.Count(len(models), "model"))
		fmt.Fprintf(out, "::%s::%s\n", levelCommands[level], escapeData(text))
	}
}

// annotations lists what there is to say, in the order of the models.
func annotations(r *finding.Report, opt Options) []annotation {
	var list []annotation
	for i := range r.Models {
		m := &r.Models[i]
		if m.Unjudged() {
			title := "cannot be judged"
			if m.Status == finding.Undecided {
				title = "undecided"
			}
			list = append(list, annotation{finding.Error, m, m.Line, title, words.Unjudged(m), 1, true, false})
		}
		if m.Kind == finding.KindConfig {
			for _, note := range m.Notes {
				list = append(list, annotation{finding.Note, m, 0, "rules", words.Safe(note), 0, true, false})
			}
		}
		if text := coveredText(m); opt.Covered && text != "" {
			list = append(list, annotation{finding.Note, m, 0, "accepted in writing", text, 0, false, false})
		}
		for k, groups := range words.Grouped(m) {
			text := annotationText(m, groups)
			if k == 0 {
				text = strings.Join(append([]string{text}, adviceLines(m)...), "\n")
			}
			list = append(list, annotation{groups[0].Level, m, groups[0].Line, words.Safe(groups[0].Rule), text, words.Places(groups), m.Kind == finding.KindConfig, groups[0].Change == finding.Same})
		}
	}
	slices.SortStableFunc(list, func(a, b annotation) int {
		return cmp.Or(cmp.Compare(a.level.Rank(), b.level.Rank()), behind(a.first)-behind(b.first), behind(b.last)-behind(a.last))
	})
	return list
}

// coveredText says what on one model was accepted, each rule and file once; it is empty
// where nothing was.
func coveredText(m *finding.Model) string {
	var lines []string
	n := 0
	for _, f := range m.Findings {
		if f.Waived == nil || f.Level.Rank() >= finding.None.Rank() {
			continue
		}
		n++
		line := fmt.Sprintf("%s: %s", words.Safe(f.Rule), words.Safe(f.Waived.Reason))
		if !f.Waived.AsFound() {
			line += ", in " + words.Safe(f.Waived.File)
		}
		if !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
	}
	if n == 0 {
		return ""
	}
	return words.Count(n, "finding") + " on this model, accepted in writing\n" + strings.Join(lines, "\n")
}

// annotationText is what one rule found on one model, a line for each group, and what to do
// about it.
func annotationText(m *finding.Model, groups []words.Group) string {
	var lines []string
	for i := range groups {
		lines = append(lines, groups[i].Message(m))
	}
	if do := groups[0].Advice; do != "" {
		lines = append(lines, words.Order(do))
	}
	return strings.Join(lines, "\n")
}

// adviceLines is the advice on a model, for each machine where they differ.
func adviceLines(m *finding.Model) (lines []string) {
	for _, a := range words.AdviceOf(m) {
		lines = append(lines, "advice"+a.For()+": "+words.Safe(a.Words))
	}
	return lines
}

// levelCommands are the workflow's words for the levels.
var levelCommands = map[finding.Level]string{finding.Error: "error", finding.Warning: "warning", finding.Note: "notice"}

// command writes one workflow command. A file inside a container has no place of its
// own in the repository: its container is named, and the message says what is meant.
func command(a *annotation) string {
	file, inner := outermost(a.model.Path)
	text := a.text
	properties := []string{"file=" + escapeProperty(words.Safe(file))}
	if inner != "" {
		text = words.Safe(inner) + ": " + text
	} else if a.line > 0 {
		properties = append(properties, fmt.Sprintf("line=%d", a.line))
	}
	properties = append(properties, "title="+escapeProperty(a.title))
	return fmt.Sprintf("::%s %s::%s", levelCommands[a.level], strings.Join(properties, ","), escapeData(text))
}

// escapeData escapes the message of a workflow command.
func escapeData(s string) string {
	return strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A").Replace(s)
}

// escapeProperty escapes a property of a workflow command.
func escapeProperty(s string) string {
	return strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A", ":", "%3A", ",", "%2C").Replace(s)
}
