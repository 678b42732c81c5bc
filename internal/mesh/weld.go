package mesh

import (
	"math"
	"math/bits"
	"math/rand/v2"
)

// weldSeed is drawn anew for every process, so that nobody can write a file whose
// corners all fall on one slot. It steers only where a corner is looked up, never
// the result.
var weldSeed = [2]uint64{rand.Uint64() | 1, rand.Uint64() | 1}

// Weld makes one vertex of all corners at exactly the same position; -0 and +0 are
// the same. Vertices are in order of first use and triangles in the order of the
// soup. The soup's source is handed on, its corners are not kept.
func Weld(s *Soup) *Mesh {
	n := s.Triangles()
	w := welder{verts: make([]Point, 0, n/2+n/16+8)}
	w.resize(bits.Len(uint(n + 8)))
	tris := make([]Tri, n)
	for i := range tris {
		c := s.Corners[3*i : 3*i+3 : 3*i+3]
		tris[i] = Tri{w.index(c[0]), w.index(c[1]), w.index(c[2])}
	}
	return &Mesh{Verts: w.verts, Tris: tris, Source: s.Source}
}

// welder is an open-addressing table from positions to vertex numbers.
type welder struct {
	verts []Point
	slots []uint32 // vertex number + 1; 0 is free
	shift uint     // takes a hash to a slot
	limit int      // grow when there are this many vertices
}

// resize makes a table of 2^log slots, at most five in eight of them used.
func (w *welder) resize(log int) {
	w.slots = make([]uint32, 1<<log)
	w.shift = uint(64 - log)
	w.limit = len(w.slots) / 8 * 5
	mask := uint64(len(w.slots) - 1)
	for i, p := range w.verts {
		at := hashPoint(p) >> w.shift
		for w.slots[at] != 0 {
			at = (at + 1) & mask
		}
		w.slots[at] = uint32(i) + 1
	}
}

// index returns the vertex at p, a new one if there is none yet.
func (w *welder) index(p Point) uint32 {
	p = Point{plusZero(p[0]), plusZero(p[1]), plusZero(p[2])}
	mask := uint64(len(w.slots) - 1)
	at := hashPoint(p) >> w.shift
	for {
		v := w.slots[at]
		if v == 0 {
			break
		}
		if w.verts[v-1] == p {
			return v - 1
		}
		at = (at + 1) & mask
	}
	w.verts = append(w.verts, p)
	w.slots[at] = uint32(len(w.verts))
	if len(w.verts) >= w.limit {
		w.resize(bits.Len(uint(len(w.slots))))
	}
	return uint32(len(w.verts) - 1)
}

// plusZero returns x with the sign of zero taken away.
func plusZero(x float32) float32 {
	if x == 0 {
		return 0
	}
	return x
}

// hashPoint mixes the bits of a position by two long multiplications whose halves
// are folded together.
func hashPoint(p Point) uint64 {
	xy := uint64(math.Float32bits(p[0]))<<32 | uint64(math.Float32bits(p[1]))
	hi, lo := bits.Mul64(xy^weldSeed[0], 0x9e3779b97f4a7c15)
	hi, lo = bits.Mul64(hi^lo^uint64(math.Float32bits(p[2])), weldSeed[1])
	return hi ^ lo
}
