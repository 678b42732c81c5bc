package main

import (
	"fmt"
	"io"
	"path"
	"strings"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// model is one thing on the shelf.
type model struct {
	path   string
	what   string // what it is for
	why    string // why it is in the demo
	says   string // what a check answers first of all
	format func(io.Writer, *mesh.Triangles, string) error
	make   func() *mesh.Triangles
	// plate, where set instead of make, gives several solids of one text file.
	plate func() []*mesh.Triangles
}

// name is what the file calls its solid.
func (m *model) name() string {
	base := path.Base(m.path)
	return strings.TrimSuffix(base, path.Ext(base))
}

// grain is what every coordinate is rounded to, in mm: far below what a printer can
// do, and short in text.
const grain = 0.001

// bodies makes the solids of the file.
func (m *model) bodies() []*mesh.Triangles {
	solids := []*mesh.Triangles{}
	if m.plate != nil {
		solids = m.plate()
	} else {
		solids = append(solids, m.make())
	}
	for i := range solids {
		solids[i] = shapes.Round(solids[i], grain)
	}
	return solids
}

var (
	binary = shapes.WriteBinarySTL
	text   = shapes.WriteASCIISTL
	obj    = shapes.WriteOBJ
)

// shelf is the collection, in the order of its README.
var shelf = []model{
	{path: "labels/plant-label.stl", format: binary, make: plantLabel,
		what: "a label to push into the soil", why: "letters that stand proud are no fault", says: "clean"},
	{path: "labels/row marker Möhre.stl", format: text, make: rowMarker,
		what: "a flat carrot that marks a row", why: "a space and a letter beyond ASCII in the name", says: "clean"},
	{path: "tools/seed-dibber.stl", format: binary, make: seedDibber,
		what: "a dibber, stood on its handle", why: "a good one", says: "clean"},
	{path: "tools/seed-dibber-lying.stl", format: binary, make: seedDibberLying,
		what: "the same dibber, laid down", why: "a good one turned wrong", says: "`flat-base`, `feet-not-level` and more"},
	{path: "tools/fence-hook.stl", format: text, make: fenceHook,
		what: "a hook that hangs over a fence rail", why: "one shell, yet its tip starts in the air", says: "`no-floating-islands`, `max-bridge-length`; clean on its side"},
	{path: "tools/shelf-bracket.obj", format: obj, make: shelfBracket,
		what: "a bracket for the shed", why: "a ledge of 32 mm", says: "`max-overhang-angle`; clean turned over"},
	{path: "tools/cable-clip.obj", format: obj, make: cableClip,
		what: "a clip for the pump's cable", why: "a bridge of 8 mm, short enough", says: "clean"},
	{path: "tools/hose-clamp.stl", format: binary, make: hoseClamp,
		what: "a block that holds a hose", why: "the roof of a round hole is no fault", says: "clean"},
	{path: "tools/rack-boss.stl", format: binary, make: rackBoss,
		what: "a spacer for the tool rack", why: "a screw-head recess seen from below is no fault", says: "clean"},
	{path: "tools/soil-scraper.stl", format: text, make: soilScraper,
		what: "a scraper for muddy spades", why: "a blade thinner than one line, accepted in writing", says: "`min-wall`, waived"},
	{path: "pots/pot-feet.stl", format: text, plate: potFeet,
		what: "four feet for one pot", why: "several bodies in one file", says: "clean"},
	{path: "pots/tray-divider.stl", format: text, make: trayDivider,
		what: "a divider for seed trays", why: "fins of 0.3 mm, thinner than one line", says: "`min-wall`"},
	{path: "pots/rain-funnel.obj", format: obj, make: rainFunnel,
		what: "a funnel for the water butt", why: "its surface is inside-out", says: "`consistent-winding`"},
	{path: "garden/bird-feeder-lid.stl", format: binary, make: feederLid,
		what: "the lid of a bird feeder", why: "its knob was never joined on and floats", says: "`no-floating-islands`"},
	{path: "garden/cold-frame-vent.stl", format: binary, make: coldFrameVent,
		what: "a vent for the cold frame", why: "a bridge of 48 mm", says: "`max-bridge-length`; clean laid flat"},
	{path: "garden/gate-finial.stl", format: binary, make: gateFinial,
		what: "a ball for the gate post", why: "a round body with no foot", says: "`flat-base`, `max-overhang-angle`"},
	{path: "garden/hinge-plate.stl", format: binary, make: hingePlate,
		what: "a hinge plate for the gate", why: "drawn far from the origin and half below zero", says: "clean"},
	{path: "garden/potting-bench.stl", format: binary, make: pottingBench,
		what: "the bench, for the planning board", why: "a table on its legs", says: "`max-bridge-length`; clean turned over"},
	{path: "figures/scarecrow.obj", format: obj, make: scarecrow,
		what: "a scarecrow, for the planning board", why: "outstretched arms where another rule applies", says: "`max-overhang-angle` as a warning, `under-the-cover`"},
	{path: "figures/hedgehog.stl", format: binary, make: hedgehog,
		what: "a hedgehog, for the planning board", why: "a round belly where another rule applies", says: "`flat-base` as a note"},
}

// page is the collection's README.
func page() string {
	var b strings.Builder
	b.WriteString(`# The shelf of the Thistle Row allotment society

Members share what they print for their plots: labels, hooks, pot feet, and little
figures for the planning board. The society and its plots are made up. Before a
model goes on the shelf it is checked by ` + "`.printlint.yml`" + ` in this folder:

    printlint check testdata/demo

The society has two printers, each with a file in ` + "`machines`" + `. This says for each model
on which of them it prints, and fails only for one that prints on neither:

    printlint check testdata/demo --config testdata/demo/two-printers.yml

Lengths are in mm. The models are written by ` + "`go run ./internal/demo`" + `; each is here
for a reason.

| file | what it is | why it is here | a check says, first of all |
|---|---|---|---|
`)
	for _, m := range shelf {
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", m.path, m.what, m.why, m.says)
	}
	b.WriteString(`
A clean report says that a shape suits the process. It says nothing about strength:
whether a hook or a bracket holds its load is for a qualified person to judge.
`)
	return b.String()
}
