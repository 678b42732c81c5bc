package mend

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// tangle is a mesh of random triangles between few corners, no triangle there twice.
func tangle(r *rand.Rand, corners, triangles int) *mesh.Mesh {
	m := new(mesh.Mesh)
	for range corners {
		m.Verts = append(m.Verts, mesh.Point{float32(r.Float64()), float32(r.Float64()), float32(r.Float64())})
	}
	outerWinding := map[mesh.Tri]bool{}
	for range triangles {
		p := r.Perm(corners)
		t := mesh.Tri{uint32(p[0]), uint32(p[1]), uint32(p[2])}
		for t[0] > t[1] || t[0] > t[2] {
			t = mesh.Tri{t[1], t[2], t[0]}
		}
		if !outerWinding[t] {
			outerWinding[t] = true
			m.Tris = append(m.Tris, t)
		}
	}
	return m
}

// Triangles back to back against comparing every triangle with every other.
func TestPairsAgainstComparingAll(t *testing.T) {
	r := dice.New(t)
	found := 0
	for range 400 {
		m := tangle(r, 4+r.IntN(6), 1+r.IntN(40))
		var want []uint32
		for i, a := range m.Tris {
			for _, b := range m.Tris {
				if b[0] == a[0] && b[1] == a[2] && b[2] == a[1] {
					want = append(want, uint32(i))
				}
			}
		}
		got := pairs(m, m.Topology())
		slices.Sort(got)
		require.Equal(t, want, got)
		found += len(got)
	}
	assert.Greater(t, found, 1000)
}

// Of many copies of one triangle as many of either winding cancel, the first of each.
func TestCancelTakesAsManyOfEither(t *testing.T) {
	r := dice.New(t)
	for range 300 {
		var same []facing
		count := [2]int{}
		for i := range r.IntN(9) {
			f := facingOf(mesh.Tri{4, 7, 9}, uint32(i))
			if r.IntN(2) == 0 {
				f = facingOf(mesh.Tri{7, 4, 9}, uint32(i))
				count[1]++
			} else {
				count[0]++
			}
			same = append(same, f)
		}
		out := cancel(same, nil)
		require.Len(t, out, 2*min(count[0], count[1]))
		left := [2]int{}
		for _, i := range out {
			if same[i].even {
				left[0]++
			} else {
				left[1]++
			}
		}
		require.Equal(t, left[0], left[1])
		require.True(t, slices.IsSorted(out))
	}
}

// The facing of a triangle is the same from whichever corner it begins, and turns with
// its winding.
func TestFacingOfTurnedTriangles(t *testing.T) {
	a := facingOf(mesh.Tri{2, 5, 8}, 0)
	for _, same := range []mesh.Tri{{5, 8, 2}, {8, 2, 5}} {
		assert.Equal(t, a, facingOf(same, 0))
	}
	for _, other := range []mesh.Tri{{2, 8, 5}, {8, 5, 2}, {5, 2, 8}} {
		b := facingOf(other, 0)
		assert.Equal(t, a.corners, b.corners)
		assert.NotEqual(t, a.even, b.even)
	}
}

// cloud is corners in clumps of about the width of a seam, some at negative places.
func cloud(r *rand.Rand, n int, width float64) *mending {
	w := new(mending)
	for range n {
		at := mesh.Vec{X: float64(r.IntN(5)-2) * 3 * width, Y: float64(r.IntN(3)-1) * width, Z: float64(r.IntN(3)-1) * 2 * width}
		p := at.Add(mesh.Vec{X: r.Float64(), Y: r.Float64(), Z: r.Float64()}.Scale(1.5 * width))
		w.verts = append(w.verts, mesh.Point{float32(p.X), float32(p.Y), float32(p.Z)})
	}
	return w
}

func TestNearCornersAgainstAllPairs(t *testing.T) {
	r := dice.New(t)
	found := 0
	for round := range 150 {
		width := seams[round%len(seams)]
		w := cloud(r, 60, width)
		var list []uint32
		for v := range w.verts {
			if r.IntN(4) > 0 {
				list = append(list, uint32(v))
			}
		}
		got, ok := w.near(list, width)
		require.True(t, ok)
		var want [][2]uint32
		for i, a := range list {
			for _, b := range list[i+1:] {
				if w.at(a).Sub(w.at(b)).Len() <= width {
					want = append(want, [2]uint32{a, b})
				}
			}
		}
		var have [][2]uint32
		for i, p := range got {
			require.InDelta(t, w.at(p.a).Sub(w.at(p.b)).Len(), p.dist, 1e-12)
			require.True(t, i == 0 || got[i-1].dist <= p.dist, "the nearest first")
			have = append(have, [2]uint32{p.a, p.b})
		}
		require.ElementsMatch(t, want, have, "width %v", width)
		found += len(want)
	}
	assert.Greater(t, found, 1000)
}

