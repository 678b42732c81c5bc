package thin

import (
	"math"

	"printlint/internal/mesh"
)

// spread places points on a triangle in rows along its longest side.
type spread struct {
	from, to, apex mesh.Vec
	height         float64
	length         float64
	area           float64
}

func newSpread(a, b, c mesh.Vec) spread {
	s := spread{from: a, to: b, apex: c, length: b.Sub(a).Len()}
	for _, side := range [2][3]mesh.Vec{{b, c, a}, {c, a, b}} {
		if l := side[1].Sub(side[0]).Len(); l > s.length {
			s = spread{from: side[0], to: side[1], apex: side[2], length: l}
		}
	}
	s.area = b.Sub(a).Cross(c.Sub(a)).Len() / 2
	if s.length > 0 {
		s.height = 2 * s.area / s.length
	}
	return s
}

// points calls use with points about gap mm apart and the area that each stands for.
// There is at least one. Along a row narrower than gap they are farther apart, so that
// each still stands for gap squared, but at most by sparse times gap: a long sliver
// is looked at in more than one place. It ends early when use says so.
func (s *spread) points(gap float64, use func(p mesh.Vec, area float64) bool) {
	rows := max(1, math.Ceil(s.height/gap))
	step := gap * min(sparse, max(1, gap/(s.height/rows)))
	for r := range int(rows) {
		v := (float64(r) + .5) / rows
		start := s.from.Add(s.apex.Sub(s.from).Scale(v))
		along := s.to.Sub(s.from).Scale(1 - v)
		n := max(1, math.Ceil(s.length*(1-v)/step))
		area := s.area * 2 * (1 - v) / rows / n
		for i := range int(n) {
			if !use(start.Add(along.Scale((float64(i)+.5)/n)), area) {
				return
			}
		}
	}
}

const sparse = 3
