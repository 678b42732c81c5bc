package pose

import (
	"math"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// face is one triangle of a convex hull: its corners counter-clockwise seen from
// outside, its neighbours across the edges a-b, b-c and c-a, and its plane.
type face struct {
	corner [3]int32
	next   [3]int32
	normal mesh.Vec // unit, outward
	offset float64
	area   float64
	dead   bool
	mark   int32   // the round in which it was seen, and whether it is visible then
	out    []int32 // points outside of it that no other face has taken
	far    int32   // the farthest of them that lies farther out than the slack
	farAt  float64
}

func (f *face) height(p mesh.Vec) float64 { return f.normal.Dot(p) - f.offset }

// hull is the convex hull of points up to a slack: its corners are points, it is convex
// within the tight bound, and no point lies farther outside of it than the slack, but
// for points that rounding would not let in.
type hull struct {
	points []mesh.Vec
	slack  float64
	tight  float64 // what rounding makes of lying in a plane
	faces  []face
	round  int32
	seen   []int32 // faces that the newest point sees
	rim    []rimEdge
	at     []int32 // of each point: the rim edge, then the new face, that begins there
	stamp  []int32 // the round in which at was set
	loose  []int32 // points of faces that died
	tally  *work.Tally
}

// heightCost is the work of holding a point against a face, about, with what is written
// down of it.
const heightCost = 5

// rimEdge is an edge between a face that the newest point sees and one it does not.
type rimEdge struct{ from, to, beyond int32 }

// hullOf builds the hull of points by taking in the farthest point of a face until
// none is farther out than the slack (C. B. Barber, D. P. Dobkin, H. Huhdanpaa, "The
// quickhull algorithm for convex hulls", ACM TOMS 22(4), 1996; from memory). It
// returns nil when all points lie within the slack of one plane. Once the tally says no,
// it returns what it has.
//
// Whether a face is seen is decided within the tight bound only, so that the hull stays
// convex; with the slack instead, thin faces at odd angles would tear it open.
func hullOf(points []mesh.Vec, slack float64, tally *work.Tally) *hull {
	h := &hull{points: points, tally: tally, slack: slack, at: make([]int32, len(points)), stamp: make([]int32, len(points))}
	first, ok := h.simplex()
	if !ok {
		return nil
	}
	h.begin(first)
	for from := 0; from < len(h.faces); {
		for i := from; i < len(h.faces); i++ {
			for !h.faces[i].dead && h.faces[i].farAt > h.slack && tally.Add(heightCost) {
				h.take(int32(i))
			}
		}
		if from = h.settle(); !tally.Add(0) {
			break
		}
	}
	return h
}

// settle looks again at every point that is left outside: a face made later may lie
// farther below it than the one it was given to. It returns the first face that now has
// one beyond the slack, or the number of faces.
func (h *hull) settle() int {
	first := len(h.faces)
	for i := range h.faces {
		points := h.faces[i].out
		h.faces[i].out = nil
		for _, p := range points {
			top := h.climb(int32(i), h.points[p])
			h.faces[top].put(p, h.faces[top].height(h.points[p]))
			if h.faces[top].farAt > h.slack {
				first = min(first, int(top))
			}
		}
	}
	return first
}

// climb walks from a face to the one that a point lies highest above.
func (h *hull) climb(from int32, p mesh.Vec) int32 {
	for {
		h.tally.Add(4 * heightCost)
		best, height := from, h.faces[from].height(p)
		for _, n := range h.faces[from].next {
			if d := h.faces[n].height(p); d > height {
				best, height = n, d
			}
		}
		if best == from {
			return from
		}
		from = best
	}
}

// simplex picks four corners that span a volume: the two extremes of the axes that
// are farthest apart, then the farthest from their line, then from their plane.
func (h *hull) simplex() (c [4]int32, ok bool) {
	if len(h.points) < 4 {
		return c, false
	}
	var ends [6]int32
	for i, p := range h.points {
		for k, x := range [3]float64{p.X, p.Y, p.Z} {
			lo, hi := h.points[ends[2*k]], h.points[ends[2*k+1]]
			if x < [3]float64{lo.X, lo.Y, lo.Z}[k] {
				ends[2*k] = int32(i)
			}
			if x > [3]float64{hi.X, hi.Y, hi.Z}[k] {
				ends[2*k+1] = int32(i)
			}
		}
	}
	longest := -1.0
	for _, a := range ends {
		for _, b := range ends {
			if d := h.points[a].Sub(h.points[b]).Len(); d > longest {
				longest, c[0], c[1] = d, a, b
			}
		}
	}
	a := h.points[c[0]]
	along := h.points[c[1]].Sub(a).Unit()
	c[2], ok = h.farthest(func(p mesh.Vec) float64 { return along.Cross(p.Sub(a)).Len() })
	if !ok || longest <= h.slack {
		return c, false
	}
	up := along.Cross(h.points[c[2]].Sub(a)).Unit()
	c[3], ok = h.farthest(func(p mesh.Vec) float64 { return math.Abs(up.Dot(p.Sub(a))) })
	if up.Dot(h.points[c[3]].Sub(a)) > 0 {
		c[1], c[2] = c[2], c[1]
	}
	return c, ok
}

// farthest finds the point with the largest value, if that is above the slack.
func (h *hull) farthest(value func(mesh.Vec) float64) (at int32, ok bool) {
	best := h.slack
	for i, p := range h.points {
		if d := value(p); d > best {
			best, at, ok = d, int32(i), true
		}
	}
	return at, ok
}

// tightShare is the tight bound as a share of the largest coordinate. A height above a
// plane carries some ten roundings of 2^-53 of it, and more where a face is narrow.
const tightShare = 1e-10

// begin makes the first four faces; corner 3 lies below the plane of 0, 1 and 2.
func (h *hull) begin(c [4]int32) {
	for _, t := range [4][3]int32{{0, 1, 2}, {0, 3, 1}, {1, 3, 2}, {2, 3, 0}} {
		h.add([3]int32{c[t[0]], c[t[1]], c[t[2]]})
	}
	for _, p := range h.points {
		h.tight = max(h.tight, math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z))
	}
	h.tight *= tightShare
	h.faces[0].next = [3]int32{1, 2, 3}
	h.faces[1].next = [3]int32{3, 2, 0}
	h.faces[2].next = [3]int32{1, 3, 0}
	h.faces[3].next = [3]int32{2, 1, 0}
	all := make([]int32, len(h.points))
	for i := range all {
		all[i] = int32(i)
	}
	h.share(all, 0)
}

