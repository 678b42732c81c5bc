package pose

import (
	"fmt"
	"math"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// RightHand tells how turns are meant, for whoever prints them.
const RightHand = "turns follow the right hand: the thumb along the axis, the fingers show the way"

// LyingFrom is the contact, in mm2, from which a way up counts as lying on a face.
// Judgement, no source.
const LyingFrom = 4.0

// String describes the turning: "180 deg about x", "30 deg about z, then 55 deg about x".
func (t Turning) String() string {
	second := fmt.Sprintf("%s about %c", catalog.Format(t.Angle, catalog.Deg), t.Axis)
	switch none := catalog.Format(0, catalog.Deg); {
	case t.Axis == 0:
		return "as it lies"
	case catalog.Format(math.Abs(t.AboutZ), catalog.Deg) == none:
		return second
	}
	return catalog.Format(t.AboutZ, catalog.Deg) + " about z, then " + second
}

// Words says how to bring down to the bed and what then lies there, contact being the
// area in mm2 that lies flat: "the flat top goes on the bed: turn it 180 deg about x".
func Words(down mesh.Vec, contact float64) string {
	t := TurningTo(down)
	if t.Axis == 0 {
		return "as it lies"
	}
	verb := "turn it "
	if t.AboutZ == 0 && math.Mod(t.Angle, 90) != 0 {
		verb = "tip it "
	}
	side, square := sideOf(down)
	switch {
	case contact < LyingFrom && square:
		return fmt.Sprintf("its %s faces the bed, with hardly anything flat to lie on: %s%s", side, verb, t)
	case contact < LyingFrom:
		return fmt.Sprintf("it rests on hardly anything, towards its %s: %s%s", side, verb, t)
	case square:
		return fmt.Sprintf("the flat %s goes on the bed: %s%s", side, verb, t)
	}
	return fmt.Sprintf("the flat face towards its %s goes on the bed: %s%s", side, verb, t)
}

// sides names the six sides of a model as it lies, seen by somebody in front of it.
var sides = []struct {
	out  mesh.Vec
	name string
}{
	{mesh.Vec{Z: 1}, "top"}, {mesh.Vec{Z: -1}, "bottom"},
	{mesh.Vec{Y: -1}, "front (-y)"}, {mesh.Vec{Y: 1}, "back (+y)"},
	{mesh.Vec{X: -1}, "left side (-x)"}, {mesh.Vec{X: 1}, "right side (+x)"},
}

// sideOf names where a direction points, and says whether it is square to one side.
func sideOf(d mesh.Vec) (name string, square bool) {
	const (
		nearly = 0.996 // cosine of 5 degrees
		some   = 0.26  // sine of 15 degrees
	)
	var names []string
	for _, s := range sides {
		switch c := d.Dot(s.out); {
		case c > nearly:
			return s.name, true
		case c > some:
			names = append(names, s.name)
		}
	}
	return strings.Join(names, " and "), false
}
