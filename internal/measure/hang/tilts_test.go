package hang

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/dice"
)

func TestLargestShareFirst(t *testing.T) {
	var s share
	s.ready(10)
	for _, h := range []coverage{{tri: 5, cells: 1}, {tri: 2, cells: 3}, {tri: 5, cells: 4}, {tri: 9, cells: 5}, {tri: 1, cells: 3}} {
		s.add(h.tri, h.cells)
	}
	assert.Equal(t, []uint32{5, 9, 1, 2}, s.largest())
	assert.Empty(t, s.largest(), "nothing of one patch is left for the next")
}

// Counting gives what sorting gives, patch after patch and mesh after mesh.
func TestSharesAgainstSorting(t *testing.T) {
	r := dice.New(t)
	var s share
	for range 200 {
		triangles := 1 + r.IntN(300)
		s.ready(triangles)
		cells := make([]int32, triangles)
		var want []uint32
		for range r.IntN(400) {
			tri, n := uint32(r.IntN(triangles)), int32(1+r.IntN(9))
			if r.IntN(50) == 0 {
				n = 1 << 28
			}
			if cells[tri] < 1<<29 {
				s.add(tri, n)
				cells[tri] += n
			}
		}
		for tri, n := range cells {
			if n > 0 {
				want = append(want, uint32(tri))
			}
		}
		slices.SortFunc(want, func(a, b uint32) int { return cmp.Or(cmp.Compare(cells[b], cells[a]), cmp.Compare(a, b)) })
		assert.Equal(t, want, append([]uint32(nil), s.largest()...))
	}
}
