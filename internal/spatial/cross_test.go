package spatial_test

import (
	"context"
	"math/big"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// slowCross decides by rational numbers: the stretch that each triangle covers of the
// line common to both planes, measured along that line, must overlap the other's.
func slowCross(m *mesh.Mesh, i, j int) bool {
	a, b := exact(m, i), exact(m, j)
	na, nb := normal(a), normal(b)
	line := cross(na, nb)
	loA, hiA, okA := stretch(a, b[0], nb, line)
	loB, hiB, okB := stretch(b, a[0], na, line)
	return okA && okB && loA.Cmp(hiB) < 0 && loB.Cmp(hiA) < 0
}

type exactVec [3]*big.Rat

func exact(m *mesh.Mesh, i int) (t [3]exactVec) {
	for k, v := range m.Tris[i] {
		for x := range 3 {
			t[k][x] = new(big.Rat).SetFloat64(float64(m.Verts[v][x]))
		}
	}
	return t
}

func minus(a, b exactVec) (d exactVec) {
	for k := range 3 {
		d[k] = new(big.Rat).Sub(a[k], b[k])
	}
	return d
}

func cross(a, b exactVec) (c exactVec) {
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		c[k] = new(big.Rat).Mul(a[i], b[j])
		c[k].Sub(c[k], new(big.Rat).Mul(a[j], b[i]))
	}
	return c
}

func dot(a, b exactVec) *big.Rat {
	sum := new(big.Rat)
	for k := range 3 {
		sum.Add(sum, new(big.Rat).Mul(a[k], b[k]))
	}
	return sum
}

func normal(t [3]exactVec) exactVec { return cross(minus(t[1], t[0]), minus(t[2], t[0])) }

// stretch is where a triangle that straddles a plane meets it, measured along a line.
func stretch(t [3]exactVec, on, n, line exactVec) (lo, hi *big.Rat, ok bool) {
	var h [3]*big.Rat
	up, down := false, false
	for k := range 3 {
		h[k] = dot(minus(t[k], on), n)
		up, down = up || h[k].Sign() > 0, down || h[k].Sign() < 0
	}
	if !up || !down {
		return nil, nil, false
	}
	note := func(x *big.Rat) {
		if lo == nil || x.Cmp(lo) < 0 {
			lo = x
		}
		if hi == nil || x.Cmp(hi) > 0 {
			hi = x
		}
	}
	for k := range 3 {
		l := (k + 1) % 3
		if h[k].Sign() == 0 {
			note(dot(t[k], line))
		}
		if h[k].Sign()*h[l].Sign() < 0 {
			share := new(big.Rat).Quo(h[k], new(big.Rat).Sub(h[k], h[l]))
			at := dot(minus(t[l], t[k]), line)
			note(at.Add(at.Mul(at, share), dot(t[k], line)))
		}
	}
	return lo, hi, true
}

func slowCrossings(m *mesh.Mesh) []spatial.Pair {
	var pairs []spatial.Pair
	for i := range m.Tris {
		for j := i + 1; j < len(m.Tris); j++ {
			same := 0
			for _, v := range m.Tris[i] {
				for _, w := range m.Tris[j] {
					if v == w {
						same++
					}
				}
			}
			if same < 2 && slowCross(m, i, j) {
				pairs = append(pairs, spatial.Pair{uint32(i), uint32(j)})
			}
		}
	}
	return pairs
}

// randomSoup has corners on a coarse grid, so that many lie in common planes, on
// edges and on each other; or anywhere.
func randomSoup(r *rand.Rand, n int, grid bool) *mesh.Triangles {
	s := &mesh.Triangles{}
	for range 3 * n {
		p := mesh.Point{r.Float32(), r.Float32(), r.Float32()}
		if grid {
			p = mesh.Point{float32(r.IntN(4)), float32(r.IntN(4)), float32(r.IntN(4))}
			if r.IntN(2) == 0 {
				p = mesh.Point{p[0] * .1, p[1] * .1, p[2] * .1}
			}
		}
		s.Corners = append(s.Corners, p)
	}
	return s
}

func TestCrossingsAgainstRationalNumbers(t *testing.T) {
	r := dice.New(t)
	total := 0
	for round := range 20 {
		m, tree := build(t, randomSoup(r, 40, round%2 == 0))
		want := slowCrossings(m)
		total += len(want)
		got := tree.Crossings(context.Background(), m, nil, 1<<20, 1)
		require.False(t, got.More)
		require.Equal(t, want, got.Pairs, "round %d", round)
	}
	assert.Greater(t, total, 100)
}

