package advise

import (
	"cmp"
	"context"
	"math"
	"slices"

	"printlint/internal/cut"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/work"
)

// plane is where a model may be cut in two, in the file's own frame, with its cheap score.
type plane struct {
	normal               mesh.Vec
	offset               float64
	hang                 float64 // mm2 of undersides that the pieces have, each laid the better way
	section              float64 // mm2 that both pieces have in the plane: what is glued
	seam                 float64 // how much of its outline stays to be seen, in mm
	footAbove, footBelow float64 // mm2 on which the pieces can stand, the one below turned over
	middle               float64 // how far it lies from the middle, 0 to 1
}

// How many normals are looked at, how many heights along each, how many planes of one normal
// are taken up, and how far apart these are at least, as a share of the extent. Judgement, no
// source.
const (
	mostNormals = 12
	heightSteps = 64
	alongOne    = 3
	planesApart = 0.06
)

// leastSection is the area in mm2 from which a section is a foot, and holds glue. thinnest
// is the share of the extent that a piece has at least. Judgement, no source.
const (
	leastSection = 60.0
	thinnest     = 0.05
)

// noFoot is what counts as hanging of a piece that has nothing to stand on, in mm2.
const noFoot = float64(1e6)

// planes lists where a cut is worth judging, the best first, and pairs of cuts along one normal.
func planes(ctx context.Context, m *mesh.Mesh, normals []mesh.Vec, angle float64) (all []plane, pairs []pair, err error) {
	for _, n := range normals {
		if err := work.Of(ctx).Spend(planeCost * int64(len(m.Tris))); err != nil {
			return nil, nil, err
		}
		s := newSlope(m, fine(n), angle)
		list := s.scored(s.offsets())
		all = append(all, s.spread(list)...)
		pairs = append(pairs, s.pairs(list)...)
	}
	sortPlanes(all)
	sortPairs(pairs)
	return all, pairs, nil
}

// planeCost is what looking along one normal costs in work for each triangle, about.
const planeCost = 60

// sortPlanes puts first what leaves the least hanging and the shortest seam, then what lies
// nearer to the middle, then the largest section: it is the joint. Of two ends the upper one is
// taken off, and the rest stays as it lies.
func sortPlanes(list []plane) {
	slices.SortStableFunc(list, func(a, b plane) int {
		return cmp.Or(
			cmp.Compare(math.Round(a.cost()), math.Round(b.cost())),
			cmp.Compare(math.Round(50*a.middle), math.Round(50*b.middle)),
			-cmp.Compare(step(a.section/10), step(b.section/10)),
			-cmp.Compare(a.offset, b.offset),
		)
	})
}

// How many mm2 that hang, and how many mm of seam to fill and sand, weigh as much as a minute
// of work; by how many mm2 the minutes are divided that a weak joint weighs; what a plane that
// is square to no axis, which is harder to draw, costs in minutes. A seam in a corner, where one
// of the sections is so many times larger than the other, is hardly seen and costs half.
// Judgement, no source.
const (
	hangWeighs = 10.0
	seamWeighs = 20.0
	weakWeighs = 200.0
	askewWork  = 5.0
	cornerFrom = 1.5
)

// cost is what speaks against a plane, in minutes.
func (p *plane) cost() float64 {
	sum := p.hang/hangWeighs + p.seamWork() + weakWeighs/max(p.section, 1)
	if n := p.normal; max(math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)) < 1-1e-9 {
		sum += askewWork
	}
	return sum
}

// seamWork is what it takes to make the seam fit to be seen, in minutes.
func (p *plane) seamWork() float64 { return p.seam / seamWeighs }

// drawnSquare is the share of faces square to the axes from which a model is a drawn part: a
// slanting cut would go through its holes and slots. Judgement, no source.
const drawnSquare = 0.4

// square is the share of the surface that lies square to an axis.
func square(m *mesh.Mesh) float64 {
	straight, all := 0.0, 0.0
	for i := range m.Tris {
		n := m.Normal(i)
		length := n.Len()
		all += length
		if max(math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)) > 0.9999*length {
			straight += length
		}
	}
	return straight / max(all, 1e-9)
}

// normals are those along which to look for planes: the axes, the principal axes, and the
// directions of large faces and of good ways up.
func normals(m *mesh.Mesh, list []pose.Candidate) []mesh.Vec {
	all := []mesh.Vec{{Z: 1}, {Y: 1}, {X: 1}}
	take := func(n mesh.Vec) {
		near := func(k mesh.Vec) bool { return math.Abs(k.Dot(n)) > 0.996 } // 5 deg
		if len(all) < mostNormals && !slices.ContainsFunc(all, near) {
			all = append(all, n)
		}
	}
	if square(m) >= drawnSquare {
		return all
	}
	for _, n := range m.Spread().Axis {
		take(pose.Whole(n.Scale(-1)).Scale(-1))
	}
	large := slices.Clone(list)
	slices.SortStableFunc(large, func(a, b pose.Candidate) int { return -cmp.Compare(step(a.Contact), step(b.Contact)) })
	for i := 0; i < min(len(large), 3*mostNormals); i++ {
		if large[i].Contact >= leastSection {
			take(large[i].Down.Scale(-1))
		}
	}
	for i := 0; i < min(len(list), mostNormals); i++ { // by score
		take(list[i].Down.Scale(-1))
	}
	return all
}

