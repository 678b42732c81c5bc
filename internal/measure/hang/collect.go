// Package hang finds the undersides that are laid on air: which cells of a layer
// hang, how they join into patches over the layers, what carries each patch, how
// far it reaches and which of it is bridged.
//
// A cell hangs where its layer is solid, nothing below carries it (layers.Carriers), and
// the surface between the two cuts is tilted past a limit, or where it lies farther from all
// that carries than one layer may reach within the limit. The tilt comes from the triangles, so
// that no raster noise decides near the limit; the connection comes from the
// layers, so that it does not matter how the mesh is cut into triangles or bodies.
package hang

import (
	"math"
	"slices"
	"sync"
	"unsafe"

	"printlint/internal/geom"
	"printlint/internal/layers"
	"printlint/internal/work"
)

// tiltSlack, in degrees, is how far a tilt may pass its limit before it counts: a
// face drawn at exactly the limit is stored in float32 or printed with six digits,
// which turns a facet of 0.1 mm by up to 0.06 degrees.
const tiltSlack = 0.2

// hangingRun is a stretch of hanging cells in one row of one layer.
type hangingRun struct {
	layers.Run
	layer int32
	drop  int32 // layers of air below the middle of the run
	air   int32 // sum over its cells of the layers of air below
	onBed int32 // cells whose air reaches the bed
	// The last stretch of its cells that the model lies so close below that it catches them.
	caughtFrom, caughtTo int32
}

// anchorRun ties a run of anchor cells, or of one triangle's underside, to a hanging
// run that it touches.
type anchorRun struct {
	layers.Run
	run  int32
	weak bool // carries only where there is no other anchor
}

// coverage is the part of a triangle's underside that lies in a hanging run.
type coverage struct {
	run, cells int32
	tri        uint32
	tilt       float32
}

// maxAge is for how many layers a cell that hung still counts as unsupported: what
// is laid beside it then belongs to the same patch, and is not carried by it. Judgement, no source.
const maxAge = 4

// caughtWithin is how many layers of air there are at most below what sags onto the model
// and lies there: hinges that are printed in place are drawn with gaps of 0.3 to 0.6 mm above
// what moves. The bed does not count, since a model that stands askew on it is to be laid flat.
// Judgement, no source.
const caughtWithin = 4

// Collector is a layers.Visitor that gathers hanging runs for one limit.
type Collector struct {
	grid    *layers.Grid
	tops    *layers.Tops
	carries *layers.Carriers
	limit   float64
	stepOut int     // cells by which one layer may reach past the one below within the limit
	lean    float64 // how far a slope at the limit leans out in one layer, in cells
	level   float64 // the least tilt of a step
	*lists

	hanging      *layers.Plane
	hangingBelow [maxAge]*layers.Plane // hanging cells of the layers below, the nearest first
	weakBelow    [maxAge]*layers.Plane // new cells of those layers that only hanging ones carried
	weak         *layers.Plane         // weak anchors: solid in this layer, carry only where there is no other anchor
	current      []layers.Run          // of this layer
	until        []uint8               // of those: for how many layers they hang
	runsBelow    [maxAge]layerRuns     // of the layers below, the nearest first
	steps        [maxAge][]layers.Run  // new cells under steps, of this layer and those below
	scratch      []layers.Run
	noted        [][2]int32 // for each of scratch: the patches it was last noted for, by their roots
	budget       *Budget
	weighed      map[int][]weighed // by group
	gridCells    int64             // the bound for the grid of one patch
	*layerPlanes
}

// layerPlanes are of use only while one layer is visited. The collectors of a sweep visit
// one after the other and share them: of a large model each is megabytes.
type layerPlanes struct {
	recent        *layers.Plane // all of hangingBelow and weakBelow
	recentHanging *layers.Plane // all of hangingBelow
	strong        *layers.Plane // anchors of this layer
	a, b, c       *layers.Plane // scratch
}

// lists are what a collector gathers.
type lists struct {
	runs      []hangingRun
	sets      geom.Sets[int32] // runs that touch
	anchors   []anchorRun
	coverages []coverage
}

