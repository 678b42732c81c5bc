package draw

import (
	"fmt"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Scene is what one picture or several show in one frame, at one scale and from one side.
type Scene struct {
	// Shapes are those to draw, one a picture.
	Shapes []Tinted
	// Views are those to choose among: that from which most of the tints is seen.
	Views []View
	// Focus is what is shown as large as the picture has room for; all where it is zero.
	Focus mesh.Box
	// Cost is what it costs to ask what a point is, in units of work; a little where it is 0.
	Cost int64
}

// Draw draws the scene.
func (s *Scene) Draw(opt Options) ([]*Picture, error) {
	if min(opt.Width, opt.Height) < MinSide || max(opt.Width, opt.Height) > MaxSide {
		return nil, fmt.Errorf("a picture is %d to %d pixels wide and high, not %d x %d", MinSide, MaxSide, opt.Width, opt.Height)
	}
	r := rooms.Get().(*room)
	defer rooms.Put(r)
	r.tally = work.Tally{}
	if opt.Meter != nil {
		r.tally = opt.Meter.Tally()
	}
	c := &change{room: r, scene: s, all: &mesh.Mesh{}}
	for i := range s.Shapes {
		if low := s.Shapes[i].Box().Min.Z; i == 0 || low < c.drop {
			c.drop = low
		}
	}
	for i := range s.Shapes {
		dropped := s.Shapes[i].dropped(c.drop)
		c.sides = append(c.sides, dropped)
		c.all.Verts = append(c.all.Verts, dropped.Verts...)
		for k := range dropped.Sheets {
			for _, p := range dropped.Sheets[k].corners(dropped.Mesh) {
				c.around = append(c.around, mesh.Of32(p))
			}
		}
	}
	c.around = append(c.around, c.all.Verts...)
	view := c.choose()
	var list []*Picture
	for i := range c.sides {
		list = append(list, c.paint(i, view, &opt))
	}
	return list, r.tally.Close()
}

// dropped lowers a shape so that the bed is at height 0.
func (s Tinted) dropped(by float64) Tinted {
	m := s.Mapped(func(v mesh.Vec) mesh.Vec { return v.Sub(mesh.Vec{Z: by}) })
	low := Tinted{m, s.Of, nil, s.Through}
	for _, k := range s.Sheets {
		k.Offset -= float64(by * k.Normal.Z)
		low.Sheets = append(low.Sheets, k)
	}
	return low
}

// change draws all shapes of a scene.
type change struct {
	*room
	scene  *Scene
	sides  []Tinted
	all    *mesh.Mesh   // the corners of all
	around []mesh.Point // and of the sheets
	drop   float64
}

// plainCost is what it costs to ask what a point is, about, where nothing is searched for it.
const plainCost = 5

// tint asks what a sample of the front shows.
func (c *change) tint(s *Tinted, f *projection, i int) Tint {
	if s.Of == nil || c.front.id[i] == none || !c.tally.Add(max(c.scene.Cost, plainCost)) {
		return Kept
	}
	p := c.front.at(f, i)
	p.Z += c.drop
	return s.Of(int(c.front.id[i]), p)
}

// fit lays what is to be shown in the middle of a picture.
func (c *change) fit(v View, width, height, margin int) projection {
	if b := c.scene.Focus; b != (mesh.Box{}) {
		down := mesh.Vec{Z: c.drop}
		return fit(v, cornersOf(mesh.Box{Min: b.Min.Sub(down), Max: b.Max.Sub(down)}), width, height, margin)
	}
	return fit(v, &mesh.Mesh{Verts: c.around}, width, height, margin)
}

// choose picks the side that shows most of the change, on small pictures.
func (c *change) choose() View {
	best, most := c.scene.Views[0], 0.0
	for _, v := range c.scene.Views {
		if score := c.score(v); score > most {
			best, most = v, score
		}
	}
	return best
}

// score says how much of the tints is seen. Of pieces each should be, and of sheets not only
// the edge; a view through the bed must show four times as much.
func (c *change) score(v View) float64 {
	const width, height = 80, 60
	f := c.fit(v, width, height, 2)
	var count [piece + maxPieces]int
	for k := range c.sides {
		s := &c.sides[k]
		c.front.reset(width, height)
		c.fill(&c.front, s.Mesh, &f, nil)
		for i := range c.front.id {
			count[c.tint(s, &f, i)]++
		}
	}
	seen := 0
	for t, n := range count {
		if Tint(t) != Kept {
			seen += n
		}
	}
	score := float64(seen)
	if count[piece]+count[piece+1] > 0 {
		score = float64(min(count[piece], count[piece+1])) + float64(score/100)
	}
	for k := range c.sides {
		for _, s := range c.sides[k].Sheets {
			facing := s.Normal.Dot(v.Toward)
			score *= 0.2 + float64(facing*facing)
		}
	}
	if v.Toward.Z < 0 {
		score /= 4
	}
	return score
}

// paint draws one shape.
func (c *change) paint(side int, v View, opt *Options) *Picture {
	s := &c.sides[side]
	w, h := opt.Width*grain, opt.Height*grain
	f := c.fit(v, w, h, margin(0)*grain)
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
	if len(s.Through) > 0 {
		c.hidden.reset(w, h)
		c.fill(&c.hidden, s.Mesh, &f, s.Through)
		p.hidden = &c.hidden
	}
	for i := range s.Sheets {
		p.sheets = append(p.sheets, s.Sheets[i].in(s.Mesh, &f))
	}
	shown := 0
	for i := range p.tints {
		if p.tints[i] = c.tint(s, &f, i/opt.Width*grain*w+i%opt.Width*grain); p.tints[i] != Kept {
			shown++
		}
	}
	p.findEdges()
	c.edges = p.edges
	pic := &Picture{Image: p.pixels(), Shown: shown, Words: v.Words}
	if !p.ground.line {
		pic.Words += fmt.Sprintf("; the squares of the bed are %g mm", p.ground.square)
	}
	pic.Guides = guides(s.Mesh, marks, &f, opt)
	pic.Pieces = numbers(p.tints, opt.Width)
	if opt.Badges {
		overlay{pic.Image}.guides(&pic.Guides)
	}
	return pic
}

// numbers says where the numbers of pieces stand: on what is seen of each, nearest to its
// middle.
func numbers(tints []Tint, width int) (list []PieceAt) {
	var count, x, y [maxPieces]int
	for i, t := range tints {
		if t >= piece {
			k := t - piece
			count[k], x[k], y[k] = count[k]+1, x[k]+i%width, y[k]+i/width
		}
	}
	var best [maxPieces]int
	near := [maxPieces]int{}
	for i, t := range tints {
		if t < piece {
			continue
		}
		k := t - piece
		dx, dy := i%width-x[k]/count[k], i/width-y[k]/count[k]
		if d := dx*dx + dy*dy + 1; near[k] == 0 || d < near[k] {
			best[k], near[k] = i, d
		}
	}
	for k, n := range count {
		if n > 0 {
			list = append(list, PieceAt{k + 1, float64(best[k] % width), float64(best[k] / width)})
		}
	}
	return list
}
