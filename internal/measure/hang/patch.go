package hang

import (
	"math"
	"sort"

	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// Patch is one connected underside laid on air: a ceiling, the roof of a hole, the
// underside of an arm, a thread flank. Lengths in mm, areas in mm2 seen from above,
// points in the frame of the posed mesh.
type Patch struct {
	Lean     float64 // steepest lean, the steepest twentieth of the area left out
	Ledge    float64 // farthest from what carries it, as if nothing bridged
	Rest     float64 // farthest from what carries it once everything bridgeable is bridged
	Span     float64 // longest chord needed by cells beyond the reach given
	Width    float64 // how wide the bridged part is across its longest chord
	Heading  float64 // direction of that chord, degrees from x
	Layered  bool    // some strands rest on strands laid before them
	Anchored bool    // something carries it somewhere

	Area, RestArea, SpanArea float64
	RestAt, SpanAt           Spot
	Box                      mesh.Box
	Tris                     []uint32 // by the area they share, largest first
	Air                      float64  // mm3 of air below it, down to the bed or the model
	OnBed                    float64  // mm2 of it that look down on the bed
}

// Spot is one telling cell of a patch.
type Spot struct {
	At   mesh.Vec
	Drop float64 // free height below, mm
	Tri  uint32
}

// Options say how patches are weighed.
type Options struct {
	Least float64 // patches with no cell farther than this from a carrier are left out, mm
	Reach float64 // cells nearer than this to a carrier need no bridge, mm
	Carry float64 // strands up to this length carry what is laid beside them, mm
}

// maxField bounds the cells of a patch's own grid; larger patches are seen at a
// coarser grain, which costs them a cell or two of sharpness and saves seconds.
const maxField = 1 << 19

// Patches assembles what was gathered. The mesh is the posed one that was swept.
func (c *Collector) Patches(m *mesh.Mesh, opt Options) []Patch {
	groups := c.group()
	var list []Patch
	f := &field{}
	for g := range groups.sets() {
		set := groups.of(g)
		if p, ok := c.assemble(m, f, set, opt); ok {
			list = append(list, p)
		}
	}
	return list
}

// set is one patch's share of what was gathered.
type set struct {
	runs, anchors, hits []int32
}

// groups lists runs, anchors and hits by patch, in the order of each patch's first
// run, which is the lowest.
type groups struct {
	runs, anchors, hits index
}

// index is a list of lists: those of patch p are items[heads[p]:heads[p+1]].
type index struct{ heads, items []int32 }

func (x index) of(p int) []int32 { return x.items[x.heads[p]:x.heads[p+1]] }

func (g groups) sets() int    { return len(g.runs.heads) - 1 }
func (g groups) of(p int) set { return set{g.runs.of(p), g.anchors.of(p), g.hits.of(p)} }
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
	patchOf := func(r int32) int32 { return number[c.sets.Root(r)] }
	return groups{
		runs:    invert(len(c.runs), count, func(i int) int32 { return patchOf(int32(i)) }),
		anchors: invert(len(c.anchors), count, func(i int) int32 { return patchOf(c.anchors[i].run) }),
		hits:    invert(len(c.hits), count, func(i int) int32 { return patchOf(c.hits[i].run) }),
	}
}

// frame ties a field to the stack: field cell (0, 0) is stack cell (col, row).
type frame struct{ col, row, scale int32 }

func (fr frame) index(f *field, col, row int32) int {
	return int((row-fr.row)/fr.scale)*f.cols + int((col-fr.col)/fr.scale)
}

