package draw

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
)

// Small is a picture as many times smaller as it takes to be no wider than so many pixels,
// for a list of many: each of its pixels is the mean of a square of the other.
func Small(data []byte, wide int) ([]byte, error) {
	from, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	at := from.Bounds()
	step := max(1, (at.Dx()+wide-1)/wide)
	to := image.NewRGBA(image.Rect(0, 0, max(1, at.Dx()/step), max(1, at.Dy()/step)))
	for y := range to.Rect.Dy() {
		for x := range to.Rect.Dx() {
			to.SetRGBA(x, y, mean(from, image.Rect(0, 0, step, step).Add(at.Min).Add(image.Pt(x*step, y*step)).Intersect(at)))
		}
	}
	return encodeFast(to)
}

// mean is the mean colour of a rectangle.
func mean(img image.Image, of image.Rectangle) color.RGBA {
	var sum [4]uint32
	for y := of.Min.Y; y < of.Max.Y; y++ {
		for x := of.Min.X; x < of.Max.X; x++ {
			r, g, b, a := img.At(x, y).RGBA()
			for i, v := range [4]uint32{r, g, b, a} {
				sum[i] += v >> 8
			}
		}
	}
	n := uint32(of.Dx() * of.Dy())
	return color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), uint8(sum[3] / n)}
}
