package advise

import (
	"fmt"
	"math"
	"slices"

	"printlint/internal/added"
	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
)

// How much thicker a pin is made at most, and in which steps the least is looked for, as for
// its fillet. Judgement, no source.
const (
	mostPin  = 5.0
	pinTenth = 0.1
)

// sameWidth is how far the outline of a pin may be from the width that was measured: about what
// two layers of one that tapers make.
const sameWidth = 0.15

// pinNeeds is how much thicker a pin must be all along, and how large a fillet around its foot,
// so that no rule finds fault with it; 0 where neither helps. One narrower than a line is
// made as thick as a wall that stands by itself.
func (w *wayUp) pinNeeds(site *measure.Site) (by, fillet float64) {
	s, line := measure.Column.Site(site), w.View.Process.Line
	values := slices.Clone(site.Values)
	set := setter(measure.Column.Name(), values)
	least := 0.0
	if s.Width < line {
		least = added.Thickness(line)
	}
	for step := 1; by == 0 && float64(step)*pinTenth <= mostPin; step++ {
		more := float64(step) * pinTenth
		width := s.Width + more
		set("width", width)
		set("slenderness", s.Height/math.Max(width, line))
		if width+1e-6 >= least && !w.finds(measure.Column.Name(), values, finding.Note) {
			by = more
		}
	}
	set("width", s.Width)
	for step := 1; fillet == 0 && float64(step)*pinTenth < s.Height; step++ {
		size := float64(step) * pinTenth
		// The column then begins where the fillet ends, to a layer.
		left := s.Height - math.Max(size-w.View.Process.Layer, 0)
		set("height", left)
		set("length", math.Max(s.Length-size, left))
		set("slenderness", left/math.Max(s.Width, line))
		if !w.finds(measure.Column.Name(), values, finding.Note) {
			fillet = size
		}
	}
	return by, fillet
}

// pinChoices are a fillet around the foot of a pin, and more of it all along.
func (t *thickener) pinChoices(p *thin) (list []*edit) {
	site := p.hits[0].Site
	s := measure.Column.Site(site)
	posed := t.way.place.ToBox(site.Box)
	cell := math.Min(t.way.View.Process.Line/4, 0.1)
	box := mesh.Box{
		Min: mesh.Vec{X: posed.Min.X - cell, Y: posed.Min.Y - cell, Z: s.Z},
		Max: mesh.Vec{X: posed.Max.X + cell, Y: posed.Max.Y + cell, Z: s.Z + s.Height},
	}
	pin := added.PinIn(t.whole, box)
	if pin == nil || math.Abs(pin.Width-s.Width) > sameWidth {
		return nil
	}
	var cone, thicker *edit
	if p.fillet > 0 {
		solid, volume := pin.Fillet(p.fillet)
		words := fmt.Sprintf("put a fillet of %s around the foot of the pin, %s high and wide", catalog.Format(slopeAngle, catalog.Deg), mm(p.fillet))
		cone = t.stands(fillet, words, solid, volume)
	}
	if p.by > 0 {
		solid, volume := pin.Thicker(p.by, s.Braced)
		words := fmt.Sprintf("make the pin %s thicker along %s: %s", mm(p.by), mm(s.Height), mm(s.Width+p.by))
		thicker = t.stands(thickerPin, words, solid, volume)
	}
	return leastFirst(cone, thicker)
}
