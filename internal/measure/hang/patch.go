package hang

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Patch is one connected underside laid on air: a ceiling, the roof of a hole, the
// underside of an arm, a thread flank. Lengths in mm, areas in mm2 seen from above,
// points in the frame of the posed mesh.
type Patch struct {
	Tilt       float64  // steepest tilt, the steepest twentieth of the area left out
	Ledge      float64  // farthest from what carries it, as if nothing bridged
	Rest       float64  // farthest from what carries it once everything bridgeable is bridged
	Sequential bool     // some bridge lines rest on bridge lines laid before them
	Bridges    []Bridge // one for each of Options.Reaches

	Area     float64    // of all of it
	RestArea float64    // of what nothing bridges
	Open     float64    // as Rest, once what the model catches close below is held too
	OpenArea float64    // of what nothing bridges or catches
	SpanArea float64    // of what is bridged
	RestAt   PatchPoint // the farthest of what is open, or of all where that is more than twice as far
	Box      mesh.Box
	Tris     []uint32 // by the area they share, largest first
	Air      float64  // mm3 of air below it, down to the bed or the model
	OnBed    float64  // mm2 of it that look down on the bed
}

// Bridge is the longest bridge line that cells beyond a reach need; Span is 0 where none
// does.
type Bridge struct {
	Span float64
	At   PatchPoint
}

// PatchPoint is one telling cell of a patch.
type PatchPoint struct {
	At    mesh.Vec // at the floor of its layer, until the surface there is looked up
	Layer int      // that layer; 0 where there is no such cell
	Drop  float64  // free height below, mm
	Tri   uint32   // the triangle at the point, once it is looked up
}

// Options say how patches are weighed.
type Options struct {
	Least float64 // patches with no cell farther than this from an anchor are left out, mm
	// Reaches are the distances from an anchor, rising, in mm, up to which a cell
	// needs no bridge; every one gets its own longest bridge line.
	Reaches     []float64
	ShortBridge float64 // bridge lines up to this length carry what is laid beside them, mm
}

// maxGridCells bounds the cells of a patch's own grid; larger patches are seen at a
// coarser grain, which costs them a cell or two of sharpness and saves seconds. Where all
// patches together are more than can be weighed, as in a rack of a hundred boxes that lies
// on its side, the bound is lower, down to leastGridCells.
const (
	maxGridCells   = 1 << 17
	leastGridCells = 1 << 12
)

// hold is how much of a carrier the end of a bridge line needs, in mm, whatever the cells:
// three quarters of a usual line, so that the end is not laid beside it. Judgement, no
// source.
const hold = 0.3

// What weighing all patches may cost, in units of work, and how many there may be. Of 134
// real parts none takes a tenth of either.
const (
	weighBound  = 1_000_000_000
	mostPatches = 10_000
)

// What weighing a patch costs, in units of work: for each cell of its grid, for each that
// hangs, and for each run, anchor and hit.
const (
	gridCost = 8
	cellCost = 150
	itemCost = 10
)

// Patches assembles what was gathered. The mesh is the posed one that was swept. The
// error wraps work.ErrTooMuch where there is more than can be weighed.
func (c *Collector) Patches(meter *work.Meter, m *mesh.Mesh, opt Options) ([]Patch, error) {
	tooMuch := func(err error) ([]Patch, error) {
		if errors.Is(err, work.ErrTooMuch) {
			err = fmt.Errorf("too many pieces of it hang in the air to look at each: %w", work.ErrTooMuch)
		}
		return nil, err
	}
	if c.budget.bytes < 0 {
		return tooMuch(work.ErrTooMuch)
	}
	c.gridCells = c.grain()
	tally := meter.Part(weighBound).Tally()
	groups := c.group()
	var list []Patch
	t := workspaces.Get().(*workspace)
	defer workspaces.Put(t)
	for g := range groups.count() {
		if p, known := c.again(g, opt); known {
			list = append(list, p)
			continue
		}
		set := groups.of(g)
		t.grid.cells = t.grid.cells[:0]
		p, ok := c.assemble(m, t, set, opt)
		if ok {
			list = append(list, p)
			c.remember(g, &p, t)
		}
		items := len(set.runs) + len(set.anchors) + len(set.coverages)
		if !tally.Add(int64(t.grid.painted*gridCost + len(t.grid.cells)*cellCost + items*itemCost)) {
			break
		}
		if len(list) > mostPatches {
			return tooMuch(work.ErrTooMuch)
		}
	}
	if err := tally.Close(); err != nil {
		return tooMuch(err)
	}
	return list, nil
}

