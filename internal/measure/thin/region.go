package thin

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// Region is a connected thin place: samples that lie near each other.
type Region struct {
	// Samples are numbers of samples, ascending.
	Samples []uint32
	// Thick is the least thickness; 0 where the place is sharp.
	Thick float64
	// Area is that of one of the two surfaces, in mm2.
	Area float64
	// Length is the longest extent, each end sample standing for a square piece.
	Length float64
	// Along is the length with its bends followed, all branches of it.
	Along float64
	// Sharp says that the two surfaces meet at an edge.
	Sharp bool
	// Touches says that the sides of a gap that is not sharp come so near somewhere that they
	// are drawn to touch.
	Touches bool
	// Class is the class that the samples were sorted into.
	Class int
	// At is the thinnest point, of several as thin the one nearest to the middle.
	At  mesh.Vec
	Tri uint32 // the triangle that it lies on
	Box mesh.Box
}

// Neither is the class of samples that are no part of a place.
const Neither = -1

// Width is the area over the length along the place, 0 where it has no length.
func (p *Region) Width() float64 {
	if p.Along > 0 {
		return p.Area / p.Along
	}
	return 0
}

// Regions joins samples thinner than the limit into places. Samples of different class
// never share a place, nor do walls that are pieces apart; class may be nil, and leaves
// out what it calls Neither.
func (f *Found) Regions(m *mesh.Mesh, limit float64, class func(s *Sample, sharp bool) int) []Region {
	samples := f.Samples
	var use []uint32
	for i := range samples {
		if samples[i].Thick < limit {
			use = append(use, uint32(i))
		}
	}
	sharp := make([]bool, len(samples))
	tapered := slices.DeleteFunc(slices.Clone(use), func(i uint32) bool { return !samples[i].Tapers })
	for _, group := range cluster(samples, tapered, f.Near) {
		if slices.ContainsFunc(group, func(i uint32) bool { return meet(m, &samples[i]) }) {
			for _, i := range group {
				sharp[i] = true
			}
		}
	}
	piece := make([]uint32, len(use))
	if f.Medium == Wall {
		piece = pieces(m, samples, use)
	}
	kinds := map[[3]int][]uint32{}
	var order [][3]int
	for n, i := range use {
		k := [3]int{0, 0, int(piece[n])}
		if class != nil {
			k[0] = class(&samples[i], sharp[i])
		}
		if k[0] == Neither {
			continue
		}
		if sharp[i] {
			k[1] = 1
		}
		if kinds[k] == nil {
			order = append(order, k)
		}
		kinds[k] = append(kinds[k], i)
	}
	var places []Region
	for _, k := range order {
		for _, group := range cluster(samples, kinds[k], f.Near) {
			all := len(group)
			if f.Medium == Gap {
				group = slices.DeleteFunc(group, func(i uint32) bool { return samples[i].Thick < Touching })
			}
			if len(group) == 0 {
				continue
			}
			p := newRegion(samples, group, f.Near)
			p.Class, p.Sharp, p.Touches = k[0], k[1] == 1, k[1] != 1 && len(group) < all
			if p.Sharp {
				p.Thick = 0
			}
			places = append(places, p)
		}
	}
	slices.SortStableFunc(places, func(a, b Region) int { return int(a.Samples[0]) - int(b.Samples[0]) })
	return places
}

// meet says that the triangle of a sample and the one opposite share a corner.
func meet(m *mesh.Mesh, s *Sample) bool {
	for _, v := range m.Tris[s.Tri] {
		if slices.Contains(m.Tris[s.Opposite][:], v) {
			return true
		}
	}
	return false
}

func newRegion(samples []Sample, group []uint32, near float64) Region {
	p := Region{Samples: group, Thick: math.Inf(1), Box: mesh.EmptyBox()}
	var sum mesh.Vec
	for _, i := range group {
		s := &samples[i]
		p.Thick = min(p.Thick, s.Thick)
		p.Area += s.Area / 2
		sum = sum.Add(s.At.Scale(s.Area / 2))
		p.Box.Include(s.At)
	}
	middle := p.Box.Middle()
	if p.Area > 0 {
		middle = sum.Scale(1 / p.Area)
	}
	best := math.Inf(1)
	for _, i := range group {
		s := &samples[i]
		if d := s.At.Sub(middle).Len(); s.Thick == p.Thick && d < best {
			best, p.At, p.Tri = d, s.At, s.Tri
		}
	}
	a := farthest(samples, group, samples[group[0]].At)
	b := farthest(samples, group, a.At)
	p.Length = a.At.Sub(b.At).Len() + (math.Sqrt(a.Area)+math.Sqrt(b.Area))/2
	p.Along = max(p.Length, along(samples, group, a, b, near))
	return p
}

// farthest returns the sample farthest from a point.
func farthest(samples []Sample, group []uint32, from mesh.Vec) *Sample {
	best, at := -1.0, &samples[group[0]]
	for _, i := range group {
		d := samples[i].At.Sub(from)
		if d2 := d.Dot(d); d2 > best {
			best, at = d2, &samples[i]
		}
	}
	return at
}

// Thinnest lists the triangles of a place, the thinnest first.
func (f *Found) Thinnest(p *Region, most int) []uint32 {
	samples := f.Samples
	order := slices.Clone(p.Samples)
	slices.SortStableFunc(order, func(a, b uint32) int {
		if samples[a].Thick < samples[b].Thick {
			return -1
		} else if samples[a].Thick > samples[b].Thick {
			return 1
		}
		return 0
	})
	seen := map[uint32]bool{}
	var tris []uint32
	for _, i := range order {
		if t := samples[i].Tri; !seen[t] && len(tris) < most {
			seen[t] = true
			tris = append(tris, t)
		}
	}
	return tris
}
