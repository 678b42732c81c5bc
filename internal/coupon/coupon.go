// Package coupon makes test pieces for one's own printer, and turns what was seen on them
// into limits. A plan follows from the process alone: rows of steps that get harder from
// one to the next, each a small piece of its own on the bed. The answers to a plan give the
// file of a machine: what the process says of the printer, each figure by the last step that
// came out well.
package coupon

import (
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// Version is that of the plan. Answers to another one are refused, since their steps may
// have been other shapes. A new row leaves it as it is: what was answered before stays true,
// and the new row keeps the limit of the rule set.
const Version = 1

// Plan is all the pieces for one process.
type Plan struct {
	Process catalog.Process
	// Machine is what the printer is called, and File the path of what describes it; both are
	// empty where nobody said.
	Machine, File string
	Rows          []Row
	Plates        []Plate
}

// Row is one question to the printer: pieces alike but for one figure, the easiest first.
type Row struct {
	Name  string
	Title string
	Unit  catalog.Unit
	// Figure says what the number on a piece is.
	Figure string
	Steps  []Step
	// Clean and Held say how to know the last step that is good for each; a row without
	// a word for Clean asks for Held alone.
	Clean, Held string

	// broad is how broad a piece is across, in mm.
	broad float64
	// scale is by how much the pieces are larger than at the usual nozzle.
	scale float64
	// loose says that some of its pieces may come off, and be dragged into others.
	loose bool
	// above says that the drawing on the sheet shows it from above, and not from the side.
	above bool
	// build makes the piece of a step, from x on.
	build func(b *builder, x, value float64) float64
	// series is the figures, the easiest first.
	series func(catalog.Process) []float64
	limits []limit
}

// Step is one piece: its figure, and the number raised on it.
type Step struct {
	Value float64
	Label string
	// Mesh stands at its place on the plate.
	Mesh *mesh.Triangles
	// Number lies beside it, where it is not on the piece; else it has no corners.
	Number *mesh.Triangles
	// Volume is that of the plastic if it is filled, in mm3.
	Volume float64

	size  [3]float64 // along x, y and z
	clear float64    // how far away the next piece is at least
	views []outline  // for the drawing on the sheet
}

// whole is the piece with its number.
func (s *Step) whole() *mesh.Triangles {
	return &mesh.Triangles{Corners: slices.Concat(s.Mesh.Corners, s.Number.Corners)}
}

// Plate is what one print holds.
type Plate struct {
	Steps  []Placed
	Volume float64 // mm3
	// Loose says that some of its pieces may come off, so that it is printed last.
	Loose bool
}

// Placed is a step on a plate, and the row that it belongs to.
type Placed struct {
	Row  *Row
	Step *Step
}

// Name is what the piece is called in a file with several.
func (p Placed) Name() string { return p.Row.Name + " " + p.Step.Label }

// Grams is what a plate weighs if it is filled: a print with hollow insides weighs less.
func (p *Plate) Grams(process catalog.Process) float64 { return p.Volume * process.Density / 1000 }

// Minutes is how long it takes at the flow of the process if it is filled.
func (p *Plate) Minutes(process catalog.Process) float64 { return p.Volume / process.Flow / 60 }

// Mesh is the whole plate in one.
func (p *Plate) Mesh() *mesh.Triangles {
	all := new(mesh.Triangles)
	for _, s := range p.Steps {
		all.Corners = append(all.Corners, s.Step.whole().Corners...)
	}
	return all
}

// New plans the pieces for a process.
func New(process catalog.Process) (*Plan, error) {
	p := &Plan{Process: process, Rows: rowTable()}
	for i := range p.Rows {
		p.Rows[i].make(process)
	}
	return p, p.lay()
}
