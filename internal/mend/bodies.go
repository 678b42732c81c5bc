package mend

import (
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// bodies are the closed shells of a surface, and the open ones joined over edges of
// more than two triangles: where the surface adds up, each bounds a volume of its own.
type bodies struct {
	of     geom.Sets[uint32] // of each shell, its body, named by the first shell of it
	volume []float64         // mm3, signed
	area   []float64         // mm2
}

func (w *mending) bodies() *bodies {
	m, t := w.mesh(), w.topo
	b := &bodies{of: geom.Sets[uint32](nil).Grow(len(t.Shells)), volume: make([]float64, len(t.Shells)), area: make([]float64, len(t.Shells))}
	var open []uint32
	for i := range t.CrowdedEdges() {
		open = open[:0]
		for _, h := range t.CrowdedEdge(i) {
			if !t.Shells[t.Shell[h/3]].Closed {
				open = append(open, h)
			}
		}
		for len(open) > 1 {
			w.spend(stepCost*min(len(open), pairing)*min(len(open), pairing) + len(open))
			p, q := flattest(m, open)
			if p < 0 {
				break
			}
			b.of.Join(t.Shell[open[p]/3], t.Shell[open[q]/3])
			open = slices.Delete(open, q, q+1)
			open = slices.Delete(open, p, p+1)
		}
	}
	for i := range t.Shells {
		r := b.of.Root(uint32(i))
		b.of[i] = r
		b.volume[r] += t.Shells[i].Volume
		b.area[r] += t.Shells[i].Area
	}
	return b
}

// pairing bounds the half-edges of one edge among which the flattest pair is sought: the
// work grows with its square (judgement).
const pairing = 32

// flattest finds the two of the half-edges along one edge that run opposite ways and
// whose triangles go on most nearly in a plane: where two surfaces cross, each goes on
// on its own. It returns p < q, or -1 where all run the same way.
func flattest(m *mesh.Mesh, halves []uint32) (p, q int) {
	p, q = -1, -1
	best := math.Inf(1)
	some := halves[:min(len(halves), pairing)]
	for i, h := range some {
		for j := i + 1; j < len(some); j++ {
			if first(m, h) == first(m, some[j]) {
				continue
			}
			if d := across(m, h).Dot(across(m, some[j])); d < best {
				best, p, q = d, i, j
			}
		}
	}
	return p, q
}

// across is the direction in which the triangle of a half-edge leads away from it.
func across(m *mesh.Mesh, h uint32) mesh.Vec {
	t := m.Tris[h/3]
	a, b, c := mesh.Of64(m.Verts[t[h%3]]), mesh.Of64(m.Verts[t[(h+1)%3]]), mesh.Of64(m.Verts[t[(h+2)%3]])
	edge := b.Sub(a).Unit()
	away := c.Sub(a)
	return away.Sub(edge.Scale(edge.Dot(away))).Unit()
}

// sheetThickness is the mean thickness, in mm, below which a body counts as a sheet:
// far below any wall that can be printed (judgement).
const sheetThickness = 0.02

// findLoose adds up the sheets that enclose nothing and of which a good part was
// filled in: a patch of surface whose neighbours were not found gets its own mirror
// image as the other side.
func (w *mending) findLoose() {
	b := w.bodies()
	filled := w.filledOf(b)
	for i, area := range b.area {
		if own := area - filled[i]; filled[i] > own/2 && b.isSheet(uint32(i)) {
			w.Loose += own
		}
	}
}

// filledOf is the area of each body that was spanned over holes.
func (w *mending) filledOf(b *bodies) []float64 {
	filled := make([]float64, len(b.area))
	for i := range w.beside {
		t := uint32(w.given + i)
		if s := w.topo.Shell[t]; s != mesh.None {
			filled[b.of[s]] += w.normal(t).Len() / 2
		}
	}
	return filled
}

// isSheet says that a body has next to no volume for its area, which counts both sides.
func (b *bodies) isSheet(i uint32) bool {
	return max(b.volume[i], -b.volume[i]) < sheetThickness*b.area[i]/2
}

// votes is at how many places a body is looked at, at most (judgement).
const votes = 64

// turnShells turns every body round whose outer side has a negative winding: it is
// inside out. A cavity has none there, for it takes away from the body around it. What
// is neither, or touches what it is wound against, is counted as cancelled.
//
// Then a body of which a good part was wound either way, and that lies inside others
// without passing through their surface, is made a cavity: as a body it would be of no
// use there.
func (w *mending) turnShells(tree func() (*spatial.Tree, error)) error {
	b := w.bodies()
	if slices.ContainsFunc(b.volume, func(v float64) bool { return v < 0 }) {
		outer, err := w.look(b, func(uint32) bool { return true }, tree)
		if err != nil {
			return err
		}
		wrong := func(body uint32) bool { return 2*outer[body].negative > outer[body].all }
		w.countCancelled(b, outer, wrong)
		w.turn(b, wrong)
	}
	unsure := w.unsureBodies(b)
	if !slices.Contains(unsure, true) {
		return nil
	}
	// A turned triangle numbers its sides in another order. Shells keep their numbers.
	w.topo = w.mesh().Topology()
	outer, err := w.look(b, func(body uint32) bool { return unsure[body] }, w.search)
	if err != nil {
		return err
	}
	w.turn(b, func(body uint32) bool {
		o := &outer[body]
		return unsure[body] && o.all > 0 && o.least > 0 && o.least == o.most
	})
	return nil
}

// outerWinding is the winding at places on the outer side of a body: how many there are, at how
// many it is negative, and the least and the most of it; and how many have nothing solid
// beyond the surface.
type outerWinding struct{ all, negative, least, most, bare int }

// look finds the winding on the outer side of the bodies that are asked for.
func (w *mending) look(b *bodies, asked func(body uint32) bool, tree func() (*spatial.Tree, error)) ([]outerWinding, error) {
	search, err := tree()
	if err != nil {
		return nil, err
	}
	outer := make([]outerWinding, len(b.of))
	w.spread(b, func(body, t uint32, places int) {
		if !asked(body) {
			return
		}
		u := w.normal(t).Unit()
		a := w.middle(t)
		n := w.winding(search, a.Add(u.Scale(4*search.Resolution())), u)
		o := &outer[body]
		if o.all == 0 {
			o.least, o.most = n, n
		}
		o.least, o.most = min(o.least, n), max(o.most, n)
		o.all += places
		if n < 0 {
			o.negative += places
		}
		if w.winding(search, a.Sub(u.Scale(4*search.Resolution())), u.Scale(-1)) < 1 {
			o.bare += places
		}
	})
	return outer, nil
}

// farthest is beyond all that a surface of float32 corners can reach.
const farthest = 1e30

// winding is how often the surface winds around a point, as spatial.Tree.Winding has it,
// with its work counted: a look may pass through thousands of surfaces.
func (w *mending) winding(search *spatial.Tree, p, dir mesh.Vec) int {
	w.hits = search.Hits(p, dir, 0, farthest, w.hits[:0])
	w.spend(lookCost + hitCost*len(w.hits))
	n := 0
	for _, h := range w.hits {
		if h.Into {
			n--
		} else {
			n++
		}
	}
	return n
}

// turn turns the bodies for which wrong holds, if they add up on their own: not where a
// filled hole has left one triangle in two places.
func (w *mending) turn(b *bodies, wrong func(body uint32) bool) {
	stuck := make([]bool, len(b.of))
	r := w.rims()
	for i := range r.shares {
		r.shares[i].shell = b.of[r.shares[i].shell]
	}
	r.merge()
	for _, s := range r.shares {
		stuck[s.shell] = stuck[s.shell] || s.net != 0
	}
	for t, s := range w.topo.Shell {
		if s != mesh.None && !stuck[b.of[s]] && wrong(b.of[s]) {
			w.flip(uint32(t))
		}
	}
}

// unsureBodies says which bodies hold triangles whose shell could have been wound the
// other way with nearly as good reason.
func (w *mending) unsureBodies(b *bodies) []bool {
	unsure := make([]bool, len(b.of))
	for _, t := range w.unsure {
		if s := w.topo.Shell[t]; s != mesh.None {
			unsure[b.of[s]] = true
		}
	}
	return unsure
}

// spread calls f for triangles of each body, evenly by area: for one with the number of
// places that fall on it. Where bodies overlap, each is still seen from all around.
// Sheets have no inside and are passed over.
func (w *mending) spread(b *bodies, f func(body, t uint32, places int)) {
	sum := make([]float64, len(b.of))
	next := make([]float64, len(b.of))
	for t, s := range w.topo.Shell {
		if s == mesh.None || b.isSheet(b.of[s]) {
			continue
		}
		body := b.of[s]
		step := b.area[body] / votes
		sum[body] += w.normal(uint32(t)).Len() / 2
		places := 0
		for ; next[body]+step/2 < sum[body]; next[body] += step {
			places++
		}
		if places > 0 {
			f(body, uint32(t), places)
		}
	}
}
