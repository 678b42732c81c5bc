package draw

import (
	"fmt"
	"image"
	"image/color"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Tint is what a place of a surface is beside the shape before or after a change.
type Tint uint8

// What a place can be.
const (
	Kept    Tint = iota
	Added        // material that was not there before
	Removed      // material that is not there afterwards, or a face that its going has bared
)

// tints are how places look that are not kept: blue with plus signs, orange with minus
// signs. The two hues stay apart for every kind of colour vision, and the signs without
// colour.
var tints = [3]struct{ fill, sign color.NRGBA }{
	Added:   {color.NRGBA{0x2B, 0x6C, 0xA8, 0xFF}, color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}},
	Removed: {color.NRGBA{0xE3, 0x8E, 0x2A, 0xFF}, color.NRGBA{0x3A, 0x22, 0x00, 0xFF}},
}

// Tinted is a shape on one side of a change.
type Tinted struct {
	*mesh.Mesh
	// Of says what a point on a triangle is; nil where all is kept.
	Of func(tri int, p mesh.Vec) Tint
}

// Change draws a shape before and after a change, both in one frame, at one scale and from
// one side: that from which most of the change is seen.
func Change(was, now Tinted, opt Options) (before, after *Picture, err error) {
	if min(opt.Width, opt.Height) < MinSide || max(opt.Width, opt.Height) > MaxSide {
		return nil, nil, fmt.Errorf("a picture is %d to %d pixels wide and high, not %d x %d", MinSide, MaxSide, opt.Width, opt.Height)
	}
	r := rooms.Get().(*room)
	defer rooms.Put(r)
	r.tally = work.Tally{}
	if opt.Meter != nil {
		r.tally = opt.Meter.Tally()
	}
	drop := min(was.Box().Min.Z, now.Box().Min.Z)
	c := &change{room: r, drop: drop, sides: [2]Tinted{was.dropped(drop), now.dropped(drop)}}
	c.all = &mesh.Mesh{Verts: append(append([]mesh.Point{}, c.sides[0].Verts...), c.sides[1].Verts...)}
	view := c.choose()
	before, after = c.paint(0, view, &opt), c.paint(1, view, &opt)
	return before, after, r.tally.Close()
}

// dropped lowers a shape so that the bed is at height 0.
func (s Tinted) dropped(by float64) Tinted {
	m := &mesh.Mesh{Verts: make([]mesh.Point, len(s.Verts)), Tris: s.Tris}
	for i, p := range s.Verts {
		m.Verts[i] = mesh.Point{p[0], p[1], float32(float64(p[2]) - by)}
	}
	return Tinted{m, s.Of}
}

// change draws both sides of a change.
type change struct {
	*room
	sides [2]Tinted
	all   *mesh.Mesh // the corners of both
	drop  float64
}

// tintCost is what it costs to ask what a point is, about, in units of work.
const tintCost = 2000

// tint asks what a sample of the front shows.
func (c *change) tint(s *Tinted, f *projection, i int) Tint {
	if s.Of == nil || c.front.id[i] == none || !c.tally.Add(tintCost) {
		return Kept
	}
	p := c.front.at(f, i)
	p.Z += c.drop
	return s.Of(int(c.front.id[i]), p)
}

// choose picks the side that shows most of the change, on small pictures.
func (c *change) choose() View {
	best, most := Above(0), 0
	for side := range sides {
		v := Above(side)
		f := fit(v, c.all, 80, 60, 2)
		n := 0
		for k := range c.sides {
			s := &c.sides[k]
			c.front.reset(80, 60)
			c.fill(&c.front, s.Mesh, &f, nil)
			for i := range c.front.id {
				if c.tint(s, &f, i) != Kept {
					n++
				}
			}
		}
		if n > most {
			best, most = v, n
		}
	}
	return best
}

// paint draws one side.
func (c *change) paint(side int, v View, opt *Options) *Picture {
	s := &c.sides[side]
	w, h := opt.Width*grain, opt.Height*grain
	f := fit(v, c.all, w, h, margin(0)*grain)
	c.front.reset(w, h)
	c.fill(&c.front, s.Mesh, &f, nil)
	if cap(c.shade) < len(s.Tris) {
		c.shade = make([]uint8, len(s.Tris))
	}
	_, place := s.Posed(mesh.Identity)
	marks := &marked{place: place}
	p := &painter{m: s.Mesh, frame: f, front: &c.front, marks: marks, ground: groundUnder(c.all, &f), opaque: opt.Opaque,
		edges: c.edges, shadeOf: c.shade[:len(s.Tris)], tints: make([]Tint, opt.Width*opt.Height)}
	clear(p.shadeOf)
	for i := range p.ramp {
		p.ramp[i] = mix(bodyDark, bodyLight, i, shades-1)
	}
	shown := 0
	for i := range p.tints {
		if p.tints[i] = c.tint(s, &f, i/opt.Width*grain*w+i%opt.Width*grain); p.tints[i] != Kept {
			shown++
		}
	}
	p.findEdges()
	c.edges = p.edges
	pic := &Picture{Image: p.pixels(), Shown: shown, Words: fmt.Sprintf("%s; the squares of the bed are %g mm", v.Words, p.ground.square)}
	pic.Guides = guides(s.Mesh, marks, &f, opt)
	if opt.Badges {
		overlay{pic.Image}.guides(&pic.Guides)
	}
	return pic
}

// tinted is the colour of a sample that is not kept, lit by a step of brightness.
func tinted(t Tint, x, y, step int) color.NRGBA {
	k := &tints[t]
	if signs(t, x, y) {
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
