package draw

import (
	"bytes"
	"context"
	"encoding/xml"
	"image"
	"image/png"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

var process = catalog.Process{Line: 0.4, Layer: 0.2, Bridge: 10}

// cut returns one layer of a body.
func cut(t *testing.T, s *mesh.Triangles, z float64) *DrawnLayer {
	t.Helper()
	list, err := Layers(t.Context(), mesh.Weld(s), [9]float64{}, []float64{z}, process, 45)
	require.NoError(t, err)
	require.Len(t, list, 1)
	return list[0]
}

// TestLayerAreas compares with what the exact shapes come to.
func TestLayerAreas(t *testing.T) {
	for name, c := range map[string]struct {
		s              *mesh.Triangles
		z              float64
		solid, hanging float64
		carries        bool
	}{
		"stem of the T":             {shapes.T(), 10, 100, 0, false},
		"first layer of its bar":    {shapes.T(), 30, 500, 400, true},
		"second layer of its bar":   {shapes.T(), 30.2, 500, 0, false},
		"bed":                       {shapes.T(), 0, 100, 0, false},
		"above the top":             {shapes.T(), 99, 500, 0, false},
		"top of the table":          {shapes.Table(), 30, 2400, 2400 - 4*64, true},
		"a cube in the air":         {shapes.FloatingCube(), 5, 800, 400, false},
		"bodies that overlap":       {shapes.TOverlapping(), 30, 500, 400, true},
		"bodies that touch":         {shapes.TTouching(), 30, 500, 400, true},
		"the T upside down":         {shapes.OnBed(shapes.Turn(shapes.T(), shapes.X, 180)), 10.2, 100, 0, false},
		"an arm at 45 deg":          {shapes.LeaningArm(45, 10), 10, -1, 0, false},
		"far below what there is":   {shapes.T(), -7, 100, 0, false},
		"two cubes one above other": {shapes.StackedCubes(), 20, 400, 0, false},
	} {
		l := cut(t, c.s, c.z)
		if c.solid >= 0 {
			assert.InDelta(t, c.solid, l.Solid, 0.015*c.solid, name)
		}
		assert.InDelta(t, c.hanging, l.Hanging, 0.02*c.hanging+0.5, name)
		assert.Equal(t, c.carries, l.Carrying > 0, name)
		assert.False(t, l.Open, name)
		assert.Contains(t, l.Words(), "above the bed", name)
	}
}

// TestLayersTogetherAreLayersAlone holds that leaving out far triangles changes nothing.
func TestLayersTogetherAreLayersAlone(t *testing.T) {
	m := mesh.Weld(shapes.Hook())
	heights := []float64{0, 3.3, 10, 20.1, 29.99, 30, 7}
	list, err := Layers(t.Context(), m, [9]float64{}, heights, process, 45)
	require.NoError(t, err)
	for i, z := range heights {
		alone := cut(t, shapes.Hook(), z)
		assert.Equal(t, alone.cells, list[i].cells, "%v mm", z)
		assert.Equal(t, alone.Index, list[i].Index)
	}
	assert.Equal(t, 150, list[5].Index, "a height on a layer's floor means that layer")
}

func TestLayersThatCannotBe(t *testing.T) {
	flat := mesh.Weld(&mesh.Triangles{Corners: []mesh.Point{{0, 0, 0}, {10, 0, 0}, {0, 10, 0}}})
	_, err := Layers(t.Context(), flat, [9]float64{}, []float64{0}, process, 45)
	assert.ErrorContains(t, err, "no height")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = Layers(ctx, mesh.Weld(shapes.Cube(10)), [9]float64{}, []float64{0}, process, 45)
	assert.ErrorIs(t, err, context.Canceled)
	open := shapes.Cube(10)
	open.Corners = open.Corners[12:]
	l := cut(t, open, 5)
	assert.True(t, l.Open || l.Solid > 0)
}

// TestLayerOfAPose holds that a pose is cut as it then lies, and that its marks follow.
func TestLayerOfAPose(t *testing.T) {
	down := [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}
	list, err := Layers(t.Context(), mesh.Weld(shapes.T()), down, []float64{0, 20}, process, 45)
	require.NoError(t, err)
	assert.InDelta(t, 500, list[0].Solid, 8)
	assert.InDelta(t, 100, list[1].Solid, 4)
	assert.Zero(t, list[1].Hanging)
}

// TestHangingShare holds what a view of a finding is chosen by.
func TestHangingShare(t *testing.T) {
	l := cut(t, shapes.T(), 30)
	left := mesh.Box{Min: mesh.Vec{X: 0.5, Y: 0.5, Z: 30}, Max: mesh.Vec{X: 19, Y: 9.5, Z: 30}}
	stem := mesh.Box{Min: mesh.Vec{X: 21, Y: 1, Z: 30}, Max: mesh.Vec{X: 29, Y: 9, Z: 30}}
	assert.InDelta(t, 1, l.HangingShare(left), 1e-9)
	assert.InDelta(t, 0, l.HangingShare(stem), 1e-9)
	assert.Zero(t, l.HangingShare(mesh.Box{Min: mesh.Vec{X: 900}, Max: mesh.Vec{X: 901}}))
}

// TestLayerSVG holds that the drawing is well-formed, self-contained or not as asked, and
// names its hatchings.
func TestLayerSVG(t *testing.T) {
	l := cut(t, shapes.T(), 30)
	alone := l.SVG(nil, 300, true)
	mark := &Mark{Number: 3, Level: finding.Error, At: mesh.Vec{X: 10, Y: 5, Z: 30}, Box: mesh.Box{Min: mesh.Vec{Z: 30}, Max: mesh.Vec{X: 5, Y: 10, Z: 30}}}
	part := l.SVG(mark, 300, false)
	for _, text := range []string{alone, part} {
		d := xml.NewDecoder(bytes.NewReader([]byte(text)))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else {
				require.NoError(t, err)
			}
		}
		assert.Contains(t, text, "url(#"+hangID+")")
		assert.Contains(t, text, " mm</text>")
		assert.Less(t, len(text), 4000)
	}
	assert.Contains(t, alone, "<pattern")
	assert.NotContains(t, part, "<pattern", "the page holds them once")
	assert.Contains(t, part, "<circle", "the place is ringed")
	assert.NotEqual(t, alone, part)
}

