package meshfile

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// farCorners are those of a wall 0.35 mm thick, once its x are put in by far.
var farCorners = func() []mesh.Point {
	out := append([]mesh.Point{}, tetra...)
	for i := range out {
		out[i][0] = 7777 + 1111*out[i][0]
	}
	return out
}()

// far moves farCorners, written down, a million mm away.
func far(text []byte) string {
	return strings.NewReplacer("7777", "1000000.1", "8888", "1000000.45").Replace(string(text))
}

// TestWhatIsDrawnFarAwayKeepsItsDigits holds that texts are moved to the origin before they are
// rounded: there single precision tells lengths of 0.06 mm apart at best.
func TestWhatIsDrawnFarAwayKeepsItsDigits(t *testing.T) {
	files := map[string]string{
		"a.stl": far(writeASCIISTL(farCorners)), "b.obj": far(writeOBJ(farCorners)), "c.off": far(writeOFF(farCorners)),
		"d.ply": far(writePLY(farCorners)), "e.amf": far(writeAMF(farCorners)),
		"f.3mf": string(pack3MF(far([]byte(model3MF(object3MF(1, "", farCorners), item1))))),
		"g.3mf": string(pack3MF(strings.NewReplacer("7777", "0.1", "8888", "0.45").Replace(
			model3MF(object3MF(1, "", farCorners), `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 1000000 0 0"/>`)))),
		"h.3mf": string(pack3MF(far([]byte(model3MF(object3MF(1, "", farCorners),
			`<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 0 -1000000 0"/>`))))),
	}
	for name, data := range files {
		p := readOne(t, name, data)
		lo, hi := p.Triangles.Corners[0], p.Triangles.Corners[0]
		for _, c := range p.Triangles.Corners {
			for k := range c {
				lo[k], hi[k] = min(lo[k], c[k]), max(hi[k], c[k])
			}
		}
		size := []float64{float64(hi[0] - lo[0]), float64(hi[1] - lo[1]), float64(hi[2] - lo[2])}
		want, from := []float64{.35, 1, 1}, "(1000000, 0, 0)"
		if name == "h.3mf" { // turned, and moved back to the origin
			want, from = []float64{1, .35, 1}, ""
		}
		assert.InDeltaSlice(t, want, size, 1e-6, name)
		if from == "" {
			assert.NotContains(t, strings.Join(p.Notes, "\n"), "far from the origin", name)
		} else {
			assert.Contains(t, strings.Join(p.Notes, "\n"), from, name)
		}
	}
}

// TestUnitsFarAway holds that the distance counts in mm.
func TestUnitsFarAway(t *testing.T) {
	text := strings.NewReplacer("7777", "20000.1", "8888", "20000.45").Replace(string(writeOBJ(farCorners)))
	parts, err := readWith("a.obj", []byte(text), Options{Scale: 25.4})
	require.NoError(t, err)
	least, most := math.Inf(1), math.Inf(-1)
	for _, c := range parts[0].Triangles.Corners {
		least, most = min(least, float64(c[0])), max(most, float64(c[0]))
	}
	assert.InDelta(t, .35*25.4, most-least, 1e-6)
	assert.Contains(t, strings.Join(parts[0].Notes, "\n"), "(508003, 0, 0)")
}

// TestWhatIsNotFarStaysWhereItIs holds where moving begins and ends.
func TestWhatIsNotFarStaysWhereItIs(t *testing.T) {
	for _, c := range []struct {
		x    float64
		from float64
	}{{0, 0}, {32767.9, 0}, {32768, 32768}, {-40000.4, -40000}, {1e9, 1e9}, {1.1e9, 0}, {math.Inf(1), 0}, {math.NaN(), 0}} {
		assert.Equal(t, c.from, wholeIfFar(c.x), "%v", c.x)
	}
	assert.NotEmpty(t, failure(t, "a.obj", strings.ReplaceAll(string(writeOBJ(tetra)), "v 0", "v 1e39")).Problem)
}