// Where the surface is finer than the seam there are too many pairs, and that is said.
func TestTooManyNearCornersAreRefused(t *testing.T) {
	w := new(mending)
	var list []uint32
	for i := range 2000 {
		w.verts = append(w.verts, mesh.Point{float32(i%50) * 1e-4, float32(i/50) * 1e-4, 0})
		list = append(list, uint32(i))
	}
	_, ok := w.near(list, .1)
	assert.False(t, ok)
	_, ok = w.near(list, 1.01e-4)
	assert.True(t, ok, "four neighbours each are not too many")
}

// Corners become one in the order of their distance, unless a triangle has a corner in
// both sets: against sets kept as plain lists of labels.
func TestUnitingAgainstLabels(t *testing.T) {
	r := dice.New(t)
	refused, united := 0, 0
	for range 200 {
		m := tangle(r, 25, 18)
		w := &mending{verts: m.Verts, tris: slices.Clone(m.Tris)}
		label := make([]int, len(m.Verts))
		for v := range label {
			label[v] = v
		}
		var list []pair
		for range 30 {
			a, b := uint32(r.IntN(25)), uint32(r.IntN(25))
			if a != b {
				list = append(list, pair{0, min(a, b), max(a, b)})
			}
		}
		for _, p := range list {
			la, lb := label[p.a], label[p.b]
			both := slices.ContainsFunc(m.Tris, func(t mesh.Tri) bool {
				in := func(l int) bool { return label[t[0]] == l || label[t[1]] == l || label[t[2]] == l }
				return in(la) && in(lb)
			})
			if la == lb || both {
				refused++
				continue
			}
			united++
			for v := range label {
				if label[v] == lb {
					label[v] = la
				}
			}
		}
		before := slices.Clone(m.Verts)
		w.unite(list)
		for i, tri := range w.tris {
			require.True(t, tri[0] != tri[1] && tri[1] != tri[2] && tri[2] != tri[0], "no triangle loses a corner")
			for k, v := range tri {
				requireMiddle(t, before, label, m.Tris[i][k], w.verts[v])
				for j, other := range w.tris {
					for n, u := range other {
						require.Equal(t, label[m.Tris[i][k]] == label[m.Tris[j][n]], u == v)
					}
				}
			}
		}
	}
	assert.Greater(t, refused, 100)
	assert.Greater(t, united, 100)
}

// requireMiddle holds that a corner has moved to the middle of its set.
func requireMiddle(t *testing.T, before []mesh.Point, label []int, v uint32, at mesh.Point) {
	t.Helper()
	var sum mesh.Vec
	n := 0.0
	for u := range before {
		if label[u] == label[v] {
			sum, n = sum.Add(mesh.Of64(before[u])), n+1
		}
	}
	require.InDelta(t, 0, sum.Scale(1/n).Sub(mesh.Of64(at)).Len(), 1e-6)
}

// Whatever closed walks the sides come from, they are cut into loops that use every
// side once and pass no corner twice.
func TestLoopsUseEverySideOnce(t *testing.T) {
	r := dice.New(t)
	several := 0
	for range 500 {
		m := tangle(r, 3+r.IntN(12), 0)
		w := &mending{verts: m.Verts}
		var sides []side
		for walk := range 1 + r.IntN(6) {
			start := uint32(r.IntN(len(m.Verts)))
			at := start
			for step := 0; ; step++ {
				to := uint32(r.IntN(len(m.Verts)))
				if step > 3+r.IntN(8) {
					to = start
				}
				if to == at {
					continue
				}
				sides = append(sides, side{at, to, uint32(walk)})
				if at = to; at == start {
					break
				}
			}
		}
		slices.SortFunc(sides, func(a, b side) int { return int(a.from) - int(b.from) })
		loops := w.loops(sides)
		var used []side
		for _, loop := range loops {
			passed := map[uint32]bool{}
			for i, s := range loop {
				require.Equal(t, loop[(i+1)%len(loop)].from, s.to)
				require.False(t, passed[s.from])
				passed[s.from] = true
			}
			used = append(used, loop...)
		}
		require.ElementsMatch(t, sides, used)
		if len(loops) > 2 {
			several++
		}
	}
	assert.Greater(t, several, 50)
}

