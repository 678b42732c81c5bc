package plain

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// Mark is a letter, mark or rib on a flat face: how far it stands above the face around it,
// below 0 where it is sunk, and how wide its strokes are.
type Mark struct {
	Step, Stroke, Area float64
	Look               mesh.Vec // where its face looks
	// NearLimit says that what makes it a mark lies so near a limit that looking at a few places
	// of its outline may answer either way.
	NearLimit bool
}

// dot is the side of the squares that marks are looked at in, in mm: outlines must run along
// them to be measured exactly.
const dot = 0.1

// relief is a solid seen from one side: how high each dot lies, far below where nothing does.
type relief struct {
	nx, ny int
	high   []float64
	region []int
}

// Marks finds marks by looking at a solid from every side that a face of it looks to. Dots of
// one height that touch are a region; a mark is a small one nearly all around which the dots
// have one other height.
func Marks(s *mesh.Triangles) (found []Mark) {
	var looks []mesh.Vec
	for t := 0; t+2 < len(s.Corners); t += 3 {
		n := mesh.Of64(s.Corners[t+1]).Sub(mesh.Of64(s.Corners[t])).Cross(mesh.Of64(s.Corners[t+2]).Sub(mesh.Of64(s.Corners[t]))).Unit()
		if !slices.ContainsFunc(looks, func(o mesh.Vec) bool { return o.Dot(n) > 0.9999 }) {
			looks = append(looks, n)
			found = append(found, lookAt(s, n, t).marks(n)...)
		}
	}
	return found
}

// lookAt sees a solid from one side, with dots along the edge of a triangle that looks there.
func lookAt(s *mesh.Triangles, n mesh.Vec, t int) *relief {
	u := mesh.Of64(s.Corners[t+1]).Sub(mesh.Of64(s.Corners[t]))
	for k := range 3 { // not along a diagonal: the shorter sides of half a rectangle
		if e := mesh.Of64(s.Corners[t+(k+1)%3]).Sub(mesh.Of64(s.Corners[t+k])); e.Len() < u.Len() {
			u = e
		}
	}
	u = u.Unit()
	v := n.Cross(u)
	p := make([]mesh.Vec, len(s.Corners))
	low, high := mesh.Vec{X: math.Inf(1), Y: math.Inf(1)}, mesh.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for i, c := range s.Corners {
		q := mesh.Of64(c)
		p[i] = mesh.Vec{X: q.Dot(u), Y: q.Dot(v), Z: q.Dot(n)}
		low.X, low.Y = min(low.X, p[i].X), min(low.Y, p[i].Y)
		high.X, high.Y = max(high.X, p[i].X), max(high.Y, p[i].Y)
	}
	r := &relief{nx: int(math.Round((high.X-low.X)/dot)) + 2, ny: int(math.Round((high.Y-low.Y)/dot)) + 2}
	r.high = make([]float64, r.nx*r.ny)
	for i := range r.high {
		r.high[i] = -1e9
	}
	for t := 0; t+2 < len(p); t += 3 {
		r.paint(p[t], p[t+1], p[t+2], low)
	}
	return r
}

// paint raises the dots under a triangle to it. Dot 0 is a margin.
func (r *relief) paint(a, b, c, low mesh.Vec) {
	n := b.Sub(a).Cross(c.Sub(a))
	if n.Z < 1e-6 {
		return
	}
	from := func(v, low float64) int { return max(0, int((v-low)/dot)-1) }
	for j := from(min(a.Y, b.Y, c.Y), low.Y); j < r.ny-1 && float64(j)*dot+low.Y <= max(a.Y, b.Y, c.Y); j++ {
		for i := from(min(a.X, b.X, c.X), low.X); i < r.nx-1 && float64(i)*dot+low.X <= max(a.X, b.X, c.X); i++ {
			x, y := low.X+(float64(i)+0.5)*dot, low.Y+(float64(j)+0.5)*dot
			inside := true
			for _, e := range [3][2]mesh.Vec{{a, b}, {b, c}, {c, a}} {
				inside = inside && (e[1].X-e[0].X)*(y-e[0].Y)-(e[1].Y-e[0].Y)*(x-e[0].X) >= -1e-7
			}
			if k := (j+1)*r.nx + i + 1; inside {
				r.high[k] = max(r.high[k], a.Z-((x-a.X)*n.X+(y-a.Y)*n.Y)/n.Z)
			}
		}
	}
}

