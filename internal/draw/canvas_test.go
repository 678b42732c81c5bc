package draw

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

// random returns a source of numbers and prints its seed.
func random(t *testing.T) *rand.Rand {
	t.Helper()
	seed := uint64(20260)
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// TestNoGapsBetweenTriangles cuts a square into random triangles around a point and
// holds that they cover every sample of it, whatever the corners.
func TestNoGapsBetweenTriangles(t *testing.T) {
	r := random(t)
	const side = 40
	for range 300 {
		var d depths
		d.reset(side, side)
		whole := int32(side * fine)
		ring := []vertex{{0, 0, 0}, {whole, 0, 0}, {whole, whole, 0}, {0, whole, 0}}
		middle := vertex{r.Int32N(whole + 1), r.Int32N(whole + 1), 1}
		for i := range ring {
			d.triangle(int32(i), ring[i], ring[(i+1)%4], middle)
		}
		for i, id := range d.id {
			require.NotEqual(t, int32(none), id, "sample %d, middle %v", i, middle)
		}
	}
}

// TestCoverageAgainstFractions compares with the plain definition: a sample is covered
// when its middle lies on one side of all three edges, worked out in fractions.
func TestCoverageAgainstFractions(t *testing.T) {
	r := random(t)
	const side = 24
	for range 400 {
		var d depths
		d.reset(side, side)
		at := func() vertex {
			return vertex{r.Int32N(2*side*fine) - side*fine/2, r.Int32N(2*side*fine) - side*fine/2, r.Float64()}
		}
		a, b, c := at(), at(), at()
		d.triangle(7, a, b, c)
		for y := range side {
			for x := range side {
				px, py := float64(x)+0.5, float64(y)+0.5
				cross := func(p, q vertex) float64 {
					return (float64(q.x-p.x)*(py*fine-float64(p.y)) - float64(q.y-p.y)*(px*fine-float64(p.x)))
				}
				u, v, w := cross(a, b), cross(b, c), cross(c, a)
				in := u >= 0 && v >= 0 && w >= 0 || u <= 0 && v <= 0 && w <= 0
				if flat := edge(a, b, c.x, c.y) == 0; flat {
					in = false
				}
				require.Equal(t, in, d.id[y*side+x] == 7, "%v %v %v at %d, %d", a, b, c, x, y)
			}
		}
	}
}

// TestDepthsAgainstRays compares what is nearest on each sample with a ray through the
// search tree, which shares no code with the renderer.
func TestDepthsAgainstRays(t *testing.T) {
	for name, s := range map[string]*mesh.Triangles{"hook": shapes.Hook(), "ball": shapes.Ball(10, 24), "bolt": shapes.BoltLying(24)} {
		m := mesh.Weld(s)
		tree, err := spatial.Build(m, nil, 1)
		require.NoError(t, err)
		for _, v := range []View{Above(0), Above(2), Below(1)} {
			f := fit(v, m, 90, 70, 4)
			r := new(room)
			r.front.reset(90, 70)
			r.fill(&r.front, m, &f, nil)
			wrong := 0
			for i, id := range r.front.id {
				far := f.at(float64(i%90)+0.5, float64(i/90)+0.5, 1000)
				hit, ok := tree.Ray(far, v.Toward.Scale(-1), 0, math.Inf(1))
				if ok != (id != none) || ok && math.Abs(1000-hit.T-float64(r.front.z[i])) > 0.2 {
					wrong++
				}
			}
			// Corners are rounded to a sixteenth of a sample: only outlines may differ.
			assert.Less(t, wrong, 90*70/150, "%s %s", name, v.Words)
		}
	}
}

func TestDepthOrder(t *testing.T) {
	var d depths
	d.reset(10, 10)
	flat := func(z float64) (a, b, c vertex) {
		return vertex{0, 0, z}, vertex{10 * fine, 0, z}, vertex{0, 10 * fine, z}
	}
	for i, z := range []float64{1, 3, 2, 3} {
		a, b, c := flat(z)
		d.triangle(int32(i), a, b, c)
	}
	assert.Equal(t, int32(1), d.id[0], "the nearest, and of two the first")
	assert.Equal(t, float32(3), d.z[0])
}

// TestSteepTrianglesStayInBounds holds that a triangle seen nearly from its edge has no
// depth beyond its corners.
func TestSteepTrianglesStayInBounds(t *testing.T) {
	var d depths
	d.reset(40, 40)
	d.triangle(0, vertex{fine / 2, 0, -5}, vertex{fine/2 + 1, 40 * fine, 5}, vertex{fine / 2, 40 * fine, 7})
	seen := 0
	for i, id := range d.id {
		if id != none {
			seen++
			assert.GreaterOrEqual(t, d.z[i], float32(-5))
			assert.LessOrEqual(t, d.z[i], float32(7))
		}
	}
	assert.Positive(t, seen)
}