// spare are lists of collectors that are done, for those of the next model: fresh
// memory takes longer than what is written into it.
var spare = sync.Pool{New: func() any { return new(lists) }}

// GiveBack gives the lists back; the collector is of no more use.
func (c *Collector) GiveBack() {
	l := c.lists
	c.lists = nil
	l.runs, l.sets, l.anchors, l.coverages = l.runs[:0], l.sets[:0], l.anchors[:0], l.coverages[:0]
	spare.Put(l)
}

// layerRuns is the runs of one layer, the index of their first, and for how many layers
// each hangs.
type layerRuns struct {
	first int
	runs  []layers.Run
	until []uint8
}

// Budget is what all collectors of one sweep share: who counts their work, how many bytes
// their lists may still take, and planes.
type Budget struct {
	tally  work.Tally
	bytes  int
	planes *layerPlanes
}

// What the lists may take in all, in bytes, beside what each triangle allows. Of 190 real
// parts none takes more than 10 MB; a rack of 300 boxes on its side takes 58.
const (
	listBytes = 64 << 20
	listEach  = 80
)

// NewBudget makes room for a mesh of so many triangles.
func NewBudget(meter *work.Meter, triangles int) *Budget {
	return &Budget{tally: meter.Tally(), bytes: listBytes + listEach*triangles}
}

// Close counts what is left to count, and returns why work had to stop, or nil.
func (r *Budget) Close() error { return r.tally.Close() }

// size is the bytes that the lists hold.
func (l *lists) size() int {
	return len(l.runs)*int(unsafe.Sizeof(hangingRun{})+unsafe.Sizeof(int32(0))) +
		len(l.anchors)*int(unsafe.Sizeof(anchorRun{})) + len(l.coverages)*int(unsafe.Sizeof(coverage{}))
}

// layerCost is what the cells of a layer that hangs anywhere cost, in units of work for
// each word of its planes.
const layerCost = 50

// Planes is how many planes a collector has for itself.
const Planes = 2 + 2*maxAge

// NewCollector gathers undersides tilted more than limit degrees from vertical.
// The tops and the carriers must be visited before it.
func NewCollector(g *layers.Grid, tops *layers.Tops, carries *layers.Carriers, budget *Budget, limit float64) *Collector {
	plane := func() *layers.Plane { return layers.NewPlane(g) }
	c := &Collector{gridCells: maxGridCells, grid: g, tops: tops, carries: carries, limit: limit + tiltSlack, budget: budget, lists: spare.Get().(*lists),
		lean:    g.Height * math.Tan(min(limit, 80)*math.Pi/180) / g.Cell,
		hanging: plane(), weak: plane()}
	c.stepOut = 1 + int(math.Ceil(c.lean))
	c.level = math.Atan(float64(c.within(1)+1)*g.Cell/g.Height) * 180 / math.Pi
	for i := range c.hangingBelow {
		c.hangingBelow[i], c.weakBelow[i] = plane(), plane()
	}
	if budget.planes == nil {
		budget.planes = &layerPlanes{plane(), plane(), plane(), plane(), plane(), plane()}
	}
	c.layerPlanes = budget.planes
	return c
}

// Visit gathers the hanging cells of one layer.
func (c *Collector) Visit(_, layer *layers.Layer) {
	if c.budget.bytes < 0 {
		return
	}
	first, before := len(c.runs), c.size()
	c.hanging.Clear()
	c.weak.Clear()
	c.current, c.until = c.current[:0], c.until[:0]
	if c.mark(layer) && c.budget.tally.Add(int64((c.hanging.High-c.hanging.Low)*c.hanging.Words*layerCost)) {
		c.findAnchors(layer)
		c.collect(layer)
		c.join(first)
		c.noteAnchors(first, c.strong, false)
		c.noteAnchors(first, c.weak, true)
		c.weak.AndNot(c.carries.Solid)
		c.noteTriangles(first, layer.Spans)
		c.ageSteps()
		c.budget.bytes -= c.size() - before
	}
	c.age(first)
}

