package report

import (
	"fmt"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// maxEffects is how many models the first table of a comparison shows: those behind have no
// more to say than that they were renamed, when a change touches hundreds. Judgement.
const maxEffects = 60

// effects is what a change did to each model, before anything else: what is new, what is
// gone, and what the model was.
func (d *markdown) effects(r *finding.Report) {
	var rows []string
	list := words.Effects(r)
	for i := range list[:min(len(list), maxEffects)] {
		e := &list[i]
		counts := e.Counts()
		if e.New != (finding.LevelCount{}) {
			counts[0] = "**" + counts[0] + "**"
		}
		rows = append(rows, fmt.Sprintf("| %s | %s | %s |\n", code(e.Path)+markdownText(words.OfPart(&finding.Model{Part: e.Part})),
			strings.Join(counts, ", "), markdownText(e.Became)))
	}
	d.table("\n### What the change did\n\n| model | findings | what became of it |\n|---|---|---|\n", rows, "models")
	if left := len(list) - len(rows); left > 0 {
		d.put(fmt.Sprintf("\nand %s, on which the change did less\n", words.Count(left, "more model")))
	}
}

// said lists the notes on models, folded away: of a comparison the first table has them.
func (d *markdown) said(r *finding.Report) {
	if r.Compared != nil {
		return
	}
	var rows []string
	for i := range r.Models {
		if m := &r.Models[i]; m.Kind != finding.KindConfig && len(m.Notes) > 0 {
			rows = append(rows, fmt.Sprintf("| %s | %s |\n", code(m.Path)+markdownText(words.OfPart(m)), markdownText(strings.Join(m.Notes, "; "))))
		}
	}
	d.folded(fmt.Sprintf("notes on %s", words.Count(len(rows), "model")), "| model | note |\n|---|---|\n", rows, "models")
}

// folded is a table that is folded away.
func (d *markdown) folded(title, head string, rows []string, what string) {
	const shut = "\n</details>\n"
	d.most -= len(shut)
	before := d.b.Len()
	d.table(fmt.Sprintf("\n<details><summary>%s</summary>\n\n%s", title, head), rows, what)
	d.most += len(shut)
	if d.b.Len() > before {
		d.put(shut)
	}
}
