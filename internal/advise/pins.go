package advise

import (
	"context"
	"errors"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/cut"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// pin is a round pin that holds two pieces together while the glue sets.
type pin struct {
	thick float64 // mm
	deep  float64 // how far it goes into each piece, mm
	walls float64 // lines of plastic around its hole
	least float64 // and how much that is at least, mm
}

// pins are those that are tried, the strongest first: a rod that is sold by this size, and two
// lengths of filament. Thickness: common practice, no source; depths and walls: judgement.
var pins = []pin{
	{thick: 4, deep: 8, walls: 4, least: 1.6},
	{thick: 1.75, deep: 4, walls: 3, least: 1.2},
	{thick: 1.75, deep: 2.5, walls: 3, least: 1.2},
}

// How much deeper than its pin a hole is, in mm, and how far apart two of a joint are at least, from
// middle to middle, in times the thickness. Judgement, no source.
const (
	pinRoom   = 0.5
	pinsApart = 3.0
)

// hole is the one for the pin, and the solid that it needs around its corners. It leaves the
// narrowest gap that the process keeps open on either side of the pin, 0.4 mm in all by the usual
// figures: printed holes come out 0.2 to 0.4 mm smaller than drawn (see the measure hole).
func (p *pin) hole(process *catalog.Process) (h cut.Hole, wall float64) {
	h = cut.Hole{Radius: p.thick/2 + process.Limits.Gap.Holds, Depth: p.deep + pinRoom}
	return h, max(p.walls*process.Line, p.least)
}

// pinned is a split with holes for pins, or why it has none.
type pinned struct {
	holes []finding.PinHole
	bare  int    // joints without a pin
	alone int    // joints with one
	even  int    // joints with two about their middle, so that pieces that are turned fit too
	why   string // none
}

// addPins puts holes for pins into the pieces where there is room, judges these again, and takes
// them in place of the plain ones where the rules find nothing more. Where they do with the
// thicker pins, the thinner ones are tried alone.
func (q *Question) addPins(ctx context.Context, s *split) error {
	s.pins = &pinned{why: "the limit of work ended the search for places"}
	for from := range pins {
		plan, err := q.plan(ctx, s, pins[from:])
		if err != nil {
			return err
		}
		if len(plan.holes) == 0 {
			if from == 0 {
				s.pins = plan
			}
			return nil
		}
		pieces, err := along(work.Of(ctx), s.whole, s.planes, plan.holes...)
		if errors.Is(err, cut.ErrSection) || err == nil && !s.drilled(pieces, plan.holes) {
			s.pins.why = "the cut faces could not be closed around them"
			continue
		}
		if err != nil {
			return err
		}
		list, rule, err := q.judgeDrilled(ctx, s, pieces)
		if err != nil {
			return err
		}
		if rule == "" {
			s.pieces, s.pins = list, plan
			return nil
		}
		s.pins.why = "with them the rule " + rule + " finds more"
	}
	return nil
}

// drilled says that the pieces are what they were but for the holes, each in two pieces: closed,
// and less by their volume.
func (s *split) drilled(pieces []*piece, holes []finding.PinHole) bool {
	if len(pieces) != len(s.pieces) {
		return false
	}
	left := s.whole.Volume()
	for _, h := range holes {
		left -= 2 * holeOf(h).Volume()
	}
	for _, p := range pieces {
		if !p.mesh.Topology().Closed() {
			return false
		}
		left -= p.mesh.Volume()
	}
	return math.Abs(left) <= 1e-6*s.whole.Volume()
}

// judgeDrilled judges pieces with holes as the plain ones are laid. It names a rule that
// finds more than on these, if one does.
func (q *Question) judgeDrilled(ctx context.Context, s *split, pieces []*piece) (list []*laid, rule string, err error) {
	for i, p := range pieces {
		own, err := q.of(ctx, p.mesh)
		if err != nil {
			return nil, "", err
		}
		plain := s.pieces[i]
		out, err := own.at(ctx, plain.Down, false)
		if err != nil {
			return nil, "", err
		}
		c := plain.Candidate
		c.Contact = out.Base
		l := &laid{wayUp{c, out}, p}
		if rule := l.more(&plain.wayUp); rule != "" {
			return nil, rule, nil
		}
		list = append(list, l)
	}
	return list, "", nil
}

// more names a rule that finds more, at some level, than in another way up, or nothing.
func (w *wayUp) more(than *wayUp) string {
	type key struct {
		rule  string
		level finding.Level
	}
	old := map[key]int{} // looked up only
	for _, c := range than.left() {
		old[key{c.Rule, c.Level}] = c.Count
	}
	for _, c := range w.left() {
		if c.Count > old[key{c.Rule, c.Level}] {
			return c.Rule
		}
	}
	return ""
}

// holeOf is a hole as it is cut, its place left out.
func holeOf(h finding.PinHole) cut.Hole {
	return cut.Hole{Radius: h.Width / 2, Depth: h.Depth}
}

// holesAt are those of a plane, in the frame in which the piece is cut.
func (p *piece) holesAt(holes []finding.PinHole, plane int) (list []cut.Hole) {
	for _, h := range holes {
		if h.Plane == plane {
			at := p.from(mesh.VecOf(h.At)).Sub(p.shift)
			one := holeOf(h)
			one.X, one.Y = at.X, at.Y
			list = append(list, one)
		}
	}
	return list
}
