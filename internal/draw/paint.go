package draw

import (
	"image"
	"image/color"
	"math"

	"printlint/internal/mesh"
)

// grain is how many samples a pixel has to each side.
const grain = 2

// Where the light comes from, in the view: over the viewer's left shoulder. A box with
// the edges 2, 3 and 6 has the diagonal 7.
var light = mesh.Vec{X: -2.0 / 7, Y: 3.0 / 7, Z: 6.0 / 7}

// creaseCosine is the cosine of 32 degrees: faces that meet at a larger turn have an
// edge between them. Arcs of 16 sides (22.5 degrees) still look round.
const creaseCosine = 0.848

// painter turns what lies on each sample into colours.
type painter struct {
	m       *mesh.Mesh
	frame   projection
	front   *depths // of the whole model
	hidden  *depths // of the marked surfaces alone
	marks   *marked
	ground  ground
	edges   []bool
	shadeOf []uint8 // by triangle: 1 + step of shade, 0 where not yet known
	opaque  bool
	tints   []Tint // by pixel, where a change is drawn
	sheets  []*sheet
	ramp    [shades]color.NRGBA
}

// normal returns the unit normal of a triangle, turned to the viewer, in the view.
func (p *painter) normal(t int32) mesh.Vec {
	n := p.frame.view.turn(p.m.Normal(int(t)).Unit())
	if n.Z < 0 {
		return n.Scale(-1)
	}
	return n
}

// shade returns the step of brightness of a triangle.
func (p *painter) shade(t int32) int {
	if s := p.shadeOf[t]; s > 0 {
		return int(s) - 1
	}
	lit := max(0, p.normal(t).Dot(light))
	step := int(float64(lit*(shades-1)) + 0.5)
	p.shadeOf[t] = uint8(step) + 1
	return step
}

// findEdges marks the samples of creases and outlines.
func (p *painter) findEdges() {
	w, h := p.front.width, p.front.height
	if cap(p.edges) < w*h {
		p.edges = make([]bool, w*h)
	}
	p.edges = p.edges[:w*h]
	clear(p.edges)
	for y := range h {
		for x := range w {
			i := y*w + x
			if x+1 < w {
				p.edge(i, i+1, 1, 0)
			}
			if y+1 < h {
				p.edge(i, i+w, 0, 1)
			}
		}
	}
}

// edge compares two neighbouring samples, j lying dx, dy beyond i.
func (p *painter) edge(i, j, dx, dy int) {
	a, b := p.front.id[i], p.front.id[j]
	if a == b {
		return
	}
	if a == none || b == none {
		p.edges[i], p.edges[j] = a != none, b != none
		return
	}
	na, nb := p.normal(a), p.normal(b)
	if p.apart(i, j, na, nb, dx, dy) {
		// An outline belongs to what stands in front.
		if p.front.z[i] > p.front.z[j] {
			p.edges[i] = true
		} else {
			p.edges[j] = true
		}
		return
	}
	if na.Dot(nb) < creaseCosine {
		p.edges[i], p.edges[j] = true, true
	}
}

// apart says whether a gap in depth lies between two samples: neither surface, carried
// on, meets the other.
func (p *painter) apart(i, j int, na, nb mesh.Vec, dx, dy int) bool {
	step := 1 / p.frame.scale
	za, zb := float64(p.front.z[i]), float64(p.front.z[j])
	slope := func(n mesh.Vec) float64 {
		// Depth gained a sample to the right or down, bounded where n lies flat.
		return float64((float64(-n.X)*float64(dx)+float64(n.Y*float64(dy)))*step) / max(n.Z, 0.05)
	}
	allowed := 1.5 * step
	return math.Abs(zb-za-slope(na)) > allowed && math.Abs(zb-za-slope(nb)) > allowed
}

// colour returns the colour of a sample, with the sheets before it.
func (p *painter) colour(x, y int) color.NRGBA {
	c := p.surface(x, y)
	for _, s := range p.sheets {
		c = s.over(c, p.front, x, y)
	}
	return c
}

