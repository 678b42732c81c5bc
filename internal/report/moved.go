package report

import (
	"fmt"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// moved is a table of what a change did to each model: its shape, and the figures that
// moved.
func (d *markdown) moved(r *finding.Report, opt Options) {
	var rows []string
	for i := range r.Models {
		m := &r.Models[i]
		if words.Became(m) == "" {
			continue
		}
		row := fmt.Sprintf("| %s | %s |", code(m.Path)+markdownText(words.OfPart(m)), markdownText(m.Was.Shape.Words))
		figures := words.MovedFigures(m, false)
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
	defer d.sides(r, opt)
	d.table("\n### What the change did\n\n| model | shape | what moved | before | after | difference |\n|---|---|---|--:|--:|--:|\n", rows, "models")
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
