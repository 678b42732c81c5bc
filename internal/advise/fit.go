package advise

import (
	"cmp"
	"context"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// room is the share of the bed that a piece may fill. Judgement, no source.
const room = 0.99

// toFit is where to cut a model that is larger than the bed: square to the axes, in as few
// pieces as there can be, each plane as far from even parts as the bed allows and as well
// placed as any there. It is nil where these are too many.
func toFit(ctx context.Context, m *mesh.Mesh, bed [3]float64, angle float64) ([][]plane, error) {
	box := m.Box()
	size := box.Size()
	axes := []mesh.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	slices.SortStableFunc(axes, func(a, b mesh.Vec) int { return -cmp.Compare(a.Dot(size), b.Dot(size)) })
	sides := bed
	for i := range sides {
		if sides[i] *= room; sides[i] <= 0 {
			sides[i] = math.Inf(1)
		}
	}
	slices.SortFunc(sides[:], func(a, b float64) int { return cmp.Compare(b, a) })
	var list []plane
	pieces := 1
	for i, n := range axes {
		parts := int(math.Ceil(n.Dot(size) / sides[i]))
		if pieces *= max(parts, 1); pieces > mostPieces {
			return nil, nil
		}
		if parts < 2 {
			continue
		}
		if err := work.Of(ctx).Spend(planeCost * int64(len(m.Tris))); err != nil {
			return nil, err
		}
		list = append(list, newSlope(m, n, angle).parts(parts, sides[i])...)
	}
	if len(list) == 0 {
		return nil, nil
	}
	return [][]plane{list}, nil
}

// parts are planes that leave so many parts, none longer than most.
func (s *slope) parts(count int, most float64) (list []plane) {
	const looks = 16
	even := (s.hi - s.lo) / float64(count)
	spare := (most - even) / 2
	for k := 1; k < count; k++ {
		middle := s.lo + float64(even*float64(k))
		var offsets []float64
		for i := range looks + 1 {
			offsets = append(offsets, middle+float64(spare*(float64(2*i)/looks-1)))
		}
		for _, o := range s.flats {
			if math.Abs(o-middle) <= spare {
				offsets = append(offsets, o)
			}
		}
		near := s.scored(offsets)
		for i := range near {
			near[i].middle = math.Abs(near[i].offset-middle) / max(spare, 1e-9)
		}
		sortPlanes(near)
		list = append(list, near[0])
	}
	return list
}
