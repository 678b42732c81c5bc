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
	box := mesh.Weld(s.Solid).Box()
	return &edit{
		kind: "slope", at: h.Site.At, solid: s.Solid,
		words: fmt.Sprintf("fill the corner under it with a slope of %s, %s deep where it starts", catalog.Format(slopeAngle, catalog.Deg), mm(box.Size().Z)),
	}
}

// wallEdit puts walls under a bridge.
func wallEdit(solid *mesh.Triangles, count int, high float64, h *verdict.Hit) *edit {
	words := fmt.Sprintf("put a wall %s high under its middle", mm(high))
	if count > 1 {
		words = fmt.Sprintf("put %s walls %s high under it, in equal shares", number(count), mm(high))
	}
	return &edit{kind: "wall", at: h.Site.At, solid: solid, words: words}
}

// plateEdit puts a plate under the foot.
func plateEdit(solid *mesh.Triangles, size, at mesh.Vec) *edit {
	return &edit{
		kind: "plate", at: at, solid: solid,
		words: fmt.Sprintf("stand it on a plate %s thick, %.0f by %.0f mm", mm(size.Z), size.X, size.Y),
	}
}

// words say what to add and what comes of it.
func (e *edited) words(lies *wayUp) string {
	var orders []string
	if e.Origin != pose.AsItLies {
		orders = append(orders, pose.TurningTo(e.Down).String())
	}
	for _, kind := range []string{"plate", "slope", "wall"} {
		n, one := 0, ""
		for _, c := range e.list {
			if c.kind == kind {
				n, one = n+1, c.words
			}
		}
		switch {
		case n == 1:
			orders = append(orders, one)
		case n > 1:
			orders = append(orders, fmt.Sprintf("add %s %ss at the places below", number(n), kind))
		}
	}
	order := strings.Join(orders, ", ")
	switch left := "leaves " + e.count().String() + " instead of " + lies.count().String(); {
	case e.clean():
		return order + ": then it " + prints(&e.wayUp)
	case len(e.structures) > 0:
		return order + ": then it needs " + supportWords(e.outcome) + ", and " + left + join(&e.wayUp)
	default:
		return order + ": then it " + left
	}
}
