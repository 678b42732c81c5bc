package layers

import (
	"math"

	"printlint/internal/mesh"
)

// Span is a stretch of cells [From, To) of a row under which a sloping underside
// passes between the cut below and this one.
type Span struct {
	Row, From, To int32
	Tri           uint32
	Tilt          float32 // degrees from vertical: 90 is a flat ceiling
	Through       bool    // the triangle goes through a cut, the one below or this one
}

// Tilt is the angle of a triangle from vertical, in degrees, and whether its normal
// points down. It is 0 for a triangle without area.
func Tilt(a, b, c mesh.Point) (deg float64, down bool) {
	n := normal(a, b, c)
	return tilt(n), n.Z < 0
}

// normal is twice as long as the area of the triangle.
func normal(a, b, c mesh.Point) mesh.Vec {
	p := mesh.Of64(a)
	return mesh.Of64(b).Sub(p).Cross(mesh.Of64(c).Sub(p))
}

// tilt is the angle from vertical of what has the normal, in degrees.
func tilt(n mesh.Vec) float64 {
	l := n.Len()
	if l == 0 {
		return 0
	}
	return math.Asin(math.Min(1, math.Abs(n.Z)/l)) * 180 / math.Pi
}

// spanFinder finds the spans of steep undersides, one block at a time.
type spanFinder struct {
	grid     *Grid
	m        *mesh.Mesh
	level    []int32
	inv      float64
	minTilt  float64 // degrees; spans of lesser tilt are not wanted
	twoSided bool    // normals cannot be trusted: upper sides count as well
	spans    [][]Span
}

// reset turns the finder to another mesh; it keeps its memory.
func (l *spanFinder) reset(g *Grid, m *mesh.Mesh, level []int32, opt Options) {
	l.grid, l.m, l.level, l.inv = g, m, level, 1/g.Cell
	l.minTilt, l.twoSided = opt.Tilt, opt.TwoSided
}

// triangle adds the spans of one triangle in the gaps below the cuts [first, last).
func (l *spanFinder) triangle(index uint32, first, last int) {
	t := l.m.Tris[index]
	la, lb, lc := l.level[t[0]], l.level[t[1]], l.level[t[2]]
	least, top := int(min(la, lb, lc)), int(max(la, lb, lc))
	from, to := max(least, first, 1), min(top, last-1)
	if from > to {
		return
	}
	a, b, c := l.m.Verts[t[0]], l.m.Verts[t[1]], l.m.Verts[t[2]]
	n := normal(a, b, c)
	down := n.Z < 0
	if !down && !l.twoSided { // half of all triangles need no angle
		return
	}
	tilt := tilt(n)
	if tilt <= l.minTilt {
		return
	}
	var poly [3][3]float64
	for i, p := range [3]mesh.Point{a, b, c} {
		poly[i] = [3]float64{(float64(p[0]) - l.grid.X0) * l.inv, (float64(p[1]) - l.grid.Y0) * l.inv, float64(p[2])}
	}
	for k := from; k <= to; k++ {
		var low, high [8][3]float64
		lower := clip(poly[:], low[:0], l.grid.CutZ(k-1), 1)
		piece := clip(lower, high[:0], l.grid.CutZ(k), -1)
		l.rows(k-first, piece, Span{Tri: index, Tilt: float32(tilt), Through: least < top})
	}
}

// clip keeps the part of a convex polygon with sign*(z - height) >= 0.
func clip(poly, out [][3]float64, height, sign float64) [][3]float64 {
	for i := range poly {
		p, q := poly[i], poly[(i+1)%len(poly)]
		dp, dq := sign*(p[2]-height), sign*(q[2]-height)
		if dp >= 0 {
			out = append(out, p)
		}
		if dp >= 0 != (dq >= 0) {
			t := dp / (dp - dq)
			out = append(out, [3]float64{p[0] + float64(t*(q[0]-p[0])), p[1] + float64(t*(q[1]-p[1])), height})
		}
	}
	return out
}

// rows adds the rows of one convex polygon, in cell units, as spans like the one given.
func (l *spanFinder) rows(slot int, poly [][3]float64, like Span) {
	if len(poly) < 3 {
		return
	}
	lowest, highest := math.Inf(1), math.Inf(-1)
	for i := range poly {
		lowest, highest = min(lowest, poly[i][1]), max(highest, poly[i][1])
	}
	list := l.spans[slot]
	for r := int32(math.Ceil(lowest - 0.5)); r < int32(math.Ceil(highest-0.5)); r++ {
		y := float64(r) + 0.5
		left, right := math.Inf(1), math.Inf(-1)
		for i := range poly {
			p, q := &poly[i], &poly[(i+1)%len(poly)]
			if (p[1] < y) == (q[1] < y) {
				continue
			}
			x := p[0] + float64((y-p[1])/(q[1]-p[1])*(q[0]-p[0]))
			left, right = min(left, x), max(right, x)
		}
		from, to := int32(math.Ceil(left-0.5)), int32(math.Ceil(right-0.5))
		if left < right && from < to {
			like.Row, like.From, like.To = r, from, to
			list = append(list, like)
		}
	}
	l.spans[slot] = list
}
