package draw

import (
	"cmp"
	"image"
	"image/color"
	"slices"
)

// indexed reduces a picture to 256 colours, which makes its file a third as large: the
// most frequent ones, to within a 32nd of each channel, and for every other one the
// nearest of them.
func indexed(img *image.NRGBA) *image.Paletted {
	bins := countBins(img)
	most := min(len(bins), 256)
	palette := make(color.Palette, most)
	for i := range most {
		palette[i] = bins[i].mean()
	}
	var index [1 << 18]uint8
	for i := range bins {
		if i < most {
			index[bins[i].key] = uint8(i)
		} else {
			index[bins[i].key] = nearest(palette, bins[i].mean())
		}
	}
	out := image.NewPaletted(img.Rect, palette)
	for i := range out.Pix {
		out.Pix[i] = index[key(img.Pix[i*4:i*4+4])]
	}
	return out
}

// bin is every pixel of about the same colour.
type bin struct {
	key, count int
	sum        [4]int
}

func (b *bin) mean() color.NRGBA {
	m := func(k int) uint8 { return uint8((b.sum[k] + b.count/2) / b.count) }
	return color.NRGBA{m(0), m(1), m(2), m(3)}
}

// key joins the leading bits of a pixel's channels, three of alpha.
func key(p []uint8) int {
	return int(p[0]>>3)<<13 | int(p[1]>>3)<<8 | int(p[2]>>3)<<3 | int(p[3]>>5)
}

// countBins lists the bins in use, the fullest first.
func countBins(img *image.NRGBA) []bin {
	var list []bin
	at := make([]int32, 1<<18)
	for i := 0; i < len(img.Pix); i += 4 {
		p := img.Pix[i : i+4]
		k := key(p)
		if at[k] == 0 {
			list = append(list, bin{key: k})
			at[k] = int32(len(list))
		}
		b := &list[at[k]-1]
		b.count++
		for c := range b.sum {
			b.sum[c] += int(p[c])
		}
	}
	slices.SortFunc(list, func(a, b bin) int { return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.key, b.key)) })
	return list
}

// nearest returns the index of the colour that differs least.
func nearest(palette color.Palette, c color.NRGBA) uint8 {
	best, least := 0, 1<<30
	for i := range palette {
		p := palette[i].(color.NRGBA)
		d := square2(p.R, c.R) + square2(p.G, c.G) + square2(p.B, c.B) + 2*square2(p.A, c.A)
		if d < least {
			best, least = i, d
		}
	}
	return uint8(best)
}

func square2(a, b uint8) int {
	d := int(a) - int(b)
	return d * d
}
