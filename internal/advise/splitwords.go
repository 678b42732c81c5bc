package advise

import (
	"fmt"
	"math"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/pose"
)

// SplitCaution is what to mind before a model is cut in pieces.
const SplitCaution = "a cut takes strength from the model, and so does the joint: its designer decides how the pieces are held together"

// report describes the pieces; from is the model as it lies.
func (s *split) report(lies *wayUp) *finding.Split {
	f := &finding.Split{Words: s.words(lies), Caution: SplitCaution, Planes: []finding.Plane{}, Pieces: []finding.Piece{}}
	for _, p := range s.planes {
		f.Planes = append(f.Planes, finding.Plane{Normal: [3]float64{p.normal.X, p.normal.Y, p.normal.Z}, Offset: p.offset, Area: finding.Round(p.section)})
	}
	if s.pins != nil {
		f.Pins = &finding.Pins{Words: s.pins.words(), Holes: append([]finding.PinHole{}, s.pins.holes...)}
	}
	for _, p := range s.pieces {
		one := finding.Piece{Volume: finding.Round(p.mesh.Volume()), OnCut: isAsItLies(p.wayUp), Pose: onePose(&p.wayUp, pose.Traits{})}
		m := pose.MatrixTo(p.Down)
		laid, _ := p.mesh.Posed(m)
		size := laid.Box().Size()
		one.Size = [3]float64{finding.Round(size.X), finding.Round(size.Y), finding.Round(size.Z)}
		one.Pose.Costs = []string{}
		down := p.back(p.Down)
		one.Pose.Down, one.Pose.Words = pose.Fine(down), pose.Words(down, p.Contact)
		one.Pose.Matrix = mesh.Product(m, p.turn)
		if one.OnCut {
			one.Pose.Words = onCutWords(pose.TurningTo(down))
		}
		f.Pieces = append(f.Pieces, one)
	}
	return f
}

// onCutWords say how a piece is turned that stands on its cut.
func onCutWords(t pose.Turning) string {
	if t.Axis == 0 {
		return t.String() + ", with the cut on the bed"
	}
	return "the cut goes on the bed: " + t.String()
}

// words say where to cut and what comes of it.
func (s *split) words(lies *wayUp) string {
	var cuts []string
	for _, p := range s.planes {
		cuts = append(cuts, p.words())
	}
	order := "cut it in " + number(len(s.pieces)) + " pieces, " + strings.Join(cuts, " and ") + ": then "
	places, clean := 0, true
	var grams, minutes float64
	for _, p := range s.pieces {
		places += len(p.structures)
		grams, minutes = grams+p.total.Grams, minutes+p.total.Minutes
		clean = clean && p.clean()
	}
	left := "they leave " + s.count().String() + " instead of " + lies.count().String()
	switch {
	case clean && len(s.pieces) == 2:
		return order + "both print without support"
	case clean:
		return order + "all print without support"
	case places == 1:
		return order + "they need support in one place, " + catalog.About(grams, minutes) + ", and without it " + left
	case places > 1:
		return order + fmt.Sprintf("they need support in %d places, ", places) + catalog.About(grams, minutes) + ", and without it " + left
	}
	return order + left
}

// words say where the plane lies, in the file's frame.
func (p *plane) words() string {
	of := func(axis string, along float64) string {
		return fmt.Sprintf("at %s = %s", axis, hundredths(plusZero(p.offset/along)))
	}
	n := p.normal
	area := " (" + catalog.Format(p.section, catalog.MM2) + ")"
	const square = 1e-9
	switch {
	case math.Hypot(n.X, n.Y) < square:
		return "level, " + of("z", n.Z) + area
	case math.Hypot(n.X, n.Z) < square:
		return "upright, " + of("y", n.Y) + area
	case math.Hypot(n.Y, n.Z) < square:
		return "upright, " + of("x", n.X) + area
	}
	at := n.Scale(p.offset)
	return fmt.Sprintf("along the plane through (%.1f, %.1f, %.1f) mm, square to the direction (%.2f, %.2f, %.2f)",
		plusZero(at.X), plusZero(at.Y), plusZero(at.Z), plusZero(n.X), plusZero(n.Y), plusZero(n.Z)) + area
}

// plusZero takes the sign off what rounds to nothing.
func plusZero(x float64) float64 {
	if math.Abs(x) < 0.005 {
		return 0
	}
	return x
}

// fine rounds a normal as reports carry it.
func fine(n mesh.Vec) mesh.Vec { return mesh.VecOf(pose.Fine(n)) }
