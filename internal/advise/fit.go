package advise

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// errPieces says that a model is too large to be cut in pieces that fit.
var errPieces = errors.New("to fit the bed it would have to be cut in")

// room is the share of the bed that a piece may fill. Judgement, no source.
const room = 0.99

// toFit is where to cut a model that is larger than the bed: square to the axes, in as few
// pieces as there can be, each plane as far from even parts as the bed allows and as well
// placed as any there.
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
	pieces, counts := 1, [3]int{}
	for i, n := range axes {
		counts[i] = max(int(math.Ceil(n.Dot(size)/sides[i])), 1)
		pieces *= counts[i]
	}
	if pieces > mostPieces {
		return nil, fmt.Errorf("%w %d pieces, more than the %d that are looked for", errPieces, pieces, mostPieces)
	}
	for i, n := range axes {
		parts := counts[i]
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
