package measure

import (
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// partialBody is one body of what is printed so far: everything that hangs together.
type partialBody struct {
	mass, x2, y2, z2 int64        // cells, and sums of twice the middle of each
	hull             []geom.Point // of the foot, in cells; where stale, of feet one after the other
	footArea         int64
	stale, queued    bool
	sliver           bool // its foot is narrower than a line, and nothing has braced it yet
	box              cellBox
	worst            worstTip
}

// cellBox is a box of cells: columns, rows and layers [from, to).
type cellBox struct{ col, row, layer [2]int32 }

func (c *cellBox) include(o *cellBox) {
	c.col = [2]int32{min(c.col[0], o.col[0]), max(c.col[1], o.col[1])}
	c.row = [2]int32{min(c.row[0], o.row[0]), max(c.row[1], o.row[1])}
	c.layer = [2]int32{min(c.layer[0], o.layer[0]), max(c.layer[1], o.layer[1])}
}

// worstTip is how a body stood at the height at which it stood worst.
type worstTip struct {
	tip, offset float64 // deg, mm
	centre      mesh.Vec
	foot        int64        // cells
	hull        []geom.Point // of the foot, in cells; shared with the body, so written nowhere
	box         cellBox
}

// stabilityTracker joins the pieces of the layers into bodies and follows their
// centres of mass.
type stabilityTracker struct {
	grid       *layers.Grid
	line       float64 // cells
	bodies     []partialBody
	sets       geom.Sets[int32]
	below, now []int32 // the body of each piece
	huller     hullBuilder
	touched    []int32
}

func newStabilityTracker(s *stack, _ None) *stabilityTracker {
	return followed(s, &stabilityTracker{grid: &s.grid, line: s.process.Line / s.grid.Cell})
}

func (v *stabilityTracker) follow(k int, _, now *sections, links []link) {
	if len(v.bodies) > mostBodies {
		return
	}
	v.below, v.now = v.now, fill(v.below, len(now.pieces))
	for _, l := range links {
		body := v.sets.Root(v.below[l.below])
		if own := v.now[l.piece]; own != none {
			body = v.join(own, body)
		}
		v.now[l.piece] = body
	}
	v.touched = v.touched[:0]
	for i := range now.pieces {
		if v.now[i] == none {
			v.now[i] = v.begin(k, now, int32(i))
		}
		v.now[i] = v.sets.Root(v.now[i])
		v.grow(k, v.now[i], &now.pieces[i])
	}
	for _, id := range v.touched {
		v.checkTip(&v.bodies[id])
	}
}

// begin makes a body of a piece with nothing below it. On the bed it has a foot.
func (v *stabilityTracker) begin(k int, now *sections, id int32) int32 {
	p := &now.pieces[id]
	b := partialBody{worst: worstTip{tip: math.Inf(1)}, box: boxOf(k, p)}
	if k == 0 {
		b.hull = slices.Clone(v.huller.of(now.runsOf(id)))
		b.footArea = p.area
		width, _ := geom.Width(b.hull)
		b.sliver = width < v.line*(1-1e-9)
	}
	v.bodies = append(v.bodies, b)
	v.sets = v.sets.Grow(len(v.bodies))
	return int32(len(v.bodies) - 1)
}

func boxOf(k int, p *piece) cellBox {
	return cellBox{[2]int32{p.minCol, p.maxCol}, [2]int32{p.minRow, p.maxRow}, [2]int32{int32(k), int32(k) + 1}}
}

// join makes one body of two and returns it.
func (v *stabilityTracker) join(a, b int32) int32 {
	a, b = v.sets.Root(a), v.sets.Root(b)
	if a == b {
		return a
	}
	v.sets.Join(a, b)
	if a > b {
		a, b = b, a
	}
	p, q := &v.bodies[a], &v.bodies[b]
	p.brace(q)
	p.mass, p.x2, p.y2, p.z2 = p.mass+q.mass, p.x2+q.x2, p.y2+q.y2, p.z2+q.z2
	p.box.include(&q.box)
	if q.footArea > 0 {
		if len(p.hull) < len(q.hull) { // the shorter list is copied
			p.hull, q.hull, p.stale, q.stale = q.hull, p.hull, q.stale, p.stale
		}
		if !p.stale { // what stood worst may share it, and a stale list is sorted in place
			p.hull = slices.Clip(p.hull)
		}
		p.hull, p.footArea, p.stale = append(p.hull, q.hull...), p.footArea+q.footArea, true
	}
	if q.worst.tip < p.worst.tip {
		p.worst = q.worst
	}
	q.hull = nil
	return a
}

// brace forgets how a sliver stood before it joined what stands beside it: what is narrower than a line is
// a leftover of the drawing, and no foot worth naming.
func (b *partialBody) brace(o *partialBody) {
	if b.footArea == 0 || o.footArea == 0 {
		return
	}
	for _, p := range [...]*partialBody{b, o} {
		if p.sliver {
			p.worst.tip, p.sliver = math.Inf(1), false
		}
	}
}

// grow adds a piece of layer k to a body.
func (v *stabilityTracker) grow(k int, id int32, p *piece) {
	b := &v.bodies[id]
	b.mass += p.area
	b.x2 += p.x2
	b.y2 += p.y2
	b.z2 += p.area * int64(2*k+1)
	box := boxOf(k, p)
	b.box.include(&box)
	if b.footArea > 0 && !b.queued {
		b.queued = true
		v.touched = append(v.touched, id)
	}
}

// checkTip looks how a body stands now and keeps the worst.
func (v *stabilityTracker) checkTip(b *partialBody) {
	b.queued = false
	if b.stale {
		b.hull = geom.Hull(b.hull)
		b.stale = false
	}
	twice := 2 * float64(b.mass)
	x, y, z := float64(b.x2)/twice, float64(b.y2)/twice, float64(b.z2)/twice
	offset := geom.Inset(b.hull, geom.Point{X: x, Y: y}) * v.grid.Cell
	tip := math.Atan2(offset, z*v.grid.Height) * 180 / math.Pi
	if tip < b.worst.tip {
		centre := mesh.Vec{X: v.grid.X0 + float64(x*v.grid.Cell), Y: v.grid.Y0 + float64(y*v.grid.Cell), Z: z * v.grid.Height}
		b.worst = worstTip{tip, offset, centre, b.footArea, b.hull, b.box}
	}
}

// boxMM is a box of cells in the posed frame.
func boxMM(g *layers.Grid, c *cellBox) mesh.Box {
	return mesh.Box{
		Min: mesh.Vec{X: g.X0 + float64(float64(c.col[0])*g.Cell), Y: g.Y0 + float64(float64(c.row[0])*g.Cell), Z: g.Floor(int(c.layer[0]))},
		Max: mesh.Vec{X: g.X0 + float64(float64(c.col[1])*g.Cell), Y: g.Y0 + float64(float64(c.row[1])*g.Cell), Z: g.Floor(int(c.layer[1]))},
	}
}
