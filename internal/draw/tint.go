package draw

import (
	"image"
	"image/color"

	"printlint/internal/mesh"
)

// Tint is what a place of a surface is beside the shape before or after a change, or which
// piece of a shape that is cut it belongs to.
type Tint uint8

// What a place can be.
const (
	Kept     Tint = iota
	Added         // material that was not there before
	Removed       // material that is not there afterwards, or a face that its going has bared
	Standing      // a face that stands on the bed
	piece         // the first of the pieces
)

// maxPieces is how many pieces have looks of their own.
const maxPieces = 8

// Piece is the tint of a piece by its number, from 0.
func Piece(n int) Tint { return piece + Tint(n%maxPieces) }

// looks are how a place looks that is not kept.
type looks struct {
	fill, sign color.NRGBA
	covers     func(x, y int) bool // where the sign is; nil for nowhere
}

// tints are blue with plus signs for what is added, orange with minus signs for what is
// removed, and green with upright lines, as in other pictures, for what stands on the bed.
// Hues stay apart for every kind of colour vision, and the signs without colour.
//
// Pieces that lie beside each other differ in lightness, and have their number as well.
var tints = [piece + maxPieces]looks{
	Added:    {color.NRGBA{0x2B, 0x6C, 0xA8, 0xFF}, paper, func(x, y int) bool { return signs(Added, x, y) }},
	Removed:  {color.NRGBA{0xE3, 0x8E, 0x2A, 0xFF}, color.NRGBA{0x3A, 0x22, 0x00, 0xFF}, func(x, y int) bool { return signs(Removed, x, y) }},
	Standing: {styles[3].fill, styles[3].stroke, upright.covers},
	piece:    {pieceFills[0], ink, nil}, {pieceFills[1], paper, nil},
	{pieceFills[2], ink, level.covers}, {pieceFills[3], paper, dotted.covers},
	{pieceFills[0], pieceFills[3], slanted.covers}, {pieceFills[1], pieceFills[0], level.covers},
	{pieceFills[2], paper, dotted.covers}, {pieceFills[3], pieceFills[0], slanted.covers},
}

var pieceFills = [4]color.NRGBA{{0xF0, 0xD9, 0x6A, 0xFF}, {0x6B, 0x4F, 0xA0, 0xFF}, {0x4F, 0xB0, 0xBC, 0xFF}, {0x7A, 0x4B, 0x2A, 0xFF}}

// Tinted is a shape with what is to be seen of a change.
type Tinted struct {
	*mesh.Mesh
	// Of says what a point on a triangle is; nil where all is kept.
	Of func(tri int, p mesh.Vec) Tint
	// Sheets are planes that are drawn through the shape.
	Sheets []Sheet
	// Through are triangles that are seen through what lies before them, in open hatching.
	Through []uint32
}

// Change draws a shape before and after a change, both in one frame, at one scale and from
// one side: that from which most of the change is seen.
func Change(was, now Tinted, opt Options) (before, after *Picture, err error) {
	list, err := (&Scene{Shapes: []Tinted{was, now}, Views: FromAbove(), Cost: tintCost}).Draw(opt)
	if err != nil {
		return nil, nil, err
	}
	return list[0], list[1], nil
}

// tintCost is what it costs to ask what a point is beside another shape, about, in units of
// work.
const tintCost = 2000

// tinted is the colour of a sample that is not kept, lit by a step of brightness: never so dark
// that its hue is lost.
func tinted(t Tint, x, y, step int) color.NRGBA {
	k := &tints[t]
	step = (shades + 2*step) / 3
	if k.covers != nil && k.covers(x, y) {
		return k.sign
	}
	return mix(mix(k.fill, line, 3, 10), mix(k.fill, paper, 3, 10), step, shades-1)
}

// signs says whether a sign covers a sample: a plus, or a minus.
func signs(t Tint, x, y int) bool {
	const period, long, thick = 9 * grain, 5 * grain, 3 // samples
	x += y / period % 2 * (period / 2)
	dx, dy := x%period-period/2, y%period-period/2
	if dx < 0 {
		dx = -dx
	}
	if dy < 0 {
		dy = -dy
	}
	across := 2*dx <= long && 2*dy <= thick
	return across || t == Added && 2*dy <= long && 2*dx <= thick
}

// PNGWithGuides encodes a picture with its guides drawn into it, on white, for a file of
// its own.
func (p *Picture) PNGWithGuides() ([]byte, error) {
	out := &Picture{Image: onWhite(p.Image)}
	overlay{out.Image}.guides(&p.Guides)
	return out.PNG()
}

// onWhite lays a picture on white paper.
func onWhite(img *image.NRGBA) *image.NRGBA {
	out := image.NewNRGBA(img.Rect)
	for i := 0; i < len(img.Pix); i += 4 {
		c := mix(paper, color.NRGBA{img.Pix[i], img.Pix[i+1], img.Pix[i+2], 0xFF}, int(img.Pix[i+3]), 0xFF)
		out.Pix[i], out.Pix[i+1], out.Pix[i+2], out.Pix[i+3] = c.R, c.G, c.B, 0xFF
	}
	return out
}
