package report

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// maxSummary is how long a job summary may get, in bytes. The service takes 1 MiB of
// a step and drops the whole of it beyond that; what is left is for other words of
// the same step.
const maxSummary = 1000 << 10

// Cautions are what every summary ends with, beside Caution.
var cautions = []string{
	"Parts that carry load or that somebody's safety depends on need a qualified person's judgement and the local rules.",
	"Limits come from tests and practice on other people's machines; a model that passes can still fail on yours. Do not leave a printer running unattended, and ventilate.",
	"Wear eye protection when support is removed, and cut away from yourself.",
}

// markdown collects a summary up to a length.
type markdown struct {
	b    strings.Builder
	most int // bytes that may be written before the end
}

// room says whether that many bytes still fit.
func (d *markdown) room(n int) bool { return d.b.Len()+n <= d.most }

// put writes a piece whole or not at all.
func (d *markdown) put(piece string) bool {
	if !d.room(len(piece)) {
		return false
	}
	d.b.WriteString(piece)
	return true
}

// writeMarkdown writes the report as a summary in GitHub Flavored Markdown: the
// totals, what could not be judged, the rules summed up, a table of findings for each
// model with the advice below it, what was waived, and the cautions.
func writeMarkdown(w io.Writer, r *finding.Report, opt Options) error {
	end := closing()
	d := &markdown{most: maxSummary - len(end)}
	d.put(heading(r, opt))
	d.notes(r)
	d.effects(r)
	d.unjudged(r)
	d.matrix(r)
	d.byRule(r)
	d.findings(r, opt)
	d.gone(r, opt)
	d.moved(r, opt)
	d.waived(r, opt)
	d.said(r)
	d.b.WriteString(end)
	_, err := io.WriteString(w, d.b.String())
	return err
}

// heading is the verdict and the totals, those first that a reader looks for.
func heading(r *finding.Report, opt Options) string {
	verdict := "Models: fine"
	s := r.Summary
	switch {
	case opt.Exit > 1 || s.Unreadable+s.Undecided > 0:
		verdict = "Models: not all could be judged"
	case opt.Exit == 1:
		verdict = "Models: findings that fail"
	case s.Error+s.Warning > 0:
		verdict = "Models: findings, none that stops this run"
	}
	text := "## " + verdict + "\n\n" + markdownText(words.Totals(r)) + "\n\n" + markdownText(words.Rules(&r.Rules)) + "\n"
	if compared := words.Compared(r); compared != "" {
		text += "\n**" + markdownText(words.Capital(compared)) + ".**\n"
	} else {
		text += totals(&s, words.Skipped(r))
	}
	if hidden := opt.hidden(r); hidden != "" {
		text += "\n**" + hidden + "**\n"
	}
	return text
}

// totals is what became of the models, and how many findings there are.
func totals(s *finding.Summary, skipped int) string {
	return "\n| would fail | to look at | fine | undecided | unreadable | skipped | errors | warnings | notes | accepted |\n|--:|--:|--:|--:|--:|--:|--:|--:|--:|--:|\n" +
		fmt.Sprintf("| %d | %d | %d | %d | %d | %d | %d | %d | %d | %d |\n", s.Fail, s.Look, s.Clean, s.Undecided, s.Unreadable, skipped, s.Error, s.Warning, s.Note, s.Waived)
}

// byRule sums up the rules, where several models have findings.
func (d *markdown) byRule(r *finding.Report) {
	if r.Compared != nil {
		return // which model is asked for, and that stands above
	}
	var rows []string
	for _, s := range words.Shares(r) {
		rows = append(rows, fmt.Sprintf("| %s | %s | %s | %d |\n", s.Level, code(s.Rule), s.On(), s.Places))
	}
	d.table("\n### By rule\n\n| | rule | models | places |\n|---|---|--:|--:|\n", rows, "rules")
}

// notes tells of the configuration, such as which rules hold. What a reader passed over
// in a model is left to other reports.
func (d *markdown) notes(r *finding.Report) {
	for i := range r.Models {
		m := &r.Models[i]
		if m.Kind != finding.KindConfig {
			continue
		}
		for _, note := range m.Notes {
			d.put(fmt.Sprintf("\n> %s: %s\n", code(m.Path), markdownText(note)))
		}
	}
}

