package draw

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestChangeIsTinted holds that both sides lie at one scale and place, and that what changed
// is told apart by hue, by brightness and by its signs.
func TestChangeIsTinted(t *testing.T) {
	was := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 30, Y: 20, Z: 10}))
	now := mesh.Weld(shapes.Join(shapes.Box(mesh.Vec{}, mesh.Vec{X: 30, Y: 20, Z: 10}), shapes.Box(mesh.Vec{X: 5, Y: 5, Z: 10}, mesh.Vec{X: 25, Y: 15, Z: 16})))
	added := Tinted{Mesh: now, Of: func(_ int, p mesh.Vec) Tint {
		if p.Z > 10.01 {
			return Added
		}
		return Kept
	}}
	before, after, err := Change(Tinted{Mesh: was}, added, Options{Width: 320, Height: 240, Opaque: true})
	require.NoError(t, err)
	assert.Zero(t, before.Shown)
	assert.Greater(t, after.Shown, 2000)
	assert.Equal(t, before.Scale, after.Scale)
	assert.Equal(t, before.Words, after.Words)
	same, total := 0, 0
	for i := 0; i < len(before.Image.Pix); i += 4 {
		total++
		if before.Image.Pix[i] == after.Image.Pix[i] {
			same++
		}
	}
	assert.Greater(t, total-same, after.Shown/2)
	assert.Less(t, total-same, 2*after.Shown, "what did not change looks as before")
	again, _, err := Change(added, Tinted{Mesh: was}, Options{Width: 320, Height: 240, Opaque: true})
	require.NoError(t, err)
	assert.Equal(t, after.Image.Pix, again.Image.Pix, "the same bytes, whichever side it is")
	white, err := after.PNGWithGuides()
	require.NoError(t, err)
	assert.NotEmpty(t, white)
	_, _, err = Change(added, added, Options{Width: 5, Height: 240})
	assert.ErrorContains(t, err, "64 to 4096 pixels")
}

// TestTintsDifferWithoutColour holds that added and removed are not told apart by hue alone.
func TestTintsDifferWithoutColour(t *testing.T) {
	grey := func(c color.NRGBA) int { return int(color.GrayModel.Convert(c).(color.Gray).Y) }
	assert.Greater(t, grey(tints[Removed].fill)-grey(tints[Added].fill), 40)
	for _, k := range []Tint{Added, Removed} {
		assert.Greater(t, max(grey(tints[k].sign)-grey(tints[k].fill), grey(tints[k].fill)-grey(tints[k].sign)), 90)
	}
	plus, minus := 0, 0
	for i := range 90 * 90 {
		if signs(Added, i%90, i/90) {
			plus++
		}
		if signs(Removed, i%90, i/90) {
			minus++
			assert.True(t, signs(Added, i%90, i/90), "a plus is a minus with an upright stroke")
		}
	}
	assert.Greater(t, plus, minus*3/2)
	assert.Equal(t, color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}, onWhite(image.NewNRGBA(image.Rect(0, 0, 2, 2))).NRGBAAt(1, 1))
}