// paint draws the patch and its carriers into the field. Where both claim a cell,
// the patch has it: a slope seen from above lies over its own lower layers.
func (c *Collector) paint(f *field, s set) (fr frame, cells int) {
	lowC, lowR, highC, highR := int32(math.MaxInt32), int32(math.MaxInt32), int32(0), int32(0)
	for _, i := range s.runs {
		r := &c.runs[i]
		lowC, lowR, highC, highR = min(lowC, r.From), min(lowR, r.Row), max(highC, r.To), max(highR, r.Row+1)
	}
	fr.scale = 1
	for int64(highC-lowC)*int64(highR-lowR) > maxField*int64(fr.scale)*int64(fr.scale) {
		fr.scale++
	}
	rim := 2 * fr.scale // an empty field cell on every side, carriers included
	fr.col, fr.row = lowC-rim, lowR-rim
	f.shape(int((highC-fr.col+rim)/fr.scale)+1, int((highR-fr.row+rim)/fr.scale)+1)
	for _, i := range s.anchors {
		r := &c.anchors[i]
		for col := max(r.From, fr.col); col < min(r.To, highC+rim); col++ {
			f.kind[fr.index(f, col, r.Row)] = solid
		}
	}
	for _, i := range s.runs {
		r := &c.runs[i]
		at := fr.index(f, r.From, r.Row)
		for col := r.From; col < r.To; col++ {
			if fr.scale > 1 {
				at = fr.index(f, col, r.Row)
			}
			if f.kind[at] != patch {
				f.kind[at] = patch
				cells++
			}
			at++
		}
	}
	return fr, cells
}

// assemble weighs one patch; it reports false where the patch is too narrow to
// matter, or where nothing carries it at all (an island, which is told of elsewhere).
func (c *Collector) assemble(m *mesh.Mesh, f *field, s set, opt Options) (Patch, bool) {
	if len(s.anchors) == 0 {
		return Patch{}, false
	}
	fr, cells := c.paint(f, s)
	unit := c.grid.Cell * float64(fr.scale)
	if !f.wide(int(opt.Least / unit * 0.7)) {
		return Patch{}, false
	}
	f.measureFar(func(k uint8) bool { return k == solid })
	p := Patch{Anchored: true, Area: float64(cells) * unit * unit}
	var ledge float32
	for i, k := range f.kind {
		if k == patch && f.far[i] < never {
			ledge = max(ledge, f.far[i])
		}
	}
	if p.Ledge = float64(ledge) * unit; p.Ledge <= opt.Least {
		return Patch{}, false
	}
	w := weigher{c: c, m: m, f: f, fr: fr, set: s, unit: unit}
	w.leans(&p)
	w.bridges(&p, opt)
	w.rest(&p)
	w.extent(&p)
	return p, true
}

// leans takes the steepest lean and the triangles from the hits.
func (w *weigher) leans(p *Patch) {
	var cells [92]int64
	var sums [92]float64
	area := map[uint32]int64{}
	total := int64(0)
	for _, i := range w.set.hits {
		h := &w.c.hits[i]
		bin := int(h.lean)
		cells[bin] += int64(h.cells)
		sums[bin] += float64(h.lean) * float64(h.cells)
		area[h.tri] += int64(h.cells)
		total += int64(h.cells)
	}
	seen := int64(0)
	for bin := len(cells) - 1; bin >= 0; bin-- {
		if seen += cells[bin]; cells[bin] > 0 && seen*20 > total {
			p.Lean = sums[bin] / float64(cells[bin])
			break
		}
	}
	p.Tris = make([]uint32, 0, len(area))
	for t := range area {
		p.Tris = append(p.Tris, t)
	}
	sort.Slice(p.Tris, func(a, b int) bool {
		x, y := area[p.Tris[a]], area[p.Tris[b]]
		return x > y || x == y && p.Tris[a] < p.Tris[b]
	})
}

// extent takes the box and the air below from the runs.
func (w *weigher) extent(p *Patch) {
	g := w.c.grid
	p.Box = mesh.EmptyBox()
	var air, onBed int64
	for _, i := range w.set.runs {
		r := &w.c.runs[i]
		x0, y0 := g.X0+float64(r.From)*g.Cell, g.Y0+float64(r.Row)*g.Cell
		z := g.Floor(int(r.layer))
		p.Box.Include(mesh.Vec{X: x0, Y: y0, Z: z})
		p.Box.Include(mesh.Vec{X: g.X0 + float64(r.To)*g.Cell, Y: y0 + g.Cell, Z: z})
		air += int64(r.air)
		onBed += int64(r.onBed)
	}
	p.Air = float64(air) * g.Cell * g.Cell * g.Height
	p.OnBed = g.Area(int(onBed))
}

var _ layers.Visitor = (*Collector)(nil)