// unjudged lists the models that could not be judged, or only in part.
func (d *markdown) unjudged(r *finding.Report) {
	const head = "\n### Could not be judged\n\n| model | why |\n|---|---|\n"
	var rows []string
	for i := range r.Models {
		if m := &r.Models[i]; m.Unjudged() {
			rows = append(rows, fmt.Sprintf("| %s | %s |\n", code(words.Place(m.Path, m.Line, 0)), markdownText(words.Unjudged(m))))
		}
	}
	most := d.most
	d.most /= 2 // the rest must not be crowded out
	d.table(head, rows, "models")
	d.most = most
}

// table writes rows until there is no more room, and says how many are missing.
func (d *markdown) table(head string, rows []string, what string) {
	if len(rows) == 0 {
		return
	}
	tail := fmt.Sprintf("\nand %d more %s; the summary is full, see the report\n", len(rows), what)
	if !d.room(len(head) + len(tail)) {
		return
	}
	d.put(head)
	for i, row := range rows {
		if !d.room(len(row) + len(tail)) {
			d.put(fmt.Sprintf("\nand %d more %s; the summary is full, see the report\n", len(rows)-i, what))
			return
		}
		d.put(row)
	}
}

// findings writes each model with findings, the worst first, while there is room.
func (d *markdown) findings(r *finding.Report, opt Options) {
	lists := make([][][]words.Group, len(r.Models)) // what is shown of each model
	var of [3][]int                                 // models, by the level of the worst on them
	for i := range r.Models {
		if lists[i] = opt.chosen(words.Grouped(&r.Models[i])); len(lists[i]) > 0 {
			rank := lists[i][0][0].Level.Rank()
			of[rank] = append(of[rank], i)
		}
	}
	for _, models := range of { // what a change brought is not to be looked for
		slices.SortStableFunc(models, func(a, b int) int { return broughtLast(&r.Models[a]) - broughtLast(&r.Models[b]) })
	}
	order := slices.Concat(of[:]...)
	if len(order) == 0 {
		return
	}
	const reserve = 200 // for the words on what is missing
	full := !d.put("\n### Findings\n")
	left, models := 0, 0
	for _, i := range order {
		section, n := modelSection(&r.Models[i], lists[i], pictureOf(opt, i))
		if full = full || !d.room(len(section)+reserve); full {
			left += n
			models++
			continue
		}
		d.put(section)
	}
	if left > 0 {
		d.put(fmt.Sprintf("\n**and %s more on %s:** the summary is full, see the report\n", words.Count(left, "finding"), words.Count(models, "model")))
	}
}

// broughtLast puts models on which a change brought nothing behind the others.
func broughtLast(m *finding.Model) int {
	return behind(slices.ContainsFunc(m.Findings, func(f finding.Finding) bool { return f.Counts() && f.Change == finding.New }))
}

// maxRows is how many lines of findings one model gets; one broken mesh must not fill the
// summary, by whatever number of rules.
const maxRows = 50

// pictureOf is the picture of a model where it was saved as a file, as a paragraph; a
// reader whose platform cannot show it reads what it would show.
func pictureOf(opt Options, model int) string {
	if opt.Pictures == nil {
		return ""
	}
	p := opt.Pictures(model)
	if p == nil || p.File == "" {
		return ""
	}
	return "![the model as it lies, its findings numbered](" + fileURI(from(opt.Folder, p.File)) + ")\n\n"
}

// from names a file as it is found from a folder. A file that was named from the root on
// stays so where it lies outside of the folder, and so does what lies on another drive.
func from(folder, file string) string {
	if folder != "" {
		there, lost := filepath.Abs(folder)
		here, gone := filepath.Abs(file)
		near, far := filepath.Rel(there, here)
		if errors.Join(lost, gone, far) == nil && (!filepath.IsAbs(file) || filepath.IsLocal(near)) {
			file = near
		}
	}
	return filepath.ToSlash(file)
}

