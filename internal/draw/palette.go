package draw

import (
	"image/color"

	"printlint/internal/finding"
)

// The colours of pictures and layer views. Those that carry meaning differ in lightness
// as well as in hue, so that they stay apart for every kind of colour vision and in
// grey; and each also has a hatching and a badge of its own, so that none is needed.
var (
	bodyLight = color.NRGBA{0xE9, 0xE3, 0xD6, 0xFF} // unbleached paper, facing the light
	bodyDark  = color.NRGBA{0x8B, 0x84, 0x78, 0xFF} // turned away from it
	line      = color.NRGBA{0x35, 0x31, 0x2C, 0xFF} // edges
	bedLine   = color.NRGBA{0x8A, 0x8F, 0x98, 0x70} // the bed's ruling, on any background
	paper     = color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}
	ink       = color.NRGBA{0x1E, 0x1B, 0x18, 0xFF}
)

// hatching is how the surface of a finding is painted over.
type hatching int

// The hatchings, one a level.
const (
	slanted hatching = iota // lines from lower left to upper right
	dotted
	level   // level lines
	upright // upright lines
)

// style is how a level looks.
type style struct {
	fill    color.NRGBA // the painted surface and the badge
	stroke  color.NRGBA // the hatching
	number  color.NRGBA // on the badge
	pattern hatching
	shape   badgeShape
}

// styles are how levels look, the most severe first, and then what goes down on the bed.
// The first three stand out from a light page and from the body by 3 to 1 at least.
var styles = [4]style{
	{color.NRGBA{0x7D, 0x0F, 0x45, 0xFF}, color.NRGBA{0x3A, 0x06, 0x20, 0xFF}, paper, slanted, sixSided},
	{color.NRGBA{0xB9, 0x77, 0x00, 0xFF}, color.NRGBA{0x5E, 0x3A, 0x00, 0xFF}, ink, dotted, square},
	{color.NRGBA{0x4D, 0x8D, 0xB5, 0xFF}, color.NRGBA{0x12, 0x40, 0x5F, 0xFF}, ink, level, round},
	{color.NRGBA{0x5F, 0xAE, 0x9C, 0xFF}, color.NRGBA{0x1F, 0x5B, 0x50, 0xFF}, paper, upright, round},
}

// styleOf returns the looks of a level; one that is not known looks like a note.
func styleOf(l finding.Level) *style {
	if l == downLevel {
		return &styles[downLevel.Rank()]
	}
	return &styles[min(l.Rank(), finding.Note.Rank())]
}

// shades is how many steps lie between the darkest and the lightest side.
const shades = 24

// mix returns n/of of b and the rest of a.
func mix(a, b color.NRGBA, n, of int) color.NRGBA {
	m := func(x, y uint8) uint8 { return uint8((int(x)*(of-n) + int(y)*n + of/2) / of) }
	return color.NRGBA{m(a.R, b.R), m(a.G, b.G), m(a.B, b.B), m(a.A, b.A)}
}

// covers says whether the hatching covers a sample. The pattern is fixed to the picture,
// not to the surface, so that it is as wide everywhere. Period and width are in samples.
func (h hatching) covers(x, y int) bool {
	const period, width = 6 * grain, 2 * grain
	switch h {
	case slanted:
		return (x+y)%period < width
	case level:
		return y%period < width
	case upright:
		return x%period < width
	}
	// Dots in staggered rows.
	row := y / (period / 2)
	x += row % 2 * (period / 2)
	dx, dy := x%period-period/2, y%(period/2)-period/4
	return dx*dx+dy*dy <= width*width/3
}
