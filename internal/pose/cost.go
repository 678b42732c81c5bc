package pose

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// Traits are what one way up is like, for telling what another gives away.
type Traits struct {
	Height  float64 // mm
	Contact float64 // mm2 flat on the bed
	Relief  float64 // mm2 of fine detail that faces the bed
	// Pin is the width and height in mm of the most slender pin that stands upright,
	// and Slender how many times as tall as wide it is; 0 where none does.
	PinWidth, PinHeight, Slender float64
}

// From when a way up is said to give something away; judgement, no source.
const (
	taller      = 1.5  // times the height as it lies, and
	tallerBy    = 10.0 // mm more
	pinFrom     = 3.0  // times as tall as wide
	pinMore     = 1.25 // times as slender as any pin as it lies
	reliefShare = 0.05 // of the contact
)

// PinWidth is the width in mm up to which something that stands upright is a pin.
const PinWidth = 10.0

// Costs says in words what turning a model from one way up to another gives away.
func Costs(from, to Traits) []string {
	var costs []string
	mm := func(x float64) string { return catalog.Format(x, catalog.MM) }
	if to.Slender >= pinFrom && to.Slender > pinMore*from.Slender {
		costs = append(costs, fmt.Sprintf(
			"a pin %s wide then stands %s tall: its layers lie across it, so it snaps more easily than printed lying", mm(to.PinWidth), mm(to.PinHeight)))
	}
	if to.Relief > reliefShare*to.Contact && to.Relief > from.Relief {
		costs = append(costs, "fine detail then lies on the bed and comes out flattened")
	}
	if to.Height > taller*from.Height && to.Height > from.Height+tallerBy {
		costs = append(costs, fmt.Sprintf("it stands %s tall instead of %s", mm(to.Height), mm(from.Height)))
	}
	if to.Contact < LyingFrom {
		costs = append(costs, "next to nothing lies flat on the bed: print it with a brim")
	}
	return costs
}

// How far above the bed fine detail ends, in mm: shallower is an uneven face, deeper
// is a recess with a ceiling of its own. Judgement, no source.
const (
	reliefLow  = 0.1
	reliefHigh = 2.0
)

// reliefWidth is the width in mm up to which what lies between the rims of a pattern
// is fine detail; a wide face a step above the bed is none. Judgement, no source.
const reliefWidth = 6.0

// Relief is the area in mm2 that faces the bed squarely from a little above it while
// down points at the bed, where that is fine: the ground of a raised pattern, of
// letters or engraving.
func Relief(m *mesh.Mesh, down mesh.Vec) float64 {
	low := math.Inf(-1)
	for _, p := range m.Verts {
		low = max(low, down.Dot(mesh.Of64(p)))
	}
	const (
		square  = 0.9994 // cosine of 2 degrees
		upright = 0.3
	)
	var ground, volume, rims float64 // the rims are the walls around the ground
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		x, y, z := low-down.Dot(a), low-down.Dot(b), low-down.Dot(c)
		if max(x, y, z) > reliefHigh {
			continue
		}
		n := b.Sub(a).Cross(c.Sub(a))
		facing, size := n.Dot(down), n.Len()
		switch {
		case facing > square*size && min(x, y, z) >= reliefLow:
			ground += facing / 2
			volume += facing / 2 * (x + y + z) / 3
		case math.Abs(facing) < upright*size:
			rims += size / 2
		}
	}
	// Rims divided by their height is their length, and a strip has two of them.
	if ground == 0 || 2*volume > reliefWidth*rims {
		return 0
	}
	return ground
}
