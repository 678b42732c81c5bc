package draw

import (
	"bytes"
	"encoding/json"
	"image"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestSlices holds what a reader looks through: each layer once, in order, all with one
// frame, and a finding on the layer that shows it.
func TestSlices(t *testing.T) {
	m := mesh.Weld(shapes.T())
	list, err := Layers(t.Context(), m, [9]float64{}, []float64{0, 0.05, 10, 20, 30, 39}, process, 45)
	require.NoError(t, err)
	s, err := NewSlices(list, 200)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 51, 101, 151, 196}, s.Layers, "0 and 0.05 mm are one layer")
	// The first layer has nothing below; in the next two the stem goes straight up.
	assert.Equal(t, []int{0, 0, 0, 1, 2}, s.Shows)
	require.Len(t, s.PNG, 3)
	var size image.Point
	inked := make([]int, len(s.PNG))
	for i, data := range s.PNG {
		img, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		if i > 0 {
			require.Equal(t, size, img.Bounds().Size(), "one frame for all")
		}
		size = img.Bounds().Size()
		for _, c := range img.(*image.Paletted).Pix {
			if c != 0 {
				inked[i]++
			}
		}
	}
	assert.Equal(t, 200, max(size.X, size.Y))
	assert.Greater(t, inked[1], 4*inked[0], "the bar of the T is five times its stem")
	assert.InDelta(t, 50, s.Wide, 1)
	assert.InDelta(t, 10, s.High, 1)

	mark := &Mark{Number: 7, Level: finding.Error, At: mesh.Vec{X: 10, Y: 4, Z: 30}}
	nearest := Nearest(list, mark)
	assert.Equal(t, 150, nearest.Index)
	s.Mark(nearest, mark)
	require.Len(t, s.Marks, 1)
	assert.Equal(t, 3, s.Marks[0].At)
	assert.InDelta(t, 10, s.Marks[0].X, 0.5)
	assert.InDelta(t, s.High-4, s.Marks[0].Y, 0.5, "from the top")
	data, err := json.Marshal(s)
	require.NoError(t, err)
	assert.Less(t, len(data), 6000)
}
