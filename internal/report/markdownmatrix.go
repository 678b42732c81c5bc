package report

import (
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// signs mark the cells of the table of models by machines, so that a reader finds what
// fails at a glance.
var signs = map[words.State]string{words.Fail: "✗ ", words.Look: "! ", words.Fine: "✓ ", words.Unread: "? "}

// matrix is a table of models by machines, those first that fail on most, in a third of the
// room that is left at most.
func (d *markdown) matrix(r *finding.Report) {
	if len(r.Machines) == 0 {
		return
	}
	head := "\n### Which machine prints what\n\n"
	if text := words.FailsWhere(r); text != "" {
		head += markdownText(words.Capital(text)) + ".\n\n"
	}
	head += "| model |"
	for i := range r.Machines {
		head += " " + markdownText(r.Machines[i].Name) + " |"
	}
	head += "\n|---|" + strings.Repeat("---|", len(r.Machines)) + "\n"
	var rows []matrixRow
	for i := range r.Models {
		m := &r.Models[i]
		cells := words.Matrix(r, m)
		if len(cells) == 0 || m.Status == finding.Skipped {
			continue
		}
		text := fmt.Sprintf("| %s%s |", code(m.Path), markdownText(words.OfPart(m)))
		for _, c := range cells {
			text += " " + signs[c.State] + markdownText(c.Words) + " |"
		}
		rows = append(rows, matrixRow{text + "\n", cells})
	}
	slices.SortStableFunc(rows, func(a, b matrixRow) int { return words.WorseRow(a.cells, b.cells) })
	texts := make([]string, len(rows))
	for i := range rows {
		texts[i] = rows[i].text
	}
	most := d.most
	d.most = d.b.Len() + (d.most-d.b.Len())/3 // findings must not be crowded out
	d.table(head, texts, "models")
	d.most = most
}

// matrixRow is a row of the table, as text and as cells.
type matrixRow struct {
	text  string
	cells []words.Cell
}