// ringHole is a hole with a rim of n corners at random around a circle, bent out of
// its plane by up to depth; one corner of the surface lies far below.
func ringHole(r *rand.Rand, n int, depth float64) *hole {
	w := new(mending)
	var loop []side
	for i := range n {
		y, x := math.Sincos(2 * math.Pi * (float64(i) + .8*r.Float64()) / float64(n))
		w.verts = append(w.verts, mesh.Point{float32(10 * x), float32(10 * y), float32(depth * r.Float64())})
	}
	w.verts = append(w.verts, mesh.Point{0, 0, -30})
	for i := range uint32(n) {
		w.tris = append(w.tris, mesh.Tri{(i + 1) % uint32(n), i, uint32(n)})
		loop = append(loop, side{i, (i + 1) % uint32(n), i})
	}
	w.given = n
	return w.newHole(loop)
}

// cheapest tries every way to span a polygon.
func cheapest(h *hole, i, j int) float64 {
	if j-i < 2 {
		return 0
	}
	best := math.Inf(1)
	for k := i + 1; k < j; k++ {
		best = min(best, cheapest(h, i, k)+cheapest(h, k, j)+h.price(i, k, j))
	}
	return best
}

func TestSpanIsTheCheapestOfAll(t *testing.T) {
	r := dice.New(t)
	for range 200 {
		n := 3 + r.IntN(7)
		h := ringHole(r, n, 8*float64(r.IntN(2))*r.Float64())
		want := cheapest(h, 0, n-1)
		h.exactly()
		sheet := h.w.tris[n:]
		require.Len(t, sheet, n-2)
		got := 0.0
		for _, s := range sheet {
			got += h.price(int(s[0]), int(s[1]), int(s[2]))
		}
		require.InEpsilon(t, want, got, 1e-9)
		requireCloses(t, h, sheet)
	}
}

func TestZipClosesAnyLoop(t *testing.T) {
	r := dice.New(t)
	for range 100 {
		n := 3 + r.IntN(200)
		h := ringHole(r, n, 5*r.Float64())
		h.zip()
		require.Len(t, h.w.tris[n:], n-2)
		requireCloses(t, h, h.w.tris[n:])
	}
}

// requireCloses holds that the sheet runs through every side of the loop once, in its
// direction, that its other edges cancel, and that its area was added up.
func requireCloses(t *testing.T, h *hole, sheet []mesh.Tri) {
	t.Helper()
	net := map[[2]uint32]int{}
	area := 0.0
	for _, s := range sheet {
		for k := range 3 {
			net[[2]uint32{s[k], s[(k+1)%3]}]++
		}
		a, b, c := h.w.at(s[0]), h.w.at(s[1]), h.w.at(s[2])
		area += b.Sub(a).Cross(c.Sub(a)).Len() / 2
	}
	for _, s := range h.loop {
		net[[2]uint32{s.from, s.to}]--
	}
	for e, n := range net {
		require.Equal(t, net[[2]uint32{e[1], e[0]}], n, "edge %v", e)
	}
	require.InDelta(t, area, h.w.Filled, 1e-9*area)
	require.LessOrEqual(t, h.guessed, h.w.Filled)
}

// A rim in one plane is filled without guessing, and one that is bent is as deep as
// it is bent.
func TestDepthOfRims(t *testing.T) {
	r := dice.New(t)
	for range 100 {
		h := ringHole(r, 4+r.IntN(20), 0)
		h.exactly()
		require.InDelta(t, 0, h.depth, 1e-6)
		require.Zero(t, h.guessed, "all of it lies in the plane of the rim")
		require.InDelta(t, 0, math.Abs(h.own().d), 1e-5)
	}
	for _, bend := range []float64{.1, 1, 4} {
		w := &mending{verts: []mesh.Point{{0, 0, 0}, {10, 0, float32(bend)}, {10, 10, 0}, {0, 10, float32(bend)}, {5, 5, -30}}}
		var loop []side
		for i := range uint32(4) {
			w.tris = append(w.tris, mesh.Tri{(i + 1) % 4, i, 4})
			loop = append(loop, side{i, (i + 1) % 4, i})
		}
		w.given = 4
		assert.InDelta(t, bend, w.newHole(loop).depth, 1e-6)
	}
}