// grain is the bound for the grid of one patch: maxGridCells, unless all of them would then
// take too much.
func (c *Collector) grain() int64 {
	all := int64(0)
	for i := range c.runs {
		all += int64(c.runs[i].To - c.runs[i].From)
	}
	if all <= weighBound/cellCost*4/5 {
		return maxGridCells
	}
	return max(maxGridCells*(weighBound/cellCost/2)/all, leastGridCells)
}

// workspace is what patches are weighed on, one after the other.
type workspace struct {
	grid  patchGrid
	share share
	unit  float64 // mm a cell of the grid
}

// workspaces keeps tables for the next collector: fresh memory costs more than most
// patches do.
var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// patchItems is one patch's share of what was gathered.
type patchItems struct {
	runs, anchors, coverages []int32
}

// groups lists runs, anchors and coverages by patch, in the order of each patch's first
// run, which is the lowest.
type groups struct {
	runs, anchors, coverages index
}

// index is a list of lists: those of patch p are items[heads[p]:heads[p+1]].
type index struct{ heads, items []int32 }

func (x index) of(p int) []int32 { return x.items[x.heads[p]:x.heads[p+1]] }

func (g groups) count() int { return len(g.runs.heads) - 1 }
func (g groups) of(p int) patchItems {
	return patchItems{g.runs.of(p), g.anchors.of(p), g.coverages.of(p)}
}
func invert(n, count int, of func(i int) int32) index {
	x := index{heads: make([]int32, count+1), items: make([]int32, n)}
	for i := range n {
		x.heads[of(i)+1]++
	}
	for p := range count {
		x.heads[p+1] += x.heads[p]
	}
	next := append([]int32(nil), x.heads[:count]...)
	for i := range n {
		p := of(i)
		x.items[next[p]] = int32(i)
		next[p]++
	}
	return x
}

func (c *Collector) group() groups {
	number := make([]int32, len(c.runs))
	count := 0
	for i := range c.runs {
		if c.sets[i] == int32(i) {
			number[i] = int32(count)
			count++
		}
	}
	for i := range number {
		number[i] = number[c.sets.Root(int32(i))] // the root comes first
	}
	return groups{
		runs:      invert(len(c.runs), count, func(i int) int32 { return number[i] }),
		anchors:   invert(len(c.anchors), count, func(i int) int32 { return number[c.anchors[i].run] }),
		coverages: invert(len(c.coverages), count, func(i int) int32 { return number[c.coverages[i].run] }),
	}
}

// gridFrame ties a grid to the stack: grid cell (0, 0) begins at stack cell (col, row),
// and is scale stack cells wide: 1 but for huge patches.
type gridFrame struct{ col, row, scale int32 }

// frame finds the frame of the runs of a patch, with an empty grid cell and one of
// anchors on every side.
func (c *Collector) frame(s patchItems) (fr gridFrame, cols, rows int) {
	lowC, lowR, highC, highR := int32(math.MaxInt32), int32(math.MaxInt32), int32(0), int32(0)
	for _, i := range s.runs {
		r := &c.runs[i]
		lowC, lowR, highC, highR = min(lowC, r.From), min(lowR, r.Row), max(highC, r.To), max(highR, r.Row+1)
	}
	fr.scale = 1
	for int64(highC-lowC)*int64(highR-lowR) > c.gridCells*int64(fr.scale)*int64(fr.scale) {
		fr.scale++
	}
	rim := max(2*fr.scale, anchorDepth+1)
	fr.col, fr.row = lowC-rim, lowR-rim
	return fr, int((highC-fr.col+rim)/fr.scale) + 1, int((highR-fr.row+rim)/fr.scale) + 1
}

