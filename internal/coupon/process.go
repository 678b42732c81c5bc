package coupon

import (
	"fmt"
	"hash/fnv"
	"strings"

	"printlint/internal/catalog"
)

// figure is one of the process that pieces are made for, as files write it.
type figure struct {
	name string
	unit catalog.Unit
	at   func(*catalog.Process) *float64
}

// figures are those that decide the pieces, or what is said of them, but for plastic and bed.
var figures = []figure{
	{"nozzle", catalog.MM, func(p *catalog.Process) *float64 { return &p.Nozzle }},
	{"line", catalog.MM, func(p *catalog.Process) *float64 { return &p.Line }},
	{"layer", catalog.MM, func(p *catalog.Process) *float64 { return &p.Layer }},
	{"bridge", catalog.MM, func(p *catalog.Process) *float64 { return &p.Bridge }},
	{"density", catalog.Dense, func(p *catalog.Process) *float64 { return &p.Density }},
	{"flow", catalog.Flow, func(p *catalog.Process) *float64 { return &p.Flow }},
}

// processText writes a process as files of rules do, a figure a line.
func processText(p catalog.Process, indent string) string {
	var b strings.Builder
	if p.Material != "" {
		fmt.Fprintf(&b, "%smaterial: %s\n", indent, quoted(p.Material))
	}
	for _, f := range figures {
		fmt.Fprintf(&b, "%s%s: %s\n", indent, f.name, catalog.FormatLimit(*f.at(&p), f.unit))
	}
	mm := func(i int) string { return catalog.FormatLimit(p.Bed[i], catalog.MM) }
	fmt.Fprintf(&b, "%sbed: [%s, %s, %s]\n", indent, mm(0), mm(1), mm(2))
	return b.String()
}

// seal is a checksum of the process as files write it, which tells answers whose process was
// changed after the pieces were made.
func seal(p catalog.Process) string {
	h := fnv.New32a()
	h.Write([]byte(processText(p, "")))
	return fmt.Sprintf("%08x", h.Sum32())
}

// quoted writes a word so that YAML reads it as text, whatever it is.
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }
