package mesh

import (
	"cmp"
	"slices"

	"printlint/internal/geom"
)

// copies is what is learnt about second copies of triangles edge by edge.
type copies struct {
	// beside are pairs of copies along the same edge.
	beside [][2]uint32
	// excess are copies along edges that do not add up with them.
	excess []uint32
}

// balance is how much more often an edge is run through one way than the other.
func balance(group []uint64) int {
	sum := len(group)
	for _, p := range group {
		sum -= 2 * int(p&1)
	}
	return sum
}

// dropCopies returns the half-edges without those of second copies of a triangle,
// which run the same way and have the same third corner as an earlier one. Whole is
// the balance of all of them.
func (e *edges) dropCopies(group []uint64, whole int) []uint64 {
	e.group = append(e.group[:0], group...)
	slices.SortFunc(e.group, func(a, b uint64) int {
		return cmp.Or(cmp.Compare(a&1, b&1), cmp.Compare(e.third(a), e.third(b)), cmp.Compare(a, b))
	})
	kept := e.group[:1]
	before := None
	for _, p := range e.group[1:] {
		last := kept[len(kept)-1]
		if p&1 != last&1 || e.third(p) != e.third(last) {
			kept = append(kept, p)
			continue
		}
		t := half(p) / 3
		e.t.Duplicate = append(e.t.Duplicate, t)
		if whole != 0 {
			e.excess = append(e.excess, t)
		}
		if before != None {
			e.beside = append(e.beside, [2]uint32{before, t})
		}
		before = t
	}
	slices.Sort(kept)
	return kept
}

// third returns the corner across a half-edge.
func (e *edges) third(packed uint64) uint32 {
	h := half(packed)
	return e.mesh.Tris[h/3][(h+2)%3]
}

// findSpare decides which copies are needed, patch by patch: copies that hang together
// over edges are needed when all their edges add up with them. The rim of a patch that
// was only copied runs through its edges once too often.
func (e *edges) findSpare() {
	list := e.t.Duplicate
	if len(list) == 0 {
		return
	}
	sets := geom.Sets[uint32](nil).Grow(len(list))
	at := func(t uint32) uint32 {
		n, _ := slices.BinarySearch(list, t)
		return uint32(n)
	}
	for _, pair := range e.beside {
		sets.Join(at(pair[0]), at(pair[1]))
	}
	spare := make([]bool, len(list))
	for _, t := range e.excess {
		spare[sets.Root(at(t))] = true
	}
	for _, t := range list {
		if spare[sets.Root(at(t))] {
			e.t.Spare = append(e.t.Spare, t)
		}
	}
}
