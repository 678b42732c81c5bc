package draw

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// upsideDown is half a turn about x.
var upsideDown = [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}

// TestWaysUpSideBySide holds that two ways up of a model are drawn at one scale, the axes
// of the file turned with it, and that what goes down is painted and an arrow leads there.
func TestWaysUpSideBySide(t *testing.T) {
	m := mesh.Weld(shapes.T())
	opt := Options{Width: 320, Height: 240, Scale: CommonScale(m, 320, 240, mesh.Identity, upsideDown)}
	require.Positive(t, opt.Scale)
	opt.Marks, opt.Next = undersides(m, finding.Error), upsideDown
	now, err := Model(m, opt)
	require.NoError(t, err)
	opt.Marks, opt.Next, opt.Matrix = nil, [9]float64{}, upsideDown
	then, err := Model(m, opt)
	require.NoError(t, err)
	assert.InDelta(t, now.Scale, then.Scale, 1e-9)
	assert.GreaterOrEqual(t, now.Bar*now.Scale, 48.0, "the bar is long enough to be read")
	assert.Less(t, now.Axes[2][1], -10.0, "z points up as the model lies")
	assert.Greater(t, then.Axes[2][1], 10.0, "and down when it is turned over")
	require.Greater(t, len(now.Arrow), 10)
	assert.Empty(t, then.Arrow, "it lies as it shall")
	first, last := now.Arrow[0], now.Arrow[len(now.Arrow)-1]
	assert.Greater(t, math.Hypot(first[0]-last[0], first[1]-last[1]), 20.0)
	green := func(p *Picture) (n int) {
		for i := 0; i < len(p.Image.Pix); i += 4 {
			if c := p.Image.Pix[i : i+4]; int(c[1]) > int(c[0])+20 {
				n++
			}
		}
		return n
	}
	assert.Greater(t, green(now), 1000, "the top goes down")
	assert.Zero(t, green(then))
	assert.Len(t, now.Badges, 1, "what goes down has no number")
}

// TestSmallTurnsHaveNoArrow holds that a turn which cannot be seen is not drawn.
func TestSmallTurnsHaveNoArrow(t *testing.T) {
	m := mesh.Weld(shapes.T())
	for angle, seen := range map[float64]bool{1: false, 4: false, 6: true, 90: true, 179: true} {
		s, c := math.Sincos(angle * math.Pi / 180)
		p, err := Model(m, Options{Width: 200, Height: 200, Next: [9]float64{1, 0, 0, 0, c, -s, 0, s, c}})
		require.NoError(t, err)
		assert.Equal(t, seen, len(p.Arrow) > 0, "%g deg", angle)
	}
}

// TestFeetAndWeights holds that the foot of a body and the point below its weight are
// where they are.
func TestFeetAndWeights(t *testing.T) {
	m := mesh.Weld(shapes.T())
	at := m.Centroid()
	p, err := Model(m, Options{Width: 320, Height: 240, Marks: []Mark{{Number: 1, Level: finding.Error, At: at, Box: m.Box(), Stands: true}}})
	require.NoError(t, err)
	require.Len(t, p.Feet, 1)
	f := p.Feet[0]
	assert.Len(t, f.Outline, 4, "a square foot")
	assert.InDelta(t, f.Weight[0], f.Below[0], 1e-9, "plumb")
	assert.Greater(t, f.Below[1], f.Weight[1])
	x, y := 0.0, 0.0
	for _, o := range f.Outline {
		x, y = x+o[0]/4, y+o[1]/4
	}
	assert.InDelta(t, x, f.Below[0], 1, "the T stands over its middle")
	assert.InDelta(t, y, f.Below[1], 1)
}

// TestTouchingFindingsAreParted holds that a line runs between two findings of a level.
func TestTouchingFindingsAreParted(t *testing.T) {
	m := mesh.Weld(shapes.Cube(20))
	top := func(split bool) int {
		box := m.Box()
		left, right := box, box
		left.Max.X, right.Min.X = 10, 10
		marks := []Mark{{Number: 1, Level: finding.Error, Box: box}}
		if split {
			marks = []Mark{{Number: 1, Level: finding.Error, Box: left}, {Number: 2, Level: finding.Error, Box: right}}
		}
		for i := range marks {
			for tri := range m.Tris {
				if m.Normal(tri).Z > 0 {
					marks[i].Tris = append(marks[i].Tris, uint32(tri))
				}
			}
			marks[i].Whole = true
			marks[i].At = mesh.Vec{X: 5 + 10*float64(i), Y: 10, Z: 20}
		}
		p, err := Model(m, Options{Width: 320, Height: 240, Marks: marks})
		require.NoError(t, err)
		n := 0
		for i := 0; i < len(p.Image.Pix); i += 4 {
			// Grey and dark, as edges are even where they cover a pixel in part.
			if r, g := int(p.Image.Pix[i]), int(p.Image.Pix[i+1]); p.Image.Pix[i+3] == 255 && r < 0x70 && r-g < 16 {
				n++
			}
		}
		return n
	}
	assert.Greater(t, top(true), top(false)+20)
}