// age moves this layer's cells and runs to the layers below.
func (c *Collector) age(first int) {
	push := func(ring *[maxAge]*layers.Plane, now *layers.Plane) (spare *layers.Plane) {
		spare = ring[maxAge-1]
		copy(ring[1:], ring[:maxAge-1])
		ring[0] = now
		return spare
	}
	c.hanging, c.weak = push(&c.hangingBelow, c.hanging), push(&c.weakBelow, c.weak)
	spare := c.runsBelow[maxAge-1]
	copy(c.runsBelow[1:], c.runsBelow[:maxAge-1])
	c.runsBelow[0] = layerRuns{first, c.current, c.until}
	c.current, c.until = spare.runs, spare.until
	c.release()
	c.ageStairs()
}

// setRecent sets, in the rows [low, high), the cells that hung in the last maxAge layers and
// the weak anchors of those layers.
func (c *Collector) setRecent(low, high int) {
	c.recentHanging.SetUnion(low, high, c.hangingBelow[:])
	c.recent.SetUnion(low, high, c.weakBelow[:])
	c.recent.Or(c.recentHanging)
}

// mark sets the hanging cells of the layer and reports whether there are any.
func (c *Collector) mark(layer *layers.Layer) bool {
	if c.carries.Bed {
		return false
	}
	c.a.Clear()
	steps := false
	for i := range layer.Spans {
		if s := &layer.Spans[i]; float64(s.Tilt) > c.limit {
			c.a.Fill(int(s.Row), int(s.From), int(s.To))
			steps = steps || c.isStep(s)
		}
	}
	if c.a.Low < c.a.High {
		c.hanging.SetFresh(layer.Solid, c.carries.Solid, c.a)
		if steps && !c.hanging.Empty() {
			c.spareSteps(layer.Spans)
		}
	}
	c.markFree(layer)
	return !c.hanging.Empty()
}

// markFree adds the cells that no carrier reaches within the limit, whatever their tilt: the
// lowest line of a ridge or a keel in the air is laid on nothing, however steep its sides.
func (c *Collector) markFree(layer *layers.Layer) {
	far := c.carries.Far
	if far.Low >= far.High {
		return
	}
	low, high := far.Low-2*c.stepOut, far.High+2*c.stepOut
	c.a.SetRows(layer.Solid, low, high)
	c.b.SetRows(c.carries.Solid, low, high)
	c.b.GrowWithin(c.a, c.c, c.stepOut)
	c.c.SetWithout(far, far.Low, far.High, c.b)
	c.hanging.Or(c.c)
}

// findAnchors finds what carries beside the hanging cells: solid below, be it only up to
// an edge they share, and not unsupported within the last maxAge layers, or a strip of new
// cells with a tilt within the limit that begins there.
// New cells that no such strip reaches, like the outer rim of a rounded plate, hang
// as well, whatever their own tilt.
func (c *Collector) findAnchors(layer *layers.Layer) {
	low, high := c.hanging.Low-2*c.stepOut, c.hanging.High+2*c.stepOut
	c.setRecent(low, high)
	allowed := c.a // new cells within the limit, and all that is solid below
	allowed.SetWithout(layer.Solid, low, high, c.hanging)
	c.strong.SetWithout(c.carries.Solid, low, high, c.recent)
	c.b.SetRows(c.carries.Solid, low, high)
	c.b.GrowWithin(allowed, c.c, c.stepOut)
	c.c.SetWithout(allowed, c.hanging.Low-c.stepOut, c.hanging.High+c.stepOut, c.b)
	c.hanging.Or(c.c)
	allowed.SetWithout(c.b, low, high, c.recent)
	c.strong.GrowWithin(allowed, c.c, c.stepOut)
	c.weak.SetWithout(c.b, low, high, c.strong, c.hanging, c.recentHanging)
}

