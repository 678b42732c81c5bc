package thin

import (
	"math"

	"printlint/internal/mesh"
)

// leafSize is how many triangles, neighbours in the order of the tree, are looked at
// together first. A chunk is a whole number of bunches.
const leafSize = 8

// bounds bounds triangles: a box of their corners, and one of their normals away from
// the material, of length 1.
type bounds struct {
	low, high             [3]float32
	lowNormal, highNormal [3]float32
}

func emptyBounds() bounds {
	const most = math.MaxFloat32
	low, high := [3]float32{most, most, most}, [3]float32{-most, -most, -most}
	return bounds{low, high, low, high}
}

// include grows the span to hold another.
func (s *bounds) include(o *bounds) {
	for k := range 3 {
		s.low[k], s.high[k] = min(s.low[k], o.low[k]), max(s.high[k], o.high[k])
		s.lowNormal[k], s.highNormal[k] = min(s.lowNormal[k], o.lowNormal[k]), max(s.highNormal[k], o.highNormal[k])
	}
}

// touches says that the boxes of the corners have a point in common.
func (s *bounds) touches(o *bounds) bool {
	return s.low[0] <= o.high[0] && o.low[0] <= s.high[0] &&
		s.low[1] <= o.high[1] && o.low[1] <= s.high[1] &&
		s.low[2] <= o.high[2] && o.low[2] <= s.high[2]
}

// opposes says that a normal of the one could face one of the other.
func (s *bounds) opposes(o *bounds) bool {
	const slack = 1e-4 // a hundred times what float32 takes
	var least float32  // a bound of the cosine between two normals
	for k := range 3 {
		a, b, c, d := s.lowNormal[k], s.highNormal[k], o.lowNormal[k], o.highNormal[k]
		least += min(float32(a*c), float32(a*d), float32(b*c), float32(b*d))
	}
	return -least >= facing-slack
}

// facingTree tells from bounds alone where a surface has nothing that faces it within the
// limit. That is so for most of a surface, and it then needs no rays. It is a heap: the
// span of node i, from 1, holds those of 2i and 2i+1, and the bunches are its leaves.
type facingTree struct {
	nodes []bounds
	first int // node of the first bunch
}

// newFacingTree bounds the triangles in the order of the tree.
func (f *finder) newFacingTree(order []uint32) facingTree {
	bunches := (len(order) + leafSize - 1) / leafSize
	s := facingTree{make([]bounds, 2*bunches), bunches}
	for b := range bunches {
		all := emptyBounds()
		for _, t := range order[b*leafSize : min(len(order), (b+1)*leafSize)] {
			one := f.boundsOf(t)
			all.include(&one)
		}
		s.nodes[bunches+b] = all
	}
	for i := bunches - 1; i > 0; i-- {
		s.nodes[i] = s.nodes[2*i]
		s.nodes[i].include(&s.nodes[2*i+1])
	}
	return s
}

// boundsOf bounds one triangle.
func (f *finder) boundsOf(t uint32) bounds {
	s := emptyBounds()
	for _, v := range f.mesh.Tris[t] {
		for k, x := range f.mesh.Verts[v] {
			s.low[k], s.high[k] = min(s.low[k], x), max(s.high[k], x)
		}
	}
	n := f.outward(t)
	s.lowNormal = [3]float32{float32(n.X), float32(n.Y), float32(n.Z)}
	s.highNormal = s.lowNormal
	return s
}

// outward is the normal of a triangle away from the material, of length 1.
func (f *finder) outward(t uint32) mesh.Vec {
	n := f.mesh.Normal(int(t)).Unit()
	if s := f.topo.Shell[t]; s != mesh.None && f.turned[s] {
		n = n.Scale(-1)
	}
	return n
}

// any says whether something could face one of the triangles of a span within the
// limit, and after how many steps that is known. Only where it says no, it is certain.
func (f *finder) any(of *bounds) (some bool, steps int64) {
	swept := f.sweep(of)
	nodes, first := f.facings.nodes, f.facings.first
	for i := 1; ; steps++ {
		if nodes[i].touches(&swept) && nodes[i].opposes(&swept) {
			if i >= first {
				return true, steps
			}
			i *= 2
			continue
		}
		for i&1 == 1 { // a right child, or the top: all below the node above is done
			i /= 2
		}
		if i == 0 {
			return false, steps
		}
		i++
	}
}

// sweep returns the span with its box drawn out to where looking from its triangles
// can lead, with room for all that is taken for the same place.
func (f *finder) sweep(of *bounds) bounds {
	s := *of
	room := 16*f.resolution + float64(f.Limit*1e-6)
	for k := range 3 {
		back, on := float64(s.lowNormal[k]), float64(s.highNormal[k])
		if f.Medium == Wall {
			back, on = -on, -back
		}
		limit := f.Limit + f.grain
		s.low[k] = float32(float64(s.low[k]) + min(0, float64(back*limit)) - room)
		s.high[k] = float32(float64(s.high[k]) + max(0, float64(on*limit)) + room)
	}
	return s
}
