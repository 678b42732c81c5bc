// Package hang finds the undersides that are laid on air: which cells of a layer
// hang, how they join into patches over the layers, what carries each patch, how
// far it reaches and which of it is bridged.
//
// A cell hangs where its layer is solid, the layer below is not, and the surface
// between the two cuts leans past a limit. The lean comes from the triangles, so
// that no raster noise decides near the limit; the connection comes from the
// layers, so that it does not matter how the mesh is cut into triangles or bodies.
package hang

import (
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// leanSlack, in degrees, is how far a lean may pass its limit before it counts: a
// face drawn at exactly the limit is stored in float32 or printed with six digits,
// which turns a facet of 0.1 mm by up to 0.06 degrees.
const leanSlack = 0.2

// run is a stretch of hanging cells in one row of one layer.
type run struct {
	layers.Run
	layer int32
	drop  int32 // layers of air below the middle of the run
	air   int32 // sum over its cells of the layers of air below
	onBed int32 // cells whose air reaches the bed
}

// anchor ties a run of anchor cells, or of one triangle's underside, to a hanging
// run that it touches.
type anchor struct {
	layers.Run
	run int32
}

// hit is the part of a triangle's underside that lies in a hanging run.
type hit struct {
	run, cells int32
	tri        uint32
	lean       float32
}

// Collector is a layers.Visitor that gathers hanging runs for one limit.
type Collector struct {
	grid    *layers.Grid
	tops    *layers.Tops
	limit   float64
	runs    []run
	sets    layers.Sets // runs that touch
	anchors []anchor
	hits    []hit

	steep, hang, before, near *layers.Plane
	own, prev, scratch        []layers.Run // of this layer, of the one below, of anchors
	prevFirst                 int          // index of the first run of the layer below
}

// NewCollector gathers undersides leaning more than limit degrees from vertical.
// The tops must be visited before it.
func NewCollector(g *layers.Grid, tops *layers.Tops, limit float64) *Collector {
	return &Collector{grid: g, tops: tops, limit: limit + leanSlack,
		steep: layers.NewPlane(g), hang: layers.NewPlane(g), before: layers.NewPlane(g), near: layers.NewPlane(g)}
}

// Visit gathers the hanging cells of one layer.
func (c *Collector) Visit(below, layer *layers.Layer) {
	c.hang, c.before = c.before, c.hang
	c.own, c.prev = c.prev[:0], c.own
	first := len(c.runs)
	if c.mark(below, layer) {
		c.collect(layer)
		c.join(first)
		c.anchor(first, below)
		c.hit(first, layer.Spans)
	}
	c.prevFirst = first
}

// mark sets the hanging cells of the layer and reports whether there are any.
func (c *Collector) mark(below, layer *layers.Layer) bool {
	c.hang.Clear()
	if layer.K == 0 {
		return false
	}
	c.steep.Clear()
	for i := range layer.Spans {
		if s := &layer.Spans[i]; float64(s.Lean) > c.limit {
			c.steep.Fill(int(s.Row), int(s.From), int(s.To))
		}
	}
	if c.steep.Low >= c.steep.High {
		return false
	}
	c.hang.SetFresh(layer.Solid, below.Solid, c.steep)
	return !c.hang.Empty()
}

// collect makes runs of the hanging cells, with the air below each.
func (c *Collector) collect(layer *layers.Layer) {
	c.own = c.hang.AppendRuns(c.own)
	for _, r := range c.own {
		n := run{Run: r, layer: int32(layer.K)}
		for col := r.From; col < r.To; col++ {
			under := c.tops.Under(int(col), int(r.Row))
			n.air += int32(layer.K - under)
			if under == 0 {
				n.onBed++
			}
		}
		n.drop = int32(layer.K - c.tops.Under(int(r.From+r.To)/2, int(r.Row)))
		c.runs = append(c.runs, n)
	}
}

// join unites runs that touch, sideways or at a corner, in this layer and with the
// layer below.
func (c *Collector) join(first int) {
	c.sets = c.sets.Grow(len(c.runs))
	layers.EachTouch(c.own, c.own, func(a, b int) {
		c.sets.Join(int32(first+a), int32(first+b))
	})
	layers.EachTouch(c.own, c.prev, func(a, b int) {
		c.sets.Join(int32(first+a), int32(c.prevFirst+b))
	})
}

// anchor notes the cells just below and beside that carry: solid in the layer
// below, and not hanging there themselves.
func (c *Collector) anchor(first int, below *layers.Layer) {
	c.near.SetGrown(c.hang)
	c.near.KeepCarrying(below.Solid, c.before)
	c.scratch = c.near.AppendRuns(c.scratch[:0])
	layers.EachTouch(c.scratch, c.own, func(a, b int) {
		c.anchors = append(c.anchors, anchor{c.scratch[a], int32(first + b)})
	})
}

// hit notes which triangles the hanging cells belong to.
func (c *Collector) hit(first int, spans []layers.Span) {
	own := c.own
	starts := rowStarts(own)
	for i := range spans {
		s := &spans[i]
		if float64(s.Lean) <= c.limit || c.hang.CountIn(int(s.Row), int(s.From), int(s.To)) == 0 {
			continue
		}
		for j := starts.of(s.Row); j < len(own) && own[j].Row == s.Row && own[j].From < s.To; j++ {
			if n := min(own[j].To, s.To) - max(own[j].From, s.From); n > 0 {
				c.hits = append(c.hits, hit{int32(first + j), n, s.Tri, s.Lean})
			}
		}
	}
}

// Lean returns the limit the collector works with, slack included.
func (c *Collector) Lean() float64 { return c.limit }

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

// triangleHeight is the height of triangle t's plane over (x, y); steep triangles
// are never vertical.
func triangleHeight(m *mesh.Mesh, t uint32, x, y float64) float64 {
	a, b, c := m.Corners(int(t))
	n := b.Sub(a).Cross(c.Sub(a))
	return a.Z - (float64(n.X*(x-a.X))+float64(n.Y*(y-a.Y)))/n.Z
}
