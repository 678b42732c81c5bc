package meshfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// solid puts a tetrahedron into a store, with lines from the given one on.
func solid(s *store, inside string, line int) *body {
	b := &body{label: "solid", inside: inside, line: line, store: s, point: s.points.len(), first: s.triangles.len()}
	points, faces := shared(tetra)
	for _, p := range points {
		s.points.add(p)
	}
	for i, f := range faces {
		s.triangles.add(storedTriangle{[3]uint32{uint32(f[0]), uint32(f[1]), uint32(f[2])}, uint32(line + i)})
	}
	b.triangles = len(faces)
	b.settle()
	return b
}

// group puts bodies together; the lines that name them count from 100.
func group(inside string, of ...*body) *body {
	g := &body{label: "group", inside: inside, line: 99}
	for i, b := range of {
		g.placed = append(g.placed, placed{b, identity, 100 + i})
	}
	g.settle()
	return g
}

func lines(t *testing.T, b *body) []uint32 {
	t.Helper()
	triangles, _, err := b.layOut(identity, 100)
	require.NoError(t, err)
	require.Len(t, triangles.Source.Lines, triangles.Count())
	return triangles.Source.Lines
}

// TestLinesOfBodies holds which lines a model has whose bodies stand in several parts.
func TestLinesOfBodies(t *testing.T) {
	var s store
	a, b, c := solid(&s, "a", 10), solid(&s, "a", 20), solid(&s, "c", 30)
	assert.Equal(t, "a", a.source)
	assert.Equal(t, []uint32{10, 11, 12, 13}, lines(t, a))

	same := group("root", a, b)
	assert.Equal(t, "a", same.source, "all of it stands in one part")
	assert.Equal(t, []uint32{10, 11, 12, 13, 20, 21, 22, 23}, lines(t, same))

	mixed := group("root", a, c)
	assert.Equal(t, "root", mixed.source)
	assert.Equal(t, []uint32{100, 100, 100, 100, 101, 101, 101, 101}, lines(t, mixed))

	outer := group("root", mixed, b)
	assert.Equal(t, "root", outer.source)
	assert.Equal(t, []uint32{100, 100, 100, 100, 100, 100, 100, 100, 101, 101, 101, 101}, lines(t, outer), "the outermost names count")
	deep := group("root", group("root", a), group("root", b))
	assert.Equal(t, "a", deep.source)
	assert.Equal(t, []uint32{10, 11, 12, 13, 20, 21, 22, 23}, lines(t, deep))
}

// TestTroublesOfBodies holds that what is wrong with a body is said of all that hold it.
func TestTroublesOfBodies(t *testing.T) {
	var s store
	good, bad := solid(&s, "a", 10), &body{label: "bad", inside: "a", line: 5, err: atLine(7, cureAgain, "it is wrong")}
	bad.settle()
	near, far := group("a", good, bad), group("root", good, bad)
	for _, c := range []struct {
		b    *body
		want string
	}{
		{bad, "line 7: it is wrong; " + cureAgain},
		{near, "line 7: it is wrong; " + cureAgain},
		{far, "in a, line 7: it is wrong; " + cureAgain},
		{group("root", far), "in a, line 7: it is wrong; " + cureAgain},
		{group("root"), "line 99: group has no triangles; " + cureAgain},
	} {
		_, _, err := c.b.layOut(identity, 100)
		assert.EqualError(t, err, c.want)
	}
}

// TestBodiesAreMoved holds that every body is moved by all that stands around it, and
// keeps its inside inside.
func TestBodiesAreMoved(t *testing.T) {
	var s store
	g := group("a", solid(&s, "a", 1))
	g.placed[0].move = affine{-1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0}
	triangles, _, err := g.layOut(affine{1, 0, 0, 0, 1, 0, 0, 0, 2, 5, 0, 0}, 100)
	require.NoError(t, err)
	assert.InDelta(t, 2*volumeOf(tetra), volumeOf(triangles.Corners), 1e-6)
	assert.Contains(t, triangles.Corners, mesh.Point{4, 0, 0})
	assert.Contains(t, triangles.Corners, mesh.Point{5, 0, 2})

	_, _, err = g.layOut(affine{1, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0}, 100)
	assert.ErrorContains(t, err, "line 99: group is flattened by its transform")
	_, _, err = g.layOut(affine{1, 0, 0, 0, 1, 0, 0, 0, 1, 1e300, 0, 0}, 100)
	assert.ErrorContains(t, err, "line 1: a corner is moved too far to be a length")
}

// TestBodiesUnfoldWithinBounds holds the limit, which grows with the file.
func TestBodiesUnfoldWithinBounds(t *testing.T) {
	var s store
	g := group("a", solid(&s, "a", 1))
	for range 20 {
		g = group("a", g, g)
	}
	require.EqualValues(t, 4<<20, g.total)
	g = group("a", g, solid(&s, "a", 1))
	_, _, err := g.layOut(identity, 0)
	assert.ErrorContains(t, err, "group unfolds to more than the 4194304 triangles that are read from a file of this size")
	_, _, err = g.layOut(identity, 1)
	assert.NoError(t, err, "a larger file may have more")
	for range 60 {
		g = group("a", g, g)
	}
	assert.Equal(t, int64(1<<40), g.total, "no count runs over")
	assert.ErrorContains(t, g.err, "group holds other objects 64 deep")
}

// TestNotesOfBodies holds that they come up from below, each once and not too many.
func TestNotesOfBodies(t *testing.T) {
	var s store
	a := solid(&s, "a", 1)
	a.notes = []string{"one", "two"}
	b := solid(&s, "a", 1)
	b.notes = []string{"two", "three"}
	assert.Equal(t, []string{"one", "two", "three"}, group("a", a, b, a).notes)
	for i := range 20 {
		b.notes = append(b.notes, string(rune('a'+i)))
	}
	assert.Len(t, group("a", b).notes, 8)
}