// modelSection is one model: its picture, its findings, and what to do about them.
func modelSection(m *finding.Model, lists [][]words.Group, picture string) (text string, findings int) {
	var b strings.Builder
	fmt.Fprintf(&b, "\n#### %s%s\n\n%s| | place | what | rule |\n|---|---|---|---|\n", code(m.Path), markdownText(words.OfPart(m)), picture)
	var todo []string
	rows, left := 0, 0
	for _, groups := range lists {
		findings += words.Places(groups)
		for i := range groups {
			g := &groups[i]
			if rows == maxRows {
				left += len(g.Places)
				continue
			}
			rows++
			fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", g.Level, g.Which()+placeCell(m, g.Finding), markdownText(g.What()), code(g.Rule))
		}
		do := fmt.Sprintf("- %s: %s\n", code(groups[0].Rule), markdownText(words.Order(groups[0].Advice)))
		if groups[0].Advice != "" && !slices.Contains(todo, do) {
			todo = append(todo, do)
		}
	}
	if left > 0 {
		fmt.Fprintf(&b, "\nand %d more on this model; see the report\n", left)
	}
	if len(todo) > 0 {
		b.WriteString("\nWhat to do:\n\n" + strings.Join(todo, ""))
	}
	for i, a := range words.AdviceOf(m) {
		fmt.Fprintf(&b, "\n**Advice%s:** %s\n", markdownText(a.For()), markdownText(a.Words))
		if i == 0 { // of several machines the first is that of the model
			b.WriteString(proposals(m.Advice))
		}
	}
	return b.String(), findings
}

// placeCell is where a finding stands: a line or a triangle, and a point.
func placeCell(m *finding.Model, f *finding.Finding) string {
	switch {
	case f.Triangle == 0 && f.Line > 0:
		return fmt.Sprintf("line %d", f.Line)
	case f.Line > 0:
		return fmt.Sprintf("line %d, %s", f.Line, words.Where(m, f.At))
	case f.Triangle > 0:
		return fmt.Sprintf("triangle %d, %s", f.Triangle, words.Where(m, f.At))
	}
	if m.Kind == finding.KindFolder {
		return "the folder"
	}
	return "the whole model"
}

// waived lists what was accepted in writing: folded away, but where the run is about what
// changed.
func (d *markdown) waived(r *finding.Report, opt Options) {
	var rows []string
	n := 0
	for i := range r.Models {
		m := &r.Models[i]
		for _, groups := range opt.chosen(words.Accepted(m)) {
			n += words.Places(groups)
			for k := range groups {
				g := &groups[k]
				rows = append(rows, fmt.Sprintf("| %s | %s | %s | %s | %s |\n", code(words.Place(m.Path, g.Line, g.Triangle)), markdownText(g.What()), code(g.Rule),
					markdownText(g.Waived.Reason), markdownText(g.Waived.Until)))
			}
		}
	}
	if len(rows) == 0 {
		return
	}
	const columns = "| place | what | rule | reason | until |\n|---|---|---|---|---|\n"
	if opt.Covered {
		d.table("\n### Accepted in writing on what changed\n\n"+columns, rows, "accepted")
		return
	}
	d.folded(fmt.Sprintf("%d accepted in writing", n), columns, rows, "accepted")
}

// gone lists what a change took away.
func (d *markdown) gone(r *finding.Report, opt Options) {
	var rows []string
	for _, m := range gone(r) {
		for _, groups := range opt.chosen(words.Grouped(m)) {
			for i := range groups {
				g := &groups[i]
				rows = append(rows, fmt.Sprintf("| %s | %s | %s |\n", code(m.Path)+markdownText(words.OfPart(m)), markdownText(g.What()), code(g.Rule)))
			}
		}
	}
	d.table("\n### Gone\n\n| model as it was | what | rule |\n|---|---|---|\n", rows, "gone")
}

// closing is what every summary ends with.
func closing() string {
	text := "\n### Cautions\n\n- " + words.Capital(words.Caution) + ".\n"
	for _, c := range cautions {
		text += "- " + c + "\n"
	}
	return text
}
