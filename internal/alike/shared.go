package alike

import "printlint/internal/mesh"

// Shared is the share of the corners of two shapes that fall on each other, wherever the
// former one was moved to: 1 where all do. It is quick, and says whether one may be an
// edited version of the other.
func Shared(was, now *mesh.Mesh) float64 {
	p := &pair{was: sideOf(was), now: sideOf(now)}
	a, b := len(p.was.corners.list), len(p.now.corners.list)
	if a == 0 || b == 0 {
		return 0
	}
	n := p.votes(p.bestMove())
	return float64(n) / float64(min(a, maxVotes)) * min(1, float64(a)/float64(b))
}
