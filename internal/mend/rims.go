package mend

import (
	"cmp"
	"slices"

	"printlint/internal/mesh"
)

// rim is an edge that is not simply shared by two triangles: how often it is run
// through from its lower to its higher end, less how often the other way.
type rim struct {
	low, high uint32
	net       int32
	length    float64
	at        [2]uint32 // its half-edges are rims.halves[at[0]:at[1]]
}

func (e *rim) crowded() bool { return e.at[1]-e.at[0] > 2 }

// rimShare is what one shell adds to the net of one rim.
type rimShare struct {
	shell, rim uint32
	net        int32
}

// rims is every such edge, and the shares of the shells, shell by shell.
type rims struct {
	list   []rim
	halves []uint32
	shares []rimShare
	heads  []uint32 // shares of shell s are heads[s] up to heads[s+1]
	order  []uint32 // shells by rising area
}

func (r *rims) of(shell uint32) []rimShare { return r.shares[r.heads[shell]:r.heads[shell+1]] }

// rims gathers the edges that may not add up.
func (w *mending) rims() *rims {
	r := &rims{}
	for _, h := range w.topo.Open {
		w.addRim(r, h)
	}
	for _, h := range w.topo.Reversed {
		w.addRim(r, h, w.topo.Twin[h])
	}
	for i := range w.topo.CrowdedEdges() {
		w.addRim(r, w.topo.CrowdedEdge(i)...)
	}
	r.merge()
	r.heads = make([]uint32, len(w.topo.Shells)+1)
	for _, s := range r.shares {
		r.heads[s.shell+1]++
	}
	r.order = make([]uint32, len(w.topo.Shells))
	for s := range w.topo.Shells {
		r.heads[s+1] += r.heads[s]
		r.order[s] = uint32(s)
	}
	slices.SortFunc(r.order, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(w.topo.Shells[a].Area, w.topo.Shells[b].Area), cmp.Compare(a, b))
	})
	return r
}

// merge sorts the shares and makes one of those of one shell in one rim.
func (r *rims) merge() {
	slices.SortFunc(r.shares, func(a, b rimShare) int {
		return cmp.Or(cmp.Compare(a.shell, b.shell), cmp.Compare(a.rim, b.rim))
	})
	kept := r.shares[:0]
	for _, s := range r.shares {
		if n := len(kept); n > 0 && kept[n-1].shell == s.shell && kept[n-1].rim == s.rim {
			kept[n-1].net += s.net
		} else {
			kept = append(kept, s)
		}
	}
	r.shares = kept
}

// addRim adds one edge, given the half-edges along it.
func (w *mending) addRim(r *rims, halves ...uint32) {
	id := uint32(len(r.list))
	m := w.mesh()
	a, b := m.Ends(halves[0])
	at := uint32(len(r.halves))
	e := rim{low: min(a, b), high: max(a, b), length: w.at(a).Sub(w.at(b)).Len(), at: [2]uint32{at, at + uint32(len(halves))}}
	r.halves = append(r.halves, halves...)
	for _, h := range halves {
		net := int32(1)
		if first(m, h) == e.high {
			net = -1
		}
		e.net += net
		r.shares = append(r.shares, rimShare{w.topo.Shell[h/3], id, net})
	}
	r.list = append(r.list, e)
}

// gain is by how much the length of edges that do not add up falls when the share of
// a shell is taken times times.
func (r *rims) gain(shell uint32, times int32) float64 {
	sum := 0.0
	for _, s := range r.of(shell) {
		e := &r.list[s.rim]
		sum += e.length * float64(abs(e.net)-abs(e.net-times*s.net))
	}
	return sum
}

// take takes the share of a shell away, times times.
func (r *rims) take(shell uint32, times int32) {
	for i, s := range r.of(shell) {
		r.list[s.rim].net -= times * s.net
		r.of(shell)[i].net -= times * s.net
	}
}

func abs(n int32) int32 { return max(n, -n) }

// passes bounds how often parts are gone through; a part turned may let another turn
// (judgement).
const passes = 4

// flipParts turns parts of the surface that hang on edges of more than two triangles
// and are wound against what they hang on, the smallest first.
func (w *mending) flipParts(r *rims) {
	turn := make([]bool, len(w.topo.Shells))
	changed := true
	for pass := 0; pass < passes && changed; pass++ {
		changed = false
		for _, s := range r.order {
			if r.gain(s, 2) > 0 {
				r.take(s, 2)
				turn[s] = !turn[s]
				changed = true
			}
		}
	}
	for t, s := range w.topo.Shell {
		if s != mesh.None && turn[s] {
			w.flip(uint32(t))
		}
	}
}

// membraneFlat is the least that the vector area of a membrane is of its area: a flat
// sheet has all of it, a closed surface nothing (judgement).
const membraneFlat = 0.8

// leaveOutMembranes leaves out parts without which the surface adds up where they hang
// on it: faces that divide the inside of a body, the smallest first. A part whose edges
// are open for the most part is a surface with a hole, and stays, and so does one that
// bends round a body.
func (w *mending) leaveOutMembranes(r *rims) {
	out := make([]bool, len(w.topo.Shells))
	vector := make([]mesh.Vec, len(w.topo.Shells))
	for t, s := range w.topo.Shell {
		if s != mesh.None {
			vector[s] = vector[s].Add(w.normal(uint32(t)))
		}
	}
	for _, s := range r.order {
		flat := vector[s].Len()/2 > membraneFlat*w.topo.Shells[s].Area
		if out[s] = flat && r.membrane(s); out[s] {
			r.take(s, 1)
		}
	}
	for t, s := range w.topo.Shell {
		if s != mesh.None && out[s] {
			w.leaveOut(uint32(t))
			w.Membranes++
		}
	}
}

// membrane says that the surface adds up along the rim of a shell once that is gone,
// and that most of this rim lies on other parts.
func (r *rims) membrane(shell uint32) bool {
	attached, all := 0.0, 0.0
	for _, s := range r.of(shell) {
		e := &r.list[s.rim]
		if s.net == 0 {
			continue
		}
		if e.net != s.net {
			return false
		}
		all += e.length
		if e.crowded() {
			attached += e.length
		}
	}
	return attached > all/2
}
