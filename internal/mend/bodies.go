package mend

import (
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// bodies are the closed shells of a surface, and the open ones joined over edges of
// more than two triangles: where the surface adds up, each bounds a volume of its own.
type bodies struct {
	of     []uint32  // of each shell
	volume []float64 // mm3, signed
	area   []float64 // mm2
}

func bodiesOf(t *mesh.Topology) *bodies {
	b := &bodies{of: make([]uint32, len(t.Shells)), volume: make([]float64, len(t.Shells)), area: make([]float64, len(t.Shells))}
	for i := range b.of {
		b.of[i] = uint32(i)
	}
	root := func(i uint32) uint32 {
		for b.of[i] != i {
			b.of[i] = b.of[b.of[i]]
			i = b.of[i]
		}
		return i
	}
	for i := range t.CrowdedEdges() {
		first := mesh.None
		for _, h := range t.CrowdedEdge(i) {
			if t.Shells[t.Shell[h/3]].Closed {
				continue
			}
			other := root(t.Shell[h/3])
			if first != mesh.None {
				b.of[max(first, other)] = min(first, other)
			}
			first = min(first, other)
		}
	}
	for i := range t.Shells {
		r := root(uint32(i))
		b.of[i] = r
		b.volume[r] += t.Shells[i].Volume
		b.area[r] += t.Shells[i].Area
	}
	return b
}

// sheetThickness is the mean thickness, in mm, below which a body counts as a sheet:
// far below any wall that can be printed.
const sheetThickness = 0.02

// findLoose adds up the sheets that enclose nothing and of which a good part was
// filled in: a patch of surface whose neighbours were not found gets its own mirror
// image as the other side.
func (w *work) findLoose() {
	b := bodiesOf(w.topo)
	filled := make([]float64, len(b.area))
	for i := range w.beside {
		t := uint32(w.given + i)
		if s := w.topo.Shell[t]; s != mesh.None {
			filled[b.of[s]] += w.normal(t).Len() / 2
		}
	}
	for i, area := range b.area {
		if own := area - filled[i]; filled[i] > own/2 && max(b.volume[i], -b.volume[i]) < sheetThickness*own {
			w.Loose += own
		}
	}
}

// votes is at how many places a body is looked at, at most.
const votes = 64

// turnShells turns every body round whose outer side has a negative winding: it is
// inside out. A cavity has none there, for it takes away from the body around it.
//
// Then a body of which a good part was wound either way, and that lies inside others
// without passing through their surface, is made a cavity: as a body it would be of no
// use there.
func (w *work) turnShells(tree func() (*spatial.Tree, error)) error {
	b := bodiesOf(w.topo)
	if slices.ContainsFunc(b.volume, func(v float64) bool { return v < 0 }) {
		outer, err := w.look(b, tree)
		if err != nil {
			return err
		}
		w.turn(b, func(body uint32) bool { return 2*outer[body].negative > outer[body].all })
	}
	unsure := w.unsureBodies(b)
	if !slices.Contains(unsure, true) {
		return nil
	}
	outer, err := w.look(b, w.search)
	if err != nil {
		return err
	}
	w.turn(b, func(body uint32) bool {
		o := &outer[body]
		return unsure[body] && o.all > 0 && o.least > 0 && o.least == o.most
	})
	return nil
}

// seen is the winding at places on the outer side of a body: how many there are, at how
// many it is negative, and the least and the most of it.
type seen struct{ all, negative, least, most int }

// look finds the winding on the outer side of each body.
func (w *work) look(b *bodies, tree func() (*spatial.Tree, error)) ([]seen, error) {
	search, err := tree()
	if err != nil {
		return nil, err
	}
	outer := make([]seen, len(b.of))
	w.spread(b, func(body, t uint32) {
		u := w.normal(t).Unit()
		a := w.at(w.tris[t][0]).Add(w.at(w.tris[t][1])).Add(w.at(w.tris[t][2])).Scale(1. / 3)
		n := search.Winding(a.Add(u.Scale(4*search.Resolution())), u)
		o := &outer[body]
		if o.all == 0 {
			o.least, o.most = n, n
		}
		o.least, o.most = min(o.least, n), max(o.most, n)
		o.all++
		if n < 0 {
			o.negative++
		}
	})
	return outer, nil
}

// turn turns the bodies for which wrong holds.
func (w *work) turn(b *bodies, wrong func(body uint32) bool) {
	for t, s := range w.topo.Shell {
		if s != mesh.None && wrong(b.of[s]) {
			w.flip(uint32(t))
		}
	}
}

// unsureBodies says which bodies hold triangles whose shell could have been wound the
// other way with nearly as good reason.
func (w *work) unsureBodies(b *bodies) []bool {
	unsure := make([]bool, len(b.of))
	for _, t := range w.unsure {
		if s := w.topo.Shell[t]; s != mesh.None {
			unsure[b.of[s]] = true
		}
	}
	return unsure
}

// spread calls f for triangles of each body, evenly by area: large ones often, of
// small ones some. Where bodies overlap, each is still seen from all around.
func (w *work) spread(b *bodies, f func(body, t uint32)) {
	sum := make([]float64, len(b.of))
	next := make([]float64, len(b.of))
	for t, s := range w.topo.Shell {
		if s == mesh.None {
			continue
		}
		body := b.of[s]
		step := b.area[body] / votes
		for sum[body] += w.normal(uint32(t)).Len() / 2; next[body]+step/2 < sum[body]; next[body] += step {
			f(body, uint32(t))
		}
	}
}
