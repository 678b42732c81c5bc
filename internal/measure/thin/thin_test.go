package thin

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

func search(t testing.TB, s *mesh.Triangles, opt Options) (*mesh.Mesh, *Found) {
	t.Helper()
	m := mesh.Weld(s)
	topo := m.Topology()
	tree, err := spatial.Build(m, topo.Spare, 1)
	require.NoError(t, err)
	found, err := Find(context.Background(), m, topo, tree, opt)
	require.NoError(t, err)
	return m, found
}

// Points lie inside their triangle, at least one and at least one a mm2, and the
// areas they stand for add up to that of the triangle.
func TestPointsCoverTheirTriangle(t *testing.T) {
	r := dice.New(t)
	for range 300 {
		scale := math.Pow(10, 2*r.Float64()-1)
		var c [3]mesh.Vec
		for i := range c {
			c[i] = mesh.Vec{X: r.Float64() * scale, Y: r.Float64() * scale, Z: r.Float64() * scale * .01}
		}
		normal := c[1].Sub(c[0]).Cross(c[2].Sub(c[0]))
		s := newSpread(c[0], c[1], c[2])
		n, sum := 0, 0.0
		s.points(1, func(p mesh.Vec, area float64) bool {
			n++
			sum += area
			for i := range 3 {
				edge, to := c[(i+1)%3].Sub(c[i]), p.Sub(c[i])
				require.Positive(t, edge.Cross(to).Dot(normal), "inside of every side")
			}
			return true
		})
		area := normal.Len() / 2
		require.InEpsilon(t, area, sum, 1e-9)
		require.GreaterOrEqual(t, float64(n), max(1, math.Floor(area*.999)))
		require.LessOrEqual(t, float64(n), area+2*(s.length+1)*(s.height+1)-s.length*s.height)
	}
}

func TestLongSliversAreLookedAtInSeveralPlaces(t *testing.T) {
	s := newSpread(mesh.Vec{}, mesh.Vec{X: 30}, mesh.Vec{X: 15, Y: .01})
	var at []float64
	s.points(1, func(p mesh.Vec, _ float64) bool { at = append(at, p.X); return true })
	require.GreaterOrEqual(t, len(at), 5)
	for i := 1; i < len(at); i++ {
		assert.LessOrEqual(t, at[i]-at[i-1], float64(sparse))
	}
}

// slowCluster joins by comparing all pairs.
func slowCluster(samples []Sample, use []uint32, near float64) [][]uint32 {
	label := make([]int, len(use))
	for i := range label {
		label[i] = i
	}
	for changed := true; changed; {
		changed = false
		for i := range use {
			for j := range use {
				if label[j] < label[i] && samples[use[i]].At.Sub(samples[use[j]].At).Len() <= near {
					label[i], changed = label[j], true
				}
			}
		}
	}
	var groups [][]uint32
	for i := range use {
		if label[i] == i {
			var g []uint32
			for j := range use {
				if label[j] == i {
					g = append(g, use[j])
				}
			}
			groups = append(groups, g)
		}
	}
	return groups
}

func TestClustersAgainstAllPairs(t *testing.T) {
	r := dice.New(t)
	most := 0
	for round := range 60 {
		side := []float64{5, 20, 60}[round%3]
		samples := make([]Sample, 120)
		var use []uint32
		for i := range samples {
			samples[i].At = mesh.Vec{X: r.Float64() * side, Y: r.Float64() * side, Z: r.Float64() * side}
			if r.IntN(5) > 0 {
				use = append(use, uint32(i))
			}
		}
		got := cluster(samples, use, 3)
		require.Equal(t, slowCluster(samples, use, 3), got, "side %v", side)
		most = max(most, len(got))
	}
	assert.Greater(t, most, 20)
	assert.Empty(t, cluster(nil, nil, 3))
}

// Near the edge of a wedge of angle a, a point d from the edge on the lower face lies
// under d tan a of material; on the upper face, looking square to it, it is
// d tan a over the distance d along that face.
func TestWedgeSampleBySample(t *testing.T) {
	const deg = 10.0
	tan := math.Tan(deg * math.Pi / 180)
	_, found := search(t, shapes.Wedge(deg), Options{Medium: Wall, Limit: .8})
	require.Greater(t, len(found.Samples), 100)
	for _, s := range found.Samples {
		d := math.Hypot(s.At.X, s.At.Z)
		if d*tan > 1e-3 {
			require.InDelta(t, d*tan, s.Thick, 1e-4)
		}
		require.True(t, s.Tapers)
	}
}

func TestGrainFollowsTheSizeOfTheModel(t *testing.T) {
	for _, c := range [][2]float64{{1e-6, 1e-4}, {6e-5, 1e-4}, {2.4e-4, 5e-4}, {5e-3, 5e-3}, {.011, .02}, {1e9, 1}} {
		assert.InDelta(t, c[1], Grain(c[0]), c[1]*1e-9)
	}
	// A wall of a line is not thinner than a line, wherever it stands.
	for _, at := range []float64{0, 77.7, 333.3, -1200, 5000} {
		for _, turn := range []float64{0, 33, 45} {
			wall := shapes.Turn(shapes.Box(mesh.Vec{X: at, Y: at, Z: at}, mesh.Vec{X: at + .4, Y: at + 20, Z: at + 10}), shapes.Z, turn)
			_, found := search(t, wall, Options{Medium: Wall, Limit: .4})
			assert.Empty(t, found.Samples, "at %v turned %v", at, turn)
		}
	}
}

func TestPlacesKeepClassesApart(t *testing.T) {
	m, found := search(t, shapes.Slab(.5), Options{Medium: Wall, Limit: .8})
	left := func(s *Sample, _ bool) int {
		if s.At.X < 20 {
			return 1
		}
		return 0
	}
	places := found.Regions(m, .8, left)
	require.Len(t, places, 2)
	assert.InEpsilon(t, 1000, places[slices.IndexFunc(places, func(p Region) bool { return p.Class == 1 })].Area, .05)
	whole := found.Regions(m, .8, nil)
	require.Len(t, whole, 1)
	assert.InDelta(t, 25, whole[0].At.X, 1, "of points as thin, the middle one")
	assert.Empty(t, found.Regions(m, .5, nil))
	assert.Len(t, found.Thinnest(&whole[0], 3), 3)
}

func BenchmarkFindWalls(b *testing.B) {
	m := mesh.Weld(shapes.Gyroid(68))
	topo := m.Topology()
	tree, err := spatial.Build(m, topo.Spare, 1)
	if err != nil {
		b.Fatal(err)
	}
	for _, limit := range []float64{.8, 3.2} { // nothing is thin, and nearly everything
		b.Run(map[bool]string{true: "thick", false: "thin"}[limit < 1], func(b *testing.B) {
			n := 0
			for b.Loop() {
				found, err := Find(context.Background(), m, topo, tree, Options{Medium: Wall, Limit: limit})
				if err != nil {
					b.Fatal(err)
				}
				n += len(found.Samples) + len(found.Regions(m, limit, nil)) + 1
			}
			if n == 0 {
				b.Fatal("nothing was done")
			}
			b.ReportMetric(float64(len(m.Tris))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mtri/s")
		})
	}
}
