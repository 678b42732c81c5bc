package draw

import (
	"image"
	"image/color"
	"math"
	"strconv"
)

// digits draws each digit as one line through points of a grid 4 wide and 6 high.
var digits = [10][][2]float64{
	{{1, 0}, {3, 0}, {4, 1}, {4, 5}, {3, 6}, {1, 6}, {0, 5}, {0, 1}, {1, 0}},
	{{0.8, 1.4}, {2.4, 0}, {2.4, 6}},
	{{0, 1.2}, {1, 0}, {3, 0}, {4, 1}, {4, 2}, {0, 6}, {4, 6}},
	{{0, 0}, {4, 0}, {1.8, 2.4}, {3, 2.4}, {4, 3.4}, {4, 5}, {3, 6}, {1, 6}, {0, 5}},
	{{3, 6}, {3, 0}, {0, 4.2}, {4, 4.2}},
	{{4, 0}, {0.4, 0}, {0.2, 2.6}, {2.6, 2.3}, {4, 3.4}, {4, 5}, {3, 6}, {1, 6}, {0, 5.2}},
	{{3.4, 0}, {1.6, 0.6}, {0, 3}, {0, 5}, {1, 6}, {3, 6}, {4, 5}, {4, 3.6}, {3, 2.6}, {1, 2.6}, {0, 3.6}},
	{{0, 0}, {4, 0}, {1.4, 6}},
	{{1, 2.8}, {0.2, 2}, {0.2, 0.8}, {1, 0}, {3, 0}, {3.8, 0.8}, {3.8, 2}, {3, 2.8}, {1, 2.8}, {0, 3.8}, {0, 5}, {1, 6}, {3, 6}, {4, 5}, {4, 3.8}, {3, 2.8}},
	{{4, 2.4}, {3, 3.4}, {1, 3.4}, {0, 2.4}, {0, 1}, {1, 0}, {3, 0}, {4, 1}, {4, 3}, {2.4, 5.4}, {0.6, 6}},
}

// letters are what pictures write besides digits, on the same grid.
var letters = map[rune][][][2]float64{
	'm': {{{0, 6}, {0, 2}}, {{0, 3}, {1, 2}, {2, 3}, {2, 6}}, {{2, 3}, {3, 2}, {4, 3}, {4, 6}}},
	'x': {{{0.5, 2}, {3.5, 6}}, {{3.5, 2}, {0.5, 6}}},
	'y': {{{0.5, 2}, {2, 5}}, {{3.5, 2}, {1, 7.5}}},
	'z': {{{0.5, 2}, {3.5, 2}, {0.5, 6}, {3.5, 6}}},
	'.': {{{2, 5.8}, {2, 6}}},
}

// overlay draws lines and badges over a finished picture. A pixel is covered as far as
// it lies within a shape, to within a pixel's width at its rim.
type overlay struct{ img *image.NRGBA }

// blend lays a colour over a pixel, share between 0 and 1.
func (o overlay) blend(x, y int, c color.NRGBA, share float64) {
	if !(image.Point{X: x, Y: y}.In(o.img.Rect)) {
		return
	}
	n := int(float64(max(0, min(share, 1))*255) + 0.5)
	if n == 0 {
		return
	}
	at := o.img.PixOffset(x, y)
	p := o.img.Pix[at : at+4 : at+4]
	below := int(p[3]) * (255 - n)
	sum := n*255 + below
	for i, v := range [3]uint8{c.R, c.G, c.B} {
		p[i] = uint8((int(v)*n*255 + int(p[i])*below + sum/2) / sum)
	}
	p[3] = uint8((sum + 127) / 255)
}

// inside paints the pixels that a signed distance calls inner, from (x0, y0) to (x1, y1).
func (o overlay) inside(x0, y0, x1, y1 float64, c color.NRGBA, distance func(x, y float64) float64) {
	for y := int(y0) - 2; y <= int(y1)+2; y++ {
		for x := int(x0) - 2; x <= int(x1)+2; x++ {
			o.blend(x, y, c, 0.5-distance(float64(x)+0.5, float64(y)+0.5))
		}
	}
}

// stroke draws a line of a width, with round ends.
func (o overlay) stroke(ax, ay, bx, by, width float64, c color.NRGBA) {
	r := width / 2
	dx, dy := bx-ax, by-ay
	long := float64(dx*dx) + float64(dy*dy)
	o.inside(min(ax, bx)-r, min(ay, by)-r, max(ax, bx)+r, max(ay, by)+r, c, func(x, y float64) float64 {
		t := 0.0
		if long > 0 {
			t = max(0, min(1, (float64((x-ax)*dx)+float64((y-ay)*dy))/long))
		}
		return length(x-ax-float64(t*dx), y-ay-float64(t*dy)) - r
	})
}

