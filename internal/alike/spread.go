package alike

import (
	"math"

	"printlint/internal/mesh"
)

// alikeBy is how much the spread of one shape may differ, as a share, when it is told in
// other triangles. Judgement: balls of 320 and of 1280 triangles differ by 3 %.
const alikeBy = 0.01

// spreadAlike says that one surface spreads as another does, size aside.
func spreadAlike(s, o *mesh.Spread) bool {
	for i := range s.Value {
		a, b := s.Value[i]/s.Area, o.Value[i]/o.Area
		if math.Abs(a-b) > alikeBy*max(s.Value[2]/s.Area, o.Value[2]/o.Area) {
			return false
		}
	}
	return true
}

// distinct says that the axes of a surface are sure: it spreads along each of them by
// more than along the one before.
func distinct(s *mesh.Spread) bool {
	const apart = 1e-5 // of the largest; what float32 leaves of many corners. Judgement
	return s.Value[1]-s.Value[0] > apart*s.Value[2] && s.Value[2]-s.Value[1] > apart*s.Value[2]
}