// add appends a face and returns its number.
func (h *hull) add(c [3]int32) int32 {
	a := h.points[c[0]]
	n := h.points[c[1]].Sub(a).Cross(h.points[c[2]].Sub(a))
	f := face{corner: c, normal: n.Unit(), area: n.Len() / 2, farAt: h.slack}
	f.offset = f.normal.Dot(a)
	h.faces = append(h.faces, f)
	return int32(len(h.faces) - 1)
}

// share gives each point to that of the faces from number first on that it lies highest
// above. Points outside of none are inside the hull.
func (h *hull) share(points []int32, first int) {
	h.tally.Add(heightCost * int64(len(points)) * int64(len(h.faces)-first))
	for _, p := range points {
		best, height := -1, h.tight
		for i := first; i < len(h.faces); i++ {
			if d := h.faces[i].height(h.points[p]); d > height {
				best, height = i, d
			}
		}
		if best >= 0 {
			h.faces[best].put(p, height)
		}
	}
}

// put lists a point that lies outside of the face.
func (f *face) put(i int32, height float64) {
	f.out = append(f.out, i)
	if height > f.farAt {
		f.far, f.farAt = i, height
	}
}

// take makes the farthest point of a face a corner of the hull. Where rounding tears
// the rim of what it sees, the point is left outside.
func (h *hull) take(of int32) {
	eye := h.faces[of].far
	if !h.rimAround(of, h.points[eye]) {
		h.drop(of, eye)
		return
	}
	first := len(h.faces)
	for _, e := range h.rim {
		n := h.add([3]int32{e.from, e.to, eye})
		h.faces[n].next[0] = e.beyond
		b := &h.faces[e.beyond]
		for k := range 3 {
			if b.corner[k] == e.to && b.corner[(k+1)%3] == e.from {
				b.next[k] = n
			}
		}
		h.at[e.from] = n
	}
	for n := first; n < len(h.faces); n++ {
		after := h.at[h.faces[n].corner[1]]
		h.faces[n].next[1] = after
		h.faces[after].next[2] = int32(n)
	}
	h.loose = h.loose[:0]
	for _, s := range h.seen {
		f := &h.faces[s]
		h.loose = append(h.loose, f.out...)
		f.dead, f.out = true, nil
	}
	h.share(h.loose, first)
}