// beside are the dots that touch one along a side; the same dot again past the edge.
func (r *relief) beside(k int) [4]int {
	at := func(ok bool, to int) int {
		if ok {
			return to
		}
		return k
	}
	return [4]int{at(k%r.nx > 0, k-1), at(k%r.nx < r.nx-1, k+1), at(k >= r.nx, k-r.nx), at(k < len(r.high)-r.nx, k+r.nx)}
}

// spread lists what touches a dot, from one dot to the next, of those that are asked for.
func (r *relief) spread(from int, seen []bool, wanted func(int) bool) []int {
	seen[from] = true
	list := []int{from}
	for i := 0; i < len(list); i++ {
		for _, k := range r.beside(list[i]) {
			if !seen[k] && wanted(k) {
				seen[k] = true
				list = append(list, k)
			}
		}
	}
	return list
}

// blob is a region with what lies around it.
type blob struct {
	Mark
	base int // region of most of what lies around
}

// marks lists the marks seen from one side.
func (r *relief) marks(look mesh.Vec) (found []Mark) {
	var regions [][]int
	seen := make([]bool, len(r.high))
	r.region = make([]int, len(r.high))
	for k, z := range r.high {
		if !seen[k] {
			for _, d := range r.spread(k, seen, func(o int) bool { return math.Abs(r.high[o]-z) < 0.01 }) {
				r.region[d] = len(regions)
			}
			regions = append(regions, nil)
		}
	}
	for k, g := range r.region {
		regions[g] = append(regions[g], k)
	}
	blobs := map[int]blob{}
	for g, dots := range regions {
		if b, ok := r.blobOf(g, dots, regions); ok {
			b.Look = look
			blobs[g] = b
		}
	}
	for _, b := range blobs {
		if _, on := blobs[b.base]; !on {
			found = append(found, b.Mark)
		}
	}
	return found
}

// blobOf judges one region; ok where it is a mark but for what it may lie on.
func (r *relief) blobOf(g int, dots []int, regions [][]int) (b blob, ok bool) {
	z, rim := r.high[dots[0]], 0
	sides := map[int]int{} // how long the outline is towards each other region
	for _, k := range dots {
		for _, o := range r.beside(k) {
			if r.region[o] != g {
				sides[r.region[o]]++
				rim++
			}
		}
	}
	steps := map[int]int{} // and to each other height, in hundredths
	up, down, most, ground := 0, 0, -1, map[int]int{}
	for o, n := range sides {
		d := r.high[regions[o][0]] - z
		if d > 0 {
			up += n
		} else {
			down += n
		}
		steps[int(math.Round(d*100))] += n
		ground[int(math.Round(d*100))] += len(regions[o])
	}
	for d, n := range steps {
		if n > steps[most] || most == -1 {
			most = d
		}
	}
	b.Step, b.Area = -float64(most)/100, float64(len(dots))*dot*dot
	size := math.Abs(b.Step)
	agree := float64(steps[most]) / float64(rim)
	other, larger := float64(min(up, down))/float64(rim), float64(ground[most])/float64(len(dots))
	if size < 0.05 || size > 2 || agree < 0.8 || other > 0.13 || b.Area < 0.1 || larger < 1.8 {
		return b, false
	}
	b.NearLimit = agree < 0.93 || other > 0.07 || larger < 2.2
	b.base = -1
	for o := range sides {
		if d := r.high[regions[o][0]] - z; int(math.Round(d*100)) == most && (b.base < 0 || len(regions[o]) > len(regions[b.base])) {
			b.base = o
		}
	}
	b.Stroke = strokeOf(b.Area, float64(rim)*dot, r.holes(g))
	return b, b.Stroke <= 3
}

// holes counts what a region encloses.
func (r *relief) holes(g int) int {
	seen := make([]bool, len(r.high))
	n := -1 // what lies around it is none
	for k, o := range r.region {
		if o != g && !seen[k] {
			r.spread(k, seen, func(d int) bool { return r.region[d] != g })
			n++
		}
	}
	return n
}

// strokeOf tries widths until the area comes out; beyond a square there is none, and the area
// by a quarter of the outline is taken.
func strokeOf(area, outline float64, holes int) float64 {
	holds := func(w float64) float64 { return w*outline/2 - w*w*float64(1-holes) }
	low, high := 0.0, outline/4
	if holds(high) < area {
		if holes == 0 {
			return 4 * area / outline
		}
		high = outline
	}
	for range 60 {
		if mid := (low + high) / 2; holds(mid) < area {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
