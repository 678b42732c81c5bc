// Package report renders a run in each format. It sees findings as plain data and
// knows nothing of how they came about.
//
// A format is one function and one line in formats. All of them render the same
// finding.Report, and none decides an exit code.
package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/report/html"
)

// Options steer what a format shows, never what was found.
type Options struct {
	Colour bool // ANSI colours, for a terminal
	Quiet  bool // text: no totals and no cautions, findings only
	// FailAt and Exit are how the run was judged, for formats that carry it: the level
	// from which findings fail (empty is error), and the exit code.
	FailAt finding.Level
	Exit   int
	// Waived shows, in text, also what is waived or accepted.
	Waived bool
	// Covered says that the run is about what changed: what is waived or accepted there is
	// shown openly, since a change may bring a bad model with its own waiver.
	Covered bool
	// Show, in text and Markdown, leaves out findings that are not asked about. They count
	// all the same, and the report says that they are left out.
	Show Selection
	// WorstFirst, in text, puts the models first that have the worst findings, and not
	// those whose path comes first.
	WorstFirst bool
	// Pictures, when not nil, returns what was drawn of the model of that index, or nil.
	Pictures func(model int) *draw.Pictures
	// Drawn is how many models have pictures at most, the worst ones; 0 is no bound.
	Drawn int
	// Folder is where the report is written to, from the working directory on: pictures that
	// were saved are named from there, so that both can be moved together.
	Folder string
	// Value, when not nil, says in the words of the catalogue what a value of a rule is, and
	// whether its limit is one that holds "at most" or "at least".
	Value func(rule, value string) (doc, bound string)
}

// format is one way to write a report.
type format struct {
	name  string
	write func(io.Writer, *finding.Report, Options) error
}

// formats is every format, in the order of help texts.
var formats = []format{
	{"text", writeText},
	{"json", writeJSON},
	{"sarif", writeSARIF},
	{"code-scanning", writeCodeScanning},
	{"junit", writeJUnit},
	{"github", writeAnnotations},
	{"markdown", writeMarkdown},
	{"html", func(w io.Writer, r *finding.Report, opt Options) error {
		return html.Write(w, r, opt.page())
	}},
}

// page are the options of a page.
func (o Options) page() html.Options {
	return html.Options{Covered: o.Covered, Pictures: o.Pictures, Drawn: o.Drawn, Value: o.Value}
}

// WritePages writes the report as a folder of pages: a list, and a page for each model. Each
// file is handed to write with its name.
func WritePages(write func(name string, to func(io.Writer) error) error, r *finding.Report, opt Options) error {
	return html.WriteFolder(write, r, opt.page())
}

// Formats lists the names of the formats.
func Formats() []string {
	names := make([]string, len(formats))
	for i, f := range formats {
		names[i] = f.name
	}
	return names
}

// Write renders the report in the named format.
func Write(w io.Writer, name string, r *finding.Report, opt Options) error {
	i := slices.IndexFunc(formats, func(f format) bool { return f.name == name })
	if i < 0 {
		return fmt.Errorf("no format is called %q; there are %s", name, strings.Join(Formats(), ", "))
	}
	return formats[i].write(w, r, opt)
}