// slope is a mesh seen along one normal.
type slope struct {
	mesh           *mesh.Mesh
	normal         mesh.Vec
	lo, hi         float64
	ups, downs     heights // faces that would hang if the normal pointed down, and up
	onTop, onFloor float64 // mm2 of flat faces at the ends
	flats          []float64
}

// heights are areas by height, in order, and their sums from the lowest on.
type heights struct {
	at, area []float64
	sums     []float64
}

// flush is up to how far from a level, in mm, a face lies in it.
const flush = 0.05

func newSlope(m *mesh.Mesh, n mesh.Vec, angle float64) *slope {
	s := &slope{mesh: m, normal: n, lo: math.Inf(1), hi: math.Inf(-1)}
	for _, v := range m.Verts {
		h := n.Dot(mesh.Of64(v))
		s.lo, s.hi = min(s.lo, h), max(s.hi, h)
	}
	steep, levels := math.Sin(angle*math.Pi/180), levels{}
	for i := range m.Tris {
		normal := m.Normal(i)
		length := normal.Len()
		cosine := normal.Dot(n) / length
		if !(math.Abs(cosine) > steep) {
			continue
		}
		a, b, c := m.Corners(i)
		h, area := n.Dot(a.Add(b).Add(c))/3, float64(math.Abs(cosine)*length/2)
		ups := cosine > 0
		flat := math.Abs(cosine) > 0.9999
		switch {
		case flat && ups && h > s.hi-flush:
			s.onTop += area
			continue
		case flat && !ups && h < s.lo+flush:
			s.onFloor += area
			continue
		}
		if flat {
			levels.add(n.Dot(a), area, ups)
		}
		if ups {
			s.ups.add(h, area)
		} else {
			s.downs.add(h, area)
		}
	}
	s.ups.sum()
	s.downs.sum()
	s.flats = levels.flats()
	return s
}

func (h *heights) add(at, area float64) { h.at, h.area = append(h.at, at), append(h.area, area) }

// sum puts the areas in order.
func (h *heights) sum() {
	order := make([]int, len(h.at))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(h.at[a], h.at[b]) })
	at, sums, sum := make([]float64, len(order)), make([]float64, len(order)+1), 0.0
	for i, k := range order {
		at[i] = h.at[k]
		sum += h.area[k]
		sums[i+1] = sum
	}
	h.at, h.sums = at, sums
}

// below is the area below a height, and above the area above it.
func (h *heights) below(z float64) float64 {
	i, _ := slices.BinarySearch(h.at, z)
	return h.sums[i]
}

func (h *heights) above(z float64) float64 { return h.sums[len(h.sums)-1] - h.below(z) }

// offsets are the heights at which a cut along the normal is looked at.
func (s *slope) offsets() []float64 {
	extent := s.hi - s.lo
	var offsets []float64
	for i := 1; i < heightSteps; i++ {
		offsets = append(offsets, math.Round(10*(s.lo+float64(extent*float64(i)/heightSteps)))/10)
	}
	offsets = append(offsets, s.flats...)
	return slices.DeleteFunc(offsets, func(o float64) bool { return o < s.lo+float64(thinnest*extent) || o > s.hi-float64(thinnest*extent) })
}

// spread takes the best of a list, some way apart, and puts it in order.
func (s *slope) spread(list []plane) (best []plane) {
	sortPlanes(list)
	for _, p := range list {
		near := func(k plane) bool { return math.Abs(k.offset-p.offset) < planesApart*(s.hi-s.lo) }
		if len(best) < alongOne && p.section >= leastSection/2 && !slices.ContainsFunc(best, near) {
			best = append(best, p)
		}
	}
	return best
}

// scored gives planes at offsets their cheap scores.
func (s *slope) scored(offsets []float64) []plane {
	posed, place := s.mesh.Posed(pose.MatrixTo(s.normal.Scale(-1)))
	count := len(offsets)
	at := make([]float64, 2*count) // just above and just below each: the feet of the two pieces
	for i, o := range offsets {
		at[i], at[count+i] = o-place.Drop, o-place.Drop-flush/2
	}
	list, sections := make([]plane, count), cut.Sections(posed, at)
	for i, o := range offsets {
		above, below := sections[i], sections[count+i]
		joint, other := above, below
		if below.Area < above.Area {
			joint, other = below, above
		}
		if other.Area >= cornerFrom*joint.Area {
			joint.Rim /= 2
		}
		list[i] = plane{
			normal: s.normal, offset: o, section: joint.Area, seam: joint.Rim, footAbove: above.Area, footBelow: below.Area,
			middle: math.Abs(2*(o-s.lo)/(s.hi-s.lo) - 1),
		}
		list[i].hang = s.hangsAbove(&list[i]) + s.hangsBelow(&list[i])
	}
	return list
}

// hangsAbove is what hangs of what lies above a plane, laid on the cut or on the flat at its
// other end.
func (s *slope) hangsAbove(p *plane) float64 {
	hang := noFoot
	if p.footAbove >= leastSection {
		hang = s.downs.above(p.offset + flush)
	}
	if s.onTop >= leastSection {
		hang = min(hang, s.ups.above(p.offset+flush))
	}
	return hang
}

// hangsBelow is the same of what lies below.
func (s *slope) hangsBelow(p *plane) float64 {
	hang := noFoot
	if p.footBelow >= leastSection {
		hang = s.ups.below(p.offset - flush)
	}
	if s.onFloor >= leastSection {
		hang = min(hang, s.downs.below(p.offset-flush))
	}
	return hang
}
