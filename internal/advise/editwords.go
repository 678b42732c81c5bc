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

func mm(x float64) string { return catalog.Format(x, catalog.MM) }

// slopeEdit fills the corner under an underside.
func slopeEdit(s *added.Slope, h *verdict.Hit) *edit {
	solid := mesh.Weld(s.Solid)
	return &edit{
		kind: "slope", at: h.Site.At, solid: solid,
		words: fmt.Sprintf("fill the corner under it with a slope of %s, %s deep where it starts", catalog.Format(slopeAngle, catalog.Deg), mm(solid.Box().Size().Z)),
	}
}

// wallEdit puts walls under a bridge.
func wallEdit(solid *mesh.Triangles, count int, high float64, h *verdict.Hit) *edit {
	words := fmt.Sprintf("put a wall %s high under its middle", mm(high))
	if count > 1 {
		words = fmt.Sprintf("put %s walls %s high under it, in equal shares", number(count), mm(high))
	}
	return &edit{kind: "wall", at: h.Site.At, solid: mesh.Weld(solid), words: words}
}

// plateEdit puts a plate under the foot.
func plateEdit(solid *mesh.Triangles, size, at mesh.Vec) *edit {
	return &edit{
		kind: "plate", at: at, solid: mesh.Weld(solid),
		words: fmt.Sprintf("stand it on a plate %s thick, %.0f by %.0f mm", mm(size.Z), size.X, size.Y),
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
		default:
			orders = append(orders, fmt.Sprintf("add %s %ss at the places below", number(k.count), k.one.kind))
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
	for _, kind := range []string{"plate", "slope", "wall", thickerWall, thickerPin, fillet} {
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

// toDraw names the solids that somebody has to draw.
func (e *edited) toDraw() string {
	var words []string
	for _, k := range e.kinds() {
		if k.count == 1 {
			words = append(words, "a "+plainKind(k.one.kind))
		} else {
			words = append(words, number(k.count)+" "+plainKind(k.one.kind)+"s")
		}
	}
	return "draw " + strings.Join(words, ", ")
}
