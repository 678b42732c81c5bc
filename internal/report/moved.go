package report

import (
	"fmt"
	"io"

	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// moved is a table of what a change did to each model: its shape, and the figures that
// moved.
func (d *markdown) moved(r *finding.Report, opt Options) {
	defer d.sides(r, opt)
	d.table("\n### Figures that moved\n\n"+movedHead, movedRows(r, false), "models")
}

const movedHead = "| model | shape | what moved | before | after | difference |\n|---|---|---|--:|--:|--:|\n"

// movedRows has rows for each model that a change did something to.
func movedRows(r *finding.Report, all bool) []string {
	var rows []string
	for i := range r.Models {
		m := &r.Models[i]
		if m.Was == nil || !all && words.Became(m) == "" {
			continue
		}
		row := fmt.Sprintf("| %s | %s |", code(m.Path)+markdownText(words.OfPart(m)), markdownText(m.Was.Shape.Words))
		figures := words.MovedFigures(m, all)
		if len(figures) == 0 {
			row += " | | | |\n"
		}
		for k, f := range figures {
			if k > 0 {
				row += "| | |"
			}
			row += fmt.Sprintf(" %s | %s | %s | %s |\n", f.Label, f.Before, f.After, f.Difference)
		}
		rows = append(rows, row)
	}
	return rows
}

// WriteCompared writes what two files are to each other: a table of figures, pictures where
// some were saved, and the findings that are new and gone. Unread are the models of the
// first file that could not be judged.
func WriteCompared(w io.Writer, r *finding.Report, unread []finding.Model, all bool, pictures func(int) *draw.Pictures) error {
	d := &markdown{most: maxSummary}
	opt := Options{Pictures: pictures}
	both := *r
	both.Models = append(append([]finding.Model{}, r.Models...), unread...)
	d.unjudged(&both)
	d.table("\n### What became of it\n\n"+movedHead, movedRows(r, all), "models")
	d.sides(r, opt)
	d.findings(r, opt)
	d.gone(r, opt)
	_, err := io.WriteString(w, d.b.String())
	return err
}

// sides shows the models before and after, where pictures of that were saved.
func (d *markdown) sides(r *finding.Report, opt Options) {
	if opt.Pictures == nil {
		return
	}
	told := false
	for i := range r.Models {
		m, p := &r.Models[i], opt.Pictures(i)
		if p == nil || p.BeforeFile == "" || p.AfterFile == "" {
			continue
		}
		text := fmt.Sprintf("\n%s\n\n| before | after |\n|---|---|\n| ![before the change](%s) | ![after the change](%s) |\n",
			code(m.Path)+markdownText(words.OfPart(m)), fileURI(from(opt.Folder, p.BeforeFile)), fileURI(from(opt.Folder, p.AfterFile)))
		if !told {
			told, text = true, "\nBlue with plus signs was added; orange with minus signs was removed, or bared by that. Both pictures have one scale.\n"+text
		}
		d.put(text)
	}
}