// collect makes runs of the hanging cells, with the air below each.
func (c *Collector) collect(layer *layers.Layer) {
	c.current = c.hanging.AppendRuns(c.current)
	for _, r := range c.current {
		n := hangingRun{Run: r, layer: int32(layer.K)}
		for col := r.From; col < r.To; col++ {
			under := c.tops.Under(int(col), int(r.Row))
			n.air += int32(layer.K - under)
			switch {
			case under == 0:
				n.onBed++
			case layer.K-under <= caughtWithin:
				if n.caughtTo != col {
					n.caughtFrom = col
				}
				n.caughtTo = col + 1
			}
		}
		n.drop = int32(layer.K - c.tops.Under(int(r.From+r.To)/2, int(r.Row)))
		c.runs = append(c.runs, n)
	}
}

// join unites runs that touch, sideways or at a corner, in this layer and with the
// layers just below.
func (c *Collector) join(first int) {
	c.sets = c.sets.Grow(len(c.runs))
	layers.EachTouchInside(c.current, func(a, b int) {
		c.sets.Join(int32(first+a), int32(first+b))
	})
	for i, o := range c.runsBelow {
		layers.EachNear(c.current, o.runs, 1, func(a, b int) {
			if int(o.until[b]) > i {
				c.sets.Join(int32(first+a), int32(o.first+b))
			}
		})
	}
}

// anchorDepth is how many cells of an anchor are noted beside the hanging cells: enough
// to see whether a bridge line finds a line's width to hold on to.
const anchorDepth = 3

// noteAnchors notes the cells beside that carry.
func (c *Collector) noteAnchors(first int, by *layers.Plane, weak bool) {
	c.a.SetRows(c.hanging, c.hanging.Low, c.hanging.High)
	c.a.GrowWithin(by, c.b, anchorDepth)
	c.a.AndNot(c.hanging)
	c.scratch = c.a.AppendRuns(c.scratch[:0])
	// An anchor is near many runs of one patch, seldom near those of more than two. Once for each is
	// enough.
	c.noted = append(c.noted[:0], slices.Repeat([][2]int32{{-1, -1}}, len(c.scratch))...)
	layers.EachNear(c.scratch, c.current, anchorDepth, func(a, b int) {
		root, noted := c.sets.Root(int32(first+b)), &c.noted[a]
		if root == noted[0] || root == noted[1] {
			return
		}
		noted[0], noted[1] = root, noted[0]
		c.anchors = append(c.anchors, anchorRun{c.scratch[a], int32(first + b), weak})
	})
}

// noteTriangles notes which triangles the hanging cells belong to.
func (c *Collector) noteTriangles(first int, spans []layers.Span) {
	own, before := c.current, c.size()
	c.until = append(c.until, make([]uint8, len(own))...)
	starts := rowStarts(own)
	for i := range spans {
		s := &spans[i]
		if float64(s.Tilt) <= c.limit || c.hanging.CountIn(int(s.Row), int(s.From), int(s.To)) == 0 {
			continue
		}
		for j := starts.of(s.Row); j < len(own) && own[j].Row == s.Row && own[j].From < s.To; j++ {
			if n := min(own[j].To, s.To) - max(own[j].From, s.From); n > 0 {
				c.coverages = append(c.coverages, coverage{int32(first + j), n, s.Tri, s.Tilt})
				if c.isStep(s) {
					c.until[j] = max(c.until[j], 1)
				} else {
					c.until[j] = maxAge
				}
			}
		}
		if c.size()-before > c.budget.bytes {
			return // the lists are no more than can be used
		}
	}
}

// Tilt returns the tilt from which undersides hang, in degrees, slack included.
func (c *Collector) Tilt() float64 { return c.limit }

// rows finds the first run of a row in a list sorted by row.
type rows struct {
	low   int32
	first []int32
}

func rowStarts(list []layers.Run) rows {
	if len(list) == 0 {
		return rows{}
	}
	r := rows{low: list[0].Row}
	for i := range list {
		for int32(len(r.first)) <= list[i].Row-r.low {
			r.first = append(r.first, int32(i))
		}
	}
	return r
}

// of returns the index of the first run at or after row.
func (r rows) of(row int32) int {
	at := max(row-r.low, 0)
	if int(at) >= len(r.first) {
		return 1 << 30
	}
	return int(r.first[at])
}
