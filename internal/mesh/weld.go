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
// the same. Vertices are in order of first use and triangles in the order of s. The
// mesh shares the source of s; it does not keep its corners.
func Weld(s *Triangles) *Mesh {
	n := s.Count()
	w := welder{verts: make([]Point, 0, n/2+n/16+8)}
	w.resize(bits.Len(uint(n + 8)))
	tris := make([]Tri, n)
	for i := 0; i < n; i += weldBlock {
		block := tris[i:min(i+weldBlock, n)]
		w.look(s.Corners[3*i : 3*(i+len(block))])
		for j := range block {
			c := w.list[3*j : 3*j+3 : 3*j+3]
			block[j] = Tri{w.index(&c[0]), w.index(&c[1]), w.index(&c[2])}
		}
	}
	return &Mesh{Verts: w.verts, Tris: tris, Source: s.Source}
}

// weldBlock is how many triangles are looked up at a time: enough to wait for the
// memory of many at once, few enough that what came stays in the nearest cache.
const weldBlock = 64

// welder is an open-addressing table from positions to vertex numbers.
type welder struct {
	verts []Point
	slots []uint32 // vertex number + 1; 0 is free
	shift uint     // takes a hash to a slot
	limit int      // grow when there might be more vertices than this
	list  [3 * weldBlock]corner
	came  uint32 // keeps the early reads of look from being left out
}

// key is the bits of a position, the same for both zeros.
type key struct{ x, y, z uint32 }

func keyOf(p *Point) key { return key{zeroBits(p[0]), zeroBits(p[1]), zeroBits(p[2])} }

func zeroBits(x float32) uint32 {
	b := math.Float32bits(x)
	if b == 1<<31 {
		b = 0
	}
	return b
}

// corner is a position and the slot at which the search for it begins.
type corner struct {
	key
	at uint32
}

// resize makes a table of 2^log slots, at most five in eight of them used.
func (w *welder) resize(log int) {
	w.slots = make([]uint32, 1<<log)
	w.shift = uint(64 - log)
	w.limit = len(w.slots) / 8 * 5
	mask := uint64(len(w.slots) - 1)
	for i := range w.verts {
		at := hashPoint(keyOf(&w.verts[i])) >> w.shift
		for w.slots[at] != 0 {
			at = (at + 1) & mask
		}
		w.slots[at] = uint32(i) + 1
	}
}

// look finds the slots at which the search for a block of corners begins. It reads
// them all, one after the other without a choice in between, so that the processor
// fetches many of them at a time: in a file in random order nearly every one has to
// come from far.
func (w *welder) look(corners []Point) {
	for len(w.verts)+len(corners) >= w.limit {
		w.resize(bits.Len(uint(len(w.slots))))
	}
	list := w.list[:len(corners)]
	slots, shift, came := w.slots, w.shift, w.came
	for i := range corners {
		k := keyOf(&corners[i])
		slot := uint32(hashPoint(k) >> shift)
		list[i] = corner{k, slot}
		came += slots[slot]
	}
	w.came = came
}

// index returns the vertex at a corner, a new one if there is none yet.
func (w *welder) index(c *corner) uint32 {
	mask, at := uint32(len(w.slots)-1), c.at
	for {
		v := w.slots[at&mask]
		if v == 0 {
			break
		}
		p := &w.verts[v-1]
		if math.Float32bits(p[0]) == c.x && math.Float32bits(p[1]) == c.y && math.Float32bits(p[2]) == c.z {
			return v - 1
		}
		at++
	}
	w.verts = append(w.verts, Point{math.Float32frombits(c.x), math.Float32frombits(c.y), math.Float32frombits(c.z)})
	w.slots[at&mask] = uint32(len(w.verts))
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
func hashPoint(k key) uint64 {
	hi, lo := bits.Mul64(uint64(k.x)<<32|uint64(k.y)^weldSeed[0], 0x9e3779b97f4a7c15)
	hi, lo = bits.Mul64(hi^lo^uint64(k.z), weldSeed[1])
	return hi ^ lo
}
