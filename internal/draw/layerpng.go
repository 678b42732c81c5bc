package draw

import (
	"fmt"
	"image"
	"image/color"
)

// PNG draws the layer as dots, at most side pixels wide and high, a cell at least one
// pixel where that is possible.
func (l *DrawnLayer) PNG(side int) ([]byte, error) {
	if side < MinSide || side > MaxSide {
		return nil, fmt.Errorf("a picture is %d to %d pixels wide, not %d", MinSide, MaxSide, side)
	}
	w := l.whole()
	layer := l.dots(w, side-2*layerRim)
	width, height := layer.Rect.Dx(), layer.Rect.Dy()
	img := image.NewPaletted(image.Rect(0, 0, max(width+2*layerRim, min(leastLayerWidth, side)), height+2*layerRim+layerFoot), layerPalette)
	for y := range height {
		copy(img.Pix[img.PixOffset(layerRim, layerRim+y):], layer.Pix[y*layer.Stride:y*layer.Stride+width])
	}
	return encode(l.barred(img, float64(width)/(float64(w.Dx())*l.grid.Cell)))
}

// barred draws a bar of a round length below a layer; scale is in pixels a mm.
func (l *DrawnLayer) barred(img *image.Paletted, scale float64) image.Image {
	over := image.NewNRGBA(img.Rect)
	size := img.Rect.Size()
	overlay{over}.bar(layerRim, float64(size.Y-8), roundLength(40/scale), scale)
	for y := size.Y - layerFoot; y < size.Y; y++ {
		for x := range size.X {
			if c := over.NRGBAAt(x, y); c.A > 0x7F && c.R < 0x7F {
				img.SetColorIndex(x, y, 1)
			}
		}
	}
	return img
}

// layerPalette is the colours of a layer, in the order of layerIndex.
var layerPalette = color.Palette{paper, line, solidFill, carryFill, carryStroke, hangFill, hangStroke}

// layerIndex returns the colour of a pixel: its kind, its hatching, or the outline.
func layerIndex(kind uint8, x, y int, edge bool) uint8 {
	switch {
	case edge:
		return 1
	case kind == hanging && (x+y)%7 < 2:
		return 6
	case kind == hanging:
		return 5
	case kind == carrying && (x%8 < 2 && y%8 < 2 || (x+4)%8 < 2 && (y+4)%8 < 2):
		return 4
	case kind == carrying:
		return 3
	case kind == solid:
		return 2
	}
	return 0
}
