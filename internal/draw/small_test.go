package draw

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSmall holds that a small picture has the mean colours of the large one.
func TestSmall(t *testing.T) {
	large := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for y := range 48 {
		for x := range 64 {
			large.SetRGBA(x, y, color.RGBA{uint8(200 * (x % 2)), uint8(4 * y), 10, 255})
		}
	}
	data, err := encode(large)
	require.NoError(t, err)
	for wide, size := range map[int]image.Point{16: {16, 12}, 20: {16, 12}, 64: {64, 48}, 1000: {64, 48}, 1: {1, 1}} {
		small, err := Small(data, wide)
		require.NoError(t, err)
		got, err := png.Decode(bytes.NewReader(small))
		require.NoError(t, err)
		assert.Equal(t, size, got.Bounds().Size(), wide)
		if size.X == 16 {
			r, g, b, a := got.At(3, 5).RGBA()
			assert.Equal(t, [4]uint32{100, 4*21 + 2, 10, 255}, [4]uint32{r >> 8, g >> 8, b >> 8, a >> 8})
		}
	}
	_, err = Small([]byte("no picture"), 16)
	assert.Error(t, err)
}