// paint draws the patch and its anchors into the grid, and counts the cells of
// the stack that the patch covers. Where both claim a cell, the patch has it: a
// slope seen from above lies over its own lower layers.
func (c *Collector) paint(f *patchGrid, s patchItems) (fr gridFrame, cells int) {
	fr, cols, rows := c.frame(s)
	n := int(fr.scale)
	f.resize(cols*n, rows*n)
	f.painted = len(f.kind)
	weak := !slices.ContainsFunc(s.anchors, func(i int32) bool { return !c.anchors[i].weak })
	for _, i := range s.anchors {
		r := &c.anchors[i]
		if r.weak != weak {
			continue // weak anchors carry only where there is no other
		}
		at := int(r.Row-fr.row) * f.cols
		for col := max(r.From-fr.col, 0); col < min(r.To-fr.col, int32(f.cols)); col++ {
			f.kind[at+int(col)] = anchorCell
		}
	}
	for _, i := range s.runs {
		r := &c.runs[i]
		at := int(r.Row-fr.row)*f.cols - int(fr.col)
		for col := int(r.From); col < int(r.To); col++ {
			if f.kind[at+col] != unsupported { // runs come layer by layer
				f.kind[at+col], f.low[at+col] = unsupported, r.layer
				cells++
			}
		}
	}
	f.anchorSteps = min(max(int(hold/c.grid.Cell+.5), 1), anchorDepth)
	for age := 2; age <= maxAge; age++ {
		f.stepCells[age] = c.within(age)/n + 1
	}
	if n > 1 { // cells too wide for it: it is asked before
		f.markThin(f.anchorSteps)
		f.coarsen(n)
		f.anchorSteps = 1
	}
	return fr, cells
}

// assemble weighs one patch; it reports false where the patch is too narrow to
// matter, or where nothing carries it at all (an island, which is told of elsewhere).
func (c *Collector) assemble(m *mesh.Mesh, t *workspace, s patchItems, opt Options) (Patch, bool) {
	f := &t.grid
	if f.painted = 0; len(s.anchors) == 0 {
		return Patch{}, false
	}
	fr, cells := c.paint(f, s)
	unit := c.grid.Cell * float64(fr.scale)
	if !f.wide(int(opt.Least / unit * 0.7)) {
		return Patch{}, false
	}
	f.listCells()
	f.measureDistances(f.cells, thinAnchor)
	p := Patch{Area: c.grid.Area(cells)}
	var ledge float32
	for _, i := range f.cells {
		if far := f.far[i]; far < unreached && far > ledge {
			ledge = far
		}
	}
	if p.Ledge = float64(ledge) * unit; p.Ledge <= opt.Least {
		return Patch{}, false
	}
	w := weigher{c: c, m: m, grid: f, frame: fr, set: s, unit: unit}
	t.unit = unit
	w.tilts(&p, &t.share)
	w.bridges(&p, opt)
	w.rest(&p)
	w.extent(&p)
	return p, true
}

// extent takes the box and the air below from the runs.
func (w *weigher) extent(p *Patch) {
	g := w.c.grid
	p.Box = mesh.EmptyBox()
	var air, onBed int64
	for _, i := range w.set.runs {
		r := &w.c.runs[i]
		x0, y0 := g.X0+float64(float64(r.From)*g.Cell), g.Y0+float64(float64(r.Row)*g.Cell)
		z := g.Floor(int(r.layer))
		p.Box.Include(mesh.Vec{X: x0, Y: y0, Z: z})
		p.Box.Include(mesh.Vec{X: g.X0 + float64(float64(r.To)*g.Cell), Y: y0 + g.Cell, Z: z})
		air += int64(r.air)
		onBed += int64(r.onBed)
	}
	p.Air = float64(air) * g.Cell * g.Cell * g.Height
	p.OnBed = g.Area(int(onBed))
}

var _ layers.Visitor = (*Collector)(nil)
