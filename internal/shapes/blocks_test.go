package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

// TestBlocksOfRandomCells compares volume and area with a count of cells and faces.
func TestBlocksOfRandomCells(t *testing.T) {
	const n, seed = 6, 5
	rng := random(seed)
	planes := make([]float64, n+1)
	for i := range planes {
		planes[i] = float64(2 * i)
	}
	for round := range 20 {
		var grid [n][n][n]bool
		cells, faces := 0, 0
		for i := range n {
			for j := range n {
				for k := range n {
					grid[i][j][k] = rng.IntN(3) > 0
				}
			}
		}
		in := func(i, j, k int) bool {
			return i >= 0 && j >= 0 && k >= 0 && i < n && j < n && k < n && grid[i][j][k]
		}
		for i := range n {
			for j := range n {
				for k := range n {
					if !in(i, j, k) {
						continue
					}
					cells++
					for _, d := range [6][3]int{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}} {
						if !in(i+d[0], j+d[1], k+d[2]) {
							faces++
						}
					}
				}
			}
		}
		s := Blocks(planes, planes, planes, func(i, j, k int) bool { return grid[i][j][k] })
		t.Logf("seed %d, round %d: %d cells", seed, round, cells)
		requireClosed(t, s, true)
		assert.InEpsilon(t, 8*float64(cells), volume(s), 1e-6)
		assert.InEpsilon(t, 4*float64(faces), area(s), 1e-6)
		assert.Equal(t, 2*faces, s.Count())
	}
}

func TestMarchFindsABall(t *testing.T) {
	box := mesh.Box{Min: Vec{X: -12, Y: -12, Z: -12}, Max: Vec{X: 12, Y: 12, Z: 12}}
	last := math.Inf(1)
	for _, n := range []int{12, 24, 48} {
		s := March(func(p Vec) float64 { return p.Len() - 10 }, box, n)
		requireClosed(t, s, false)
		off := math.Abs(volume(s)/(4000*math.Pi/3) - 1)
		assert.Less(t, off, last/2)
		last = off
		for _, p := range s.Corners {
			assert.InDelta(t, 10, mesh.Of64(p).Len(), 24/float64(n))
		}
	}
	assert.Less(t, last, 0.01)
}

// TestMarchThroughCorners lets the surface pass exactly through grid corners, where
// triangles would shrink to nothing.
func TestMarchThroughCorners(t *testing.T) {
	box := mesh.Box{Min: Vec{X: -3, Y: -3, Z: -3}, Max: Vec{X: 3, Y: 3, Z: 3}}
	s := March(func(p Vec) float64 { return max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) - 2 }, box, 6)
	requireClosed(t, s, false)
	// The grid is coarse and cuts the edges of the cube off, but no more than that.
	assert.Greater(t, volume(s), 48.0)
	assert.Less(t, volume(s), 64.0)
}

func TestBenchmarkBodiesGrowAsTheySay(t *testing.T) {
	assert.Equal(t, 20*256, Icosphere(1, 4).Count())
	assert.Equal(t, NoisyBall(10, 1, 3, 1), NoisyBall(10, 1, 3, 1))
	assert.NotEqual(t, NoisyBall(10, 1, 3, 1), NoisyBall(10, 1, 3, 2))
	small, large := Gyroid(24).Count(), Gyroid(48).Count()
	assert.InDelta(t, 4, float64(large)/float64(small), 0.6)
	for _, p := range NoisyBall(10, 1, 3, 1).Corners {
		assert.InDelta(t, 10, mesh.Of64(p).Len(), 1)
	}
}

// BenchmarkGyroid times the largest generator, since benchmarks of others wait for it.
func BenchmarkGyroid(b *testing.B) {
	triangles := 0
	for b.Loop() {
		triangles += Gyroid(96).Count()
	}
	b.ReportMetric(float64(triangles)/b.Elapsed().Seconds(), "triangles/s")
}
