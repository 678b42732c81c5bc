package spatial

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// Ranks order as their floats do and give them back bit by bit.
func TestRanks(t *testing.T) {
	r := dice.New(t)
	all := []float32{0, 1, -1, math.MaxFloat32, -math.MaxFloat32, math.SmallestNonzeroFloat32,
		-math.SmallestNonzeroFloat32, inf32, -inf32, float32(math.Copysign(0, -1))}
	for len(all) < 300 {
		if x := math.Float32frombits(r.Uint32()); x == x {
			all = append(all, x, -x, math.Nextafter32(x, 0))
		}
	}
	for _, x := range all {
		require.Equal(t, math.Float32bits(x), math.Float32bits(value(rank(x))), "%v", x)
		for _, y := range all {
			if x != y {
				require.Equal(t, x < y, rank(x) < rank(y), "%v and %v", x, y)
			}
		}
	}
	box, one := noRanks, ranks{[3]int32{rank(-3), rank(2), 0}, [3]int32{rank(-1), rank(5), 0}}
	box.include(&one)
	require.Equal(t, one, box)
	require.Equal(t, box32{[3]float32{-3, 2, 0}, [3]float32{-1, 5, 0}}, box.box32())
	require.EqualValues(t, 6, one.halfArea())
}
