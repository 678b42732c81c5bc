package spatial

import (
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// Leaves share the places where they are kept: whichever were met before, what is
// handed out belongs to the leaf that was asked for, and the one to keep stays.
func TestKnownLeavesAreNotMixedUp(t *testing.T) {
	r := dice.New(t)
	m := mesh.Weld(shapes.Gyroid(10))
	tree, err := Build(m, nil, 1)
	require.NoError(t, err)
	var leaves []int32
	for _, n := range tree.nodes {
		for _, child := range n.child {
			if child < 0 {
				leaves = append(leaves, child)
			}
		}
	}
	require.Greater(t, len(leaves), 4*knownSlots)
	s := &crossSearch{tree: tree, mesh: m}
	known := new(knownLeaves)
	crowded := 0
	for range 20_000 {
		// Near each other, so that some are found again, and far, so that places collide.
		i := r.IntN(len(leaves))
		j := (i + 1 + r.IntN(8)) % len(leaves)
		if r.IntN(4) == 0 {
			j = r.IntN(len(leaves))
		}
		if i == j {
			continue
		}
		a := known.leaf(s, leaves[i], nil)
		b := known.leaf(s, leaves[j], a)
		if b == &known.spare {
			crowded++
		}
		checkKnown(t, tree, m, a, leaves[i])
		checkKnown(t, tree, m, b, leaves[j])
	}
	require.Positive(t, crowded)
}

func checkKnown(t *testing.T, tree *Tree, m *mesh.Mesh, l *knownLeaf, child int32) {
	first, end := leafRange(child)
	require.Equal(t, [2]int{first, end - first}, [2]int{l.first, l.count})
	for i := range l.count {
		c := &tree.corners[first+i]
		lo, hi := bounds(c)
		require.Equal(t, box32{lo, hi}, l.box[i])
		require.Equal(t, m.Tris[tree.tri[first+i]], l.tri[i])
		require.Equal(t, newTriPlane(corner64(c, 0), corner64(c, 3), corner64(c, 6)), *l.planeOf(i, tree.corners))
		for k := range 3 {
			require.LessOrEqual(t, float64(hi[k])-float64(lo[k]), l.width[i])
		}
	}
}
