package shapes

import (
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// volume is the signed volume in mm3 by the divergence theorem.
func volume(s *mesh.Triangles) float64 {
	sum := 0.0
	for i := 0; i+2 < len(s.Corners); i += 3 {
		a, b, c := mesh.Of64(s.Corners[i]), mesh.Of64(s.Corners[i+1]), mesh.Of64(s.Corners[i+2])
		sum += a.Dot(b.Cross(c))
	}
	return sum / 6
}

// normal is the outward normal of triangle i with the length of twice its area.
func normal(s *mesh.Triangles, i int) Vec {
	a, b, c := mesh.Of64(s.Corners[3*i]), mesh.Of64(s.Corners[3*i+1]), mesh.Of64(s.Corners[3*i+2])
	return b.Sub(a).Cross(c.Sub(a))
}

func area(s *mesh.Triangles) float64 {
	sum := 0.0
	for i := range s.Count() {
		sum += normal(s, i).Len() / 2
	}
	return sum
}

// areaPast is the area that leans past the given sine from vertical, facing down.
func areaPast(s *mesh.Triangles, sin float64) float64 {
	sum := 0.0
	for i := range s.Count() {
		if n := normal(s, i); -n.Unit().Z > sin {
			sum += n.Len() / 2
		}
	}
	return sum
}

// requireClosed counts directed edges by brute force: as many one way as the other,
// each way once, or alike often where bodies touch in an edge.
func requireClosed(t *testing.T, s *mesh.Triangles, touching bool) {
	t.Helper()
	require.NotZero(t, s.Count())
	require.Zero(t, len(s.Corners)%3)
	edges := map[[2]mesh.Point]int{}
	for i := 0; i < len(s.Corners); i += 3 {
		for k := range 3 {
			a, b := s.Corners[i+k], s.Corners[i+(k+1)%3]
			require.NotEqual(t, a, b, "triangle %d has an edge without length", i/3)
			edges[[2]mesh.Point{a, b}]++
		}
		require.Positive(t, normal(s, i/3).Len(), "triangle %d has no area: %v", i/3, s.Corners[i:i+3])
	}
	for e, n := range edges {
		require.Equal(t, n, edges[[2]mesh.Point{e[1], e[0]}], "edge %v is open", e)
		if !touching {
			require.Equal(t, 1, n, "edge %v is shared by more than two triangles", e)
		}
	}
}