// badge draws a numbered badge with a line to its place.
func (o overlay) badge(b *Badge, s *style) {
	o.stroke(b.AtX, b.AtY, b.X, b.Y, 3.4, paper)
	o.stroke(b.AtX, b.AtY, b.X, b.Y, 1.4, ink)
	o.stroke(b.AtX, b.AtY, b.AtX, b.AtY, 7, paper)
	o.stroke(b.AtX, b.AtY, b.AtX, b.AtY, 4.6, ink)
	for _, k := range []struct {
		radius float64
		c      color.NRGBA
	}{{BadgeRadius + 1, paper}, {BadgeRadius, ink}, {BadgeRadius - 1.3, s.fill}} {
		o.inside(b.X-k.radius, b.Y-k.radius, b.X+k.radius, b.Y+k.radius, k.c, func(x, y float64) float64 {
			return s.shape.distance(x-b.X, y-b.Y, k.radius)
		})
	}
	o.number(b.X, b.Y, b.Number, s.number)
}

// distance returns how far a point lies outside of a badge around the origin.
func (s badgeShape) distance(x, y, radius float64) float64 {
	x, y = math.Abs(x), math.Abs(y)
	switch s {
	case sixSided:
		// Sides square to 0 and 60 degrees; the corners stand above and below.
		return max(x, float64(x*0.5)+float64(y*0.8660254)) - float64(radius*0.93)
	case square:
		return max(x, y) - float64(radius*0.88)
	}
	return length(x, y) - radius
}

// number draws a whole number around a middle.
func (o overlay) number(x, y float64, n int, c color.NRGBA) {
	text := strconv.Itoa(n)
	unit := 1.55
	if len(text) > 2 {
		unit = 1.05
	}
	o.text(x-float64(lettersAdvance*unit*float64(len(text)-1))/2-2*unit, y, text, unit, 1.5, c)
}

// lettersAdvance is how far a letter is from the next, in units of their grid.
const lettersAdvance = 5.6

// text writes digits and letters from a left border on, around a middle height.
func (o overlay) text(left, y float64, text string, unit, width float64, c color.NRGBA) {
	for i, r := range text {
		lines := letters[r]
		if r >= '0' && r <= '9' {
			lines = [][][2]float64{digits[r-'0']}
		}
		px := func(p [2]float64) (float64, float64) {
			return left + float64(float64(i)*lettersAdvance*unit) + float64(p[0]*unit), y + float64((p[1]-3)*unit)
		}
		for _, points := range lines {
			for k := range len(points) - 1 {
				ax, ay := px(points[k])
				bx, by := px(points[k+1])
				o.stroke(ax, ay, bx, by, width, c)
			}
		}
	}
}

// guides draws the axes into the lower left corner and a bar of a round length into the
// lower right one.
func (o overlay) guides(g *Guides) {
	size := o.img.Rect.Size()
	x, y := float64(axisLong+12), float64(size.Y-axisLong-12)
	for i, e := range g.Axes {
		for _, s := range [2]struct {
			width float64
			c     color.NRGBA
		}{{4, paper}, {1.6, ink}} {
			o.stroke(x, y, x+e[0], y+e[1], s.width, s.c)
			o.text(x+1.3*e[0]-2.4, y+1.3*e[1]-2, string("xyz"[i]), 1.2, s.width, s.c)
		}
	}
	o.bar(float64(size.X)-12-float64(g.Bar*g.Scale), float64(size.Y)-10, g.Bar, g.Scale)
}

// bar draws a bar of a length in mm from its left end on, and writes its length above it.
func (o overlay) bar(x, y, mm, scale float64) {
	long := float64(mm * scale)
	for _, s := range [2]struct {
		width float64
		c     color.NRGBA
	}{{4, paper}, {1.6, ink}} {
		o.stroke(x, y, x+long, y, s.width, s.c)
		o.stroke(x, y-4, x, y, s.width, s.c)
		o.stroke(x+long, y-4, x+long, y, s.width, s.c)
		o.text(x+5, y-10, strconv.FormatFloat(mm, 'f', -1, 64)+" mm", 1.2, s.width, s.c)
	}
}