// surface returns the colour of what lies on a sample.
func (p *painter) surface(x, y int) color.NRGBA {
	i := y*p.front.width + x
	t := p.front.id[i]
	if t == none {
		return p.behind(x, y)
	}
	if p.edges[i] {
		return line
	}
	step := p.shade(t)
	if p.tints != nil {
		if k := p.tints[y/grain*(p.front.width/grain)+x/grain]; k != Kept {
			return tinted(k, x, y, step)
		}
		if p.hidden != nil && p.hidden.id[i] != none && slanted.covers(x, y) {
			return mix(p.ramp[step], tints[Added].fill, 6, 10)
		}
		return p.ramp[step]
	}
	at := p.front.at(&p.frame, i)
	if mark := p.marks.at(t, at); mark >= 0 {
		if p.meets(x, y, mark) {
			return line
		}
		s := styleOf(p.marks.marks[mark].Level)
		across := x
		if p.marks.marks[mark].Number%2 == 0 {
			across = p.front.width - x // the other way, so that neighbours differ
		}
		if s.pattern.covers(across, y) {
			return s.stroke
		}
		return mix(mix(s.fill, line, 4, 10), mix(s.fill, paper, 4, 10), step, shades-1)
	}
	body := p.ramp[step]
	if mark := p.through(i); mark >= 0 {
		// What lies behind is shown by open hatching alone.
		if s := styleOf(p.marks.marks[mark].Level); s.pattern.covers(x, y) {
			return mix(body, s.fill, 6, 10)
		}
	}
	return body
}

// meets says whether another finding begins beside a sample of one, so that two that
// touch are told apart.
func (p *painter) meets(x, y, mark int) bool {
	d := p.front
	for _, j := range [4][2]int{{x + 2, y}, {x, y + 2}, {x - 2, y}, {x, y - 2}} {
		if j[0] < 0 || j[1] < 0 || j[0] >= d.width || j[1] >= d.height {
			continue
		}
		i := j[1]*d.width + j[0]
		if t := d.id[i]; t != none {
			if other := p.marks.at(t, d.at(&p.frame, i)); other >= 0 && other != mark {
				return true
			}
		}
	}
	return false
}

// through returns the mark whose surface lies behind a sample, or -1.
func (p *painter) through(i int) int {
	if p.hidden == nil || p.hidden.id[i] == none {
		return -1
	}
	return p.marks.at(p.hidden.id[i], p.hidden.at(&p.frame, i))
}

// behind is the colour where no model is: the bed's ruling or nothing.
func (p *painter) behind(x, y int) color.NRGBA {
	ruled := p.ground.covers(&p.frame, float64(x)+0.5, float64(y)+0.5)
	switch {
	case ruled && p.opaque:
		return mix(paper, color.NRGBA{bedLine.R, bedLine.G, bedLine.B, 0xFF}, int(bedLine.A), 0xFF)
	case ruled:
		return bedLine
	case p.opaque:
		return paper
	}
	return color.NRGBA{}
}

// pixels averages the samples of each pixel. All of it is whole numbers.
func (p *painter) pixels() *image.NRGBA {
	w, h := p.front.width/grain, p.front.height/grain
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			var r, g, b, a int
			for k := range grain * grain {
				c := p.colour(x*grain+k%grain, y*grain+k/grain)
				n := int(c.A)
				r, g, b, a = r+int(c.R)*n, g+int(c.G)*n, b+int(c.B)*n, a+n
			}
			if a == 0 {
				continue
			}
			at := img.PixOffset(x, y)
			img.Pix[at] = uint8((r + a/2) / a)
			img.Pix[at+1] = uint8((g + a/2) / a)
			img.Pix[at+2] = uint8((b + a/2) / a)
			img.Pix[at+3] = uint8((a + grain*grain/2) / (grain * grain))
		}
	}
	return img
}
