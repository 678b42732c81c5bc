package advise

import (
	"fmt"
	"strings"

	"printlint/internal/added"
	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/verdict"
)

// EditCaution is what to mind before something is added.
const EditCaution = "a part that is added changes how the model looks, fits and breaks: its designer decides"

// slopeEdit fills the corner under an underside.
func slopeEdit(s *added.Slope, h *verdict.Hit) *edit {
	solid := mesh.Weld(s.Solid)
	return &edit{
		kind: "slope", at: h.Site.At, rules: []string{h.Rule}, solid: solid,
		words: fmt.Sprintf("fill the corner under it with a slope of %s, %s deep where it starts", catalog.Format(slopeAngle, catalog.Deg), tenths(solid.Box().Size().Z)),
	}
}

// wallEdit puts walls under a bridge.
func wallEdit(solid *mesh.Triangles, count int, high float64, h *verdict.Hit) *edit {
	words := fmt.Sprintf("put a wall %s high under its middle", tenths(high))
	if count > 1 {
		words = fmt.Sprintf("put %s walls %s high under it, in equal shares", number(count), tenths(high))
	}
	return &edit{kind: "wall", at: h.Site.At, rules: []string{h.Rule}, solid: mesh.Weld(solid), words: words}
}

// plateEdit puts a plate under the foot.
func plateEdit(solid *mesh.Triangles, size mesh.Vec, h *verdict.Hit) *edit {
	return &edit{
		kind: "plate", at: h.Site.At, rules: []string{h.Rule}, solid: mesh.Weld(solid),
		words: fmt.Sprintf("stand it on a plate %s thick, %.0f by %.0f mm", tenths(size.Z), size.X, size.Y),
	}
}

// words say what to add and what comes of it.
func (e *edited) words(lies *wayUp) string {
	var orders []string
	if e.Origin != pose.AsItLies {
		orders = append(orders, pose.TurningTo(e.Down).String())
	}
	for _, k := range e.kinds() {
		switch {
		case k.count == 1:
			orders = append(orders, k.one.words)
		case thickened(k.one.kind):
			orders = append(orders, thickWords(k))
		case k.one.away != nil:
			orders = append(orders, fmt.Sprintf("point the tops of the %s holes below", number(k.count)))
		default:
			orders = append(orders, fmt.Sprintf("add %s %s at the places below", number(k.count), plural(k.one.kind)))
		}
	}
	return strings.Join(orders, ", ") + ": then it " + e.comes(lies)
}

// ofKind are the solids of one kind.
type ofKind struct {
	one   *edit // the last of them
	count int
}

// kinds counts the solids by kind.
func (e *edited) kinds() (list []ofKind) {
	for _, kind := range []string{"plate", "slope", "arch", "wall", "drop", thickerWall, thickerPin, fillet} {
		var k ofKind
		for _, c := range e.list {
			if c.kind == kind {
				k = ofKind{c, k.count + 1}
			}
		}
		if k.count > 0 {
			list = append(list, k)
		}
	}
	return list
}

// toDraw names the solids that somebody has to draw, and the holes to change.
func (e *edited) toDraw() string {
	var drawn, holes []string
	for _, k := range e.kinds() {
		switch {
		case k.one.away != nil && k.count == 1:
			holes = append(holes, "point the top of a hole")
		case k.one.away != nil:
			holes = append(holes, fmt.Sprintf("point the tops of %s holes", number(k.count)))
		case k.count == 1:
			drawn = append(drawn, one(plainKind(k.one.kind)))
		default:
			drawn = append(drawn, number(k.count)+" "+plural(plainKind(k.one.kind)))
		}
	}
	if len(drawn) > 0 {
		drawn[0] = "draw " + drawn[0]
	}
	return strings.Join(append(drawn, holes...), ", ")
}