func TestCrossingsOfSolids(t *testing.T) {
	box := func(lo, hi float64) *mesh.Triangles { return shapes.Box(vec(lo, lo, lo), vec(hi, hi, hi)) }
	for _, c := range []struct {
		name    string
		soup    *mesh.Triangles
		crosses bool
	}{
		{"one cube", box(0, 2), false},
		{"gyroid", shapes.Gyroid(16), false},
		{"sphere", shapes.Icosphere(7, 4), false},
		{"fan of a prism", shapes.Cylinder(20, 3, 500), false},
		{"two apart", shapes.Join(box(0, 1), box(2, 3)), false},
		{"one inside the other", shapes.Join(box(0, 9), box(2, 3)), false},
		{"face to face", shapes.Join(box(0, 2), shapes.Box(vec(2, 0, 0), vec(4, 2, 2))), false},
		{"face to face, shifted", shapes.Join(box(0, 2), shapes.Box(vec(2, .5, .7), vec(4, 1.5, 5))), false},
		{"corner to corner", shapes.Join(box(0, 2), box(2, 4)), false},
		{"a corner in", shapes.Join(box(0, 2), box(1, 3)), true},
		{"with a common floor", shapes.Join(box(0, 2), shapes.Box(vec(1, 1, 0), vec(3, 3, 2))), true},
		{"through and through", shapes.Join(box(0, 2), shapes.Box(vec(.5, .5, -1), vec(1.5, 1.5, 3))), true},
		{"two spheres", shapes.Join(shapes.Icosphere(3, 3), shapes.Map(shapes.Icosphere(3, 3), func(v mesh.Vec) mesh.Vec { return v.Add(vec(2, .1, .2)) })), true},
	} {
		m, tree := build(t, c.soup)
		got := tree.Crossings(context.Background(), m, nil, 1000, 1)
		assert.Equal(t, c.crosses, len(got.Pairs) > 0, "%s: %v", c.name, got)
		assert.False(t, got.More && !c.crosses, c.name)
		for _, p := range got.Pairs {
			require.True(t, slowCross(m, int(p[0]), int(p[1])), c.name)
		}
	}
}

func TestCrossingsStopAtTheLimit(t *testing.T) {
	m, tree := build(t, randomSoup(dice.New(t), 200, false))
	all := tree.Crossings(context.Background(), m, nil, 1<<20, 1)
	require.Greater(t, len(all.Pairs), 20)
	few := tree.Crossings(context.Background(), m, nil, 10, 1)
	assert.Len(t, few.Pairs, 10)
	assert.True(t, few.More)
	assert.Subset(t, all.Pairs, few.Pairs)
	for _, limit := range []int{10, 1 << 20} {
		assert.Equal(t, tree.Crossings(context.Background(), m, nil, limit, 1), tree.Crossings(context.Background(), m, nil, limit, 4), "whatever the number of workers")
	}
	exactly := tree.Crossings(context.Background(), m, nil, len(all.Pairs), 1)
	assert.False(t, exactly.More)
}

// A fan of thousands of slivers, each in all others' boxes, is searched through or
// given up, never for minutes.
func TestManyTrianglesInEachOthersBoxes(t *testing.T) {
	m, tree := build(t, shapes.Cylinder(50, 2, 2000))
	got := tree.Crossings(context.Background(), m, nil, 100, 2)
	assert.Empty(t, got.Pairs)
	assert.False(t, got.More)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	assert.True(t, tree.Crossings(ctx, m, nil, 100, 2).More)
}

// Copies in one place have no pairs to test, but their leaves meet each other all the same:
// once the bound of the search is met, what is still shown costs little more.
func TestCrossingsOfManyCopies(t *testing.T) {
	m := mesh.Weld(shapes.Coincident(8000, 50, 0))
	tree, err := spatial.Build(m, nil, 1)
	require.NoError(t, err)
	double := m.Topology().Duplicate
	require.Len(t, double, 7999*12)
	ctx := work.Start(context.Background(), 2*time.Second)
	found := tree.Crossings(ctx, m, double, 10, 1)
	assert.True(t, found.Cut)
	assert.Empty(t, found.Pairs)
	assert.NoError(t, work.Of(ctx).Err())
}