// rimAround finds what the eye sees and the rim around it. Where rounding makes holes in
// what is seen, seeing a little more or less closes them.
func (h *hull) rimAround(from int32, eye mesh.Vec) bool {
	for _, least := range []float64{h.tight, 0, 100 * h.tight} {
		h.look(from, eye, least)
		if h.sound() {
			return true
		}
	}
	return false
}

// look finds the faces that the eye sees from more than least above them, from one of
// them on over their edges, and the rim around them.
func (h *hull) look(from int32, eye mesh.Vec, least float64) {
	h.round += 2
	h.seen, h.rim = append(h.seen[:0], from), h.rim[:0]
	h.faces[from].mark = h.round
	for i := 0; i < len(h.seen); i++ {
		h.tally.Add(4 * heightCost)
		f := &h.faces[h.seen[i]]
		for k, n := range f.next {
			g := &h.faces[n]
			if g.mark < h.round {
				g.mark = h.round + 1
				if g.height(eye) > least {
					g.mark = h.round
					h.seen = append(h.seen, n)
				}
			}
			if g.mark == h.round+1 {
				h.rim = append(h.rim, rimEdge{f.corner[k], f.corner[(k+1)%3], n})
			}
		}
	}
}

// sound says that the rim is one loop: as many corners as edges, each met once.
func (h *hull) sound() bool {
	for i, e := range h.rim {
		if h.stamp[e.from] == h.round {
			return false
		}
		h.at[e.from], h.stamp[e.from] = int32(i), h.round
	}
	if len(h.rim) < 3 {
		return false
	}
	at := h.rim[0].from
	for range len(h.rim) - 1 {
		if h.stamp[at] != h.round {
			return false
		}
		if at = h.rim[h.at[at]].to; at == h.rim[0].from {
			return false
		}
	}
	return true
}

// drop takes a point out of a face's list and finds the next farthest.
func (h *hull) drop(of, point int32) {
	f := &h.faces[of]
	h.tally.Add(heightCost * int64(len(f.out)))
	outside := f.out[:0]
	f.farAt = h.slack
	for _, p := range f.out {
		if p == point {
			continue
		}
		outside = append(outside, p)
		if d := f.height(h.points[p]); d > f.farAt {
			f.far, f.farAt = p, d
		}
	}
	f.out = outside
}

// corners lists the points that are corners of the hull, in their order.
func (h *hull) corners() []mesh.Vec {
	used := make([]bool, len(h.points))
	for i := range h.faces {
		if f := &h.faces[i]; !f.dead {
			used[f.corner[0]], used[f.corner[1]], used[f.corner[2]] = true, true, true
		}
	}
	var list []mesh.Vec
	for i, u := range used {
		if u {
			list = append(list, h.points[i])
		}
	}
	return list
}