// TestLayerPNG holds the picture of dots against the cells.
func TestLayerPNG(t *testing.T) {
	l := cut(t, shapes.T(), 30)
	data, err := l.PNG(400)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	size := img.Bounds().Size()
	assert.Equal(t, 400, size.X)
	assert.Less(t, size.Y, 200)
	count := map[uint8]int{}
	for _, c := range img.(*image.Paletted).Pix {
		count[c]++
	}
	hang, carry, plain := count[5]+count[6], count[3]+count[4], count[2]
	assert.InDelta(t, l.Hanging/l.Solid, float64(hang)/float64(hang+carry+plain), 0.03)
	assert.InDelta(t, l.Carrying/l.Solid, float64(carry)/float64(hang+carry+plain), 0.03)
	assert.Positive(t, count[1], "an outline")
	dots := img.(*image.Paletted)
	for x := range size.X {
		for y := range layerRim - 1 {
			assert.Zero(t, dots.ColorIndexAt(x, y), "a margin")
		}
	}
	bar := 0
	for x := range size.X {
		if dots.ColorIndexAt(x, size.Y-8) == 1 {
			bar++
		}
	}
	assert.InDelta(t, 10*380.0/51, float64(bar), 12, "a bar of 10 mm, of the 50 mm that the T is wide")
	for _, side := range []int{0, MaxSide + 1} {
		_, err := l.PNG(side)
		assert.Error(t, err)
	}
}
