package advise

import (
	"fmt"
	"math"
	"slices"

	"printlint/internal/added"
	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
)

// How much thicker a pin is made at most, and in which steps the least is looked for, as for
// its fillet. Judgement, no source.
const (
	mostPin  = 5.0
	pinTenth = 0.1
)

// mostTip is how much of the top of a pin, in mm, may be too thin to be part of what was measured.
const mostTip = 5.0

// sameWidth is how far the outline of a pin may be from the width that was measured: about what
// two layers of one that tapers make.
const sameWidth = 0.15

// pinNeeds is how much thicker a pin must be all along, and how large a fillet around its foot,
// so that no rule finds fault with it at any height; 0 where neither helps. One narrower than
// a line is made as thick as a wall that stands by itself.
func (w *wayUp) pinNeeds(site *measure.Site, pin *added.Pin) (by, cone float64) {
	line, layer := w.View.Process.Line, w.View.Process.Layer
	values := slices.Clone(site.Values)
	set := setter(measure.Column.Name(), values)
	found := func(width, height float64) bool {
		set("width", width)
		set("height", height)
		set("length", height)
		set("slenderness", height/math.Max(width, line))
		return w.finds(measure.Column.Name(), values, finding.Note)
	}
	least := 0.0
	if measure.Column.Site(site).Width < line {
		least = added.Thickness(line)
	}
	holds := func(from, more float64) bool {
		ok := true
		pin.Each(from, func(z, width float64) { ok = ok && !found(width+more, pin.High-z) })
		return ok
	}
	for step := 1; by == 0 && float64(step)*pinTenth <= mostPin; step++ {
		if more := float64(step) * pinTenth; pin.Width+more+1e-6 >= least && holds(pin.Low, more) {
			by = more
		}
	}
	for step := 1; cone == 0 && float64(step)*pinTenth < pin.High-pin.Low; step++ {
		// The column then begins where the fillet ends, to a layer.
		if size := float64(step) * pinTenth; holds(pin.Low+math.Max(size-layer, 0), 0) {
			cone = size
		}
	}
	return by, cone
}

// pinChoices are a fillet around the foot of a pin, and more of it all along.
func (t *thickener) pinChoices(p *thin) []*edit {
	site := p.hits[0].Site
	s, box := measure.Column.Site(site), t.way.place.ToBox(site.Box)
	cell := math.Min(t.way.View.Process.Line/4, 0.1)
	low := box.Min.Z
	if box = box.Grow(cell); !s.Braced {
		box.Max.Z += mostTip
	}
	box.Min.Z = low
	pin := added.PinIn(t.whole, box)
	if pin == nil || math.Abs(pin.WidthAt(s.Z+t.way.View.Process.Layer/2)-s.Width) > sameWidth {
		return nil
	}
	by, size := t.way.pinNeeds(site, pin)
	room := t.clearance()
	var cone, thicker *edit
	if size > 0 && size+room < added.PinReach && pin.Free(func(z float64) float64 { return pin.Low + size - z + room }) {
		solid, volume := pin.Fillet(size)
		words := fmt.Sprintf("put a fillet of %s around the foot of the pin, %s high and wide", catalog.Format(slopeAngle, catalog.Deg), hundredths(size))
		cone = t.stands(fillet, words, solid, volume)
	}
	if by > 0 && pin.Free(func(float64) float64 { return by/2 + room }) {
		solid, volume := pin.Thicker(by, s.Braced)
		words := fmt.Sprintf("make the pin %s thicker along %s: %s at its foot", hundredths(by), hundredths(pin.High-pin.Low), hundredths(pin.Width+by))
		thicker = t.stands(thickerPin, words, solid, volume)
	}
	return leastFirst(cone, thicker)
}
