package cli

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
	"printlint/internal/report/words"
)

// CompareFormat names the version of the JSON that compare writes.
const CompareFormat = "printlint-comparison/1"

// compareDepth breaks the JSON into lines down to one finding a line.
const compareDepth = 4

// comparison is what two files are to each other.
type comparison struct {
	a, b     string
	r        *finding.Report
	all      bool
	unread   []finding.Model // of the first file
	pictures func(int) *draw.Pictures
}

func (c *comparison) exit() int {
	if len(c.unread) > 0 || c.r.Summary.Unreadable+c.r.Summary.Undecided > 0 {
		return lint.ExitTrouble
	}
	return lint.ExitClean
}

// troubled lists the models that could not be judged on either side.
func (c *comparison) troubled() (list []*finding.Model) {
	for i := range c.unread {
		list = append(list, &c.unread[i])
	}
	for i := range c.r.Models {
		if c.r.Models[i].Unjudged() {
			list = append(list, &c.r.Models[i])
		}
	}
	return list
}

// text writes the comparison for people.
func (c *comparison) text(w *bytes.Buffer) {
	for _, m := range c.troubled() {
		fmt.Fprintf(w, "%s: error: %s\n", words.Place(m.Path, m.Line, 0), words.Unjudged(m))
	}
	for i := range c.r.Models {
		m := &c.r.Models[i]
		switch {
		case m.Was == nil && m.Status != finding.Unreadable:
			fmt.Fprintf(w, "%s: only in %s\n", nameOf(m), words.Safe(c.b))
			continue
		case m.Was == nil:
			continue
		}
		fmt.Fprintf(w, "%s, which was %s: %s\n", nameOf(m), nameOf(&finding.Model{Path: m.Was.Path, Part: m.Was.Part}), words.Safe(m.Was.Shape.Words))
		figureTable(w, words.MovedFigures(m, c.all))
		for _, groups := range words.Grouped(m) {
			for k := range groups {
				if g := &groups[k]; g.Change == finding.New {
					said := strings.Replace(g.Message(m), words.Brought(g.Finding), "", 1)
					fmt.Fprintf(w, "  new: %s: %s [%s]\n", g.Level, said, words.Safe(g.Rule))
				}
			}
		}
	}
	for i := range c.r.Compared.Models {
		m := &c.r.Compared.Models[i]
		for _, groups := range words.Grouped(m) {
			for k := range groups {
				fmt.Fprintf(w, "  gone: %s: %s [%s]\n", groups[k].Level, groups[k].Message(m), words.Safe(groups[k].Rule))
			}
		}
	}
	for _, name := range c.r.Compared.Lost {
		fmt.Fprintf(w, "%s: only in %s\n", words.Safe(name), words.Safe(c.a))
	}
}

// figureTable writes figures in columns.
func figureTable(w *bytes.Buffer, list []words.Moved) {
	if len(list) == 0 {
		return
	}
	rows := append([]words.Moved{{Label: "", Before: "before", After: "after", Difference: "difference"}}, list...)
	var wide [4]int
	for _, f := range rows {
		for k, cell := range [4]string{f.Label, f.Before, f.After, f.Difference} {
			wide[k] = max(wide[k], utf8.RuneCountInString(cell))
		}
	}
	for _, f := range rows {
		fmt.Fprintf(w, "  %-*s  %*s  %*s  %*s\n", wide[0], f.Label, wide[1], f.Before, wide[2], f.After, wide[3], f.Difference)
	}
}

// markdown writes the comparison as tables.
func (c *comparison) markdown(w *bytes.Buffer) {
	report.WriteCompared(w, c.r, c.unread, c.all, c.pictures)
}

// comparedJSON is what compare writes as JSON.
type comparedJSON struct {
	Format string       `json:"format"`
	Tool   finding.Tool `json:"tool"`
	Before string       `json:"before"`
	After  string       `json:"after"`
	// Models are those of the second file; what each was stands under was, and is missing
	// where it is only there.
	Models []finding.Model `json:"models"`
	Gone   []finding.Model `json:"models_before"` // with the findings that are gone
	Lost   []string        `json:"models_lost"`   // only in the first file
	Unread []finding.Model `json:"unread_before"` // of the first file, and why
}

func (c *comparison) json() comparedJSON {
	return comparedJSON{CompareFormat, c.r.Tool, c.a, c.b, c.r.Models, c.r.Compared.Models, c.r.Compared.Lost, append([]finding.Model{}, c.unread...)}
}
