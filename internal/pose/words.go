package pose

import (
	"fmt"
	"math"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// RightHand tells how turns are meant, for whoever prints them.
const RightHand = "turns: x points to the right, y to the back, z up; lay your right thumb along the axis, and your fingers curl the way to turn"

// LyingFrom is the contact, in mm2, from which a way up counts as lying on a face.
// Judgement, no source.
const LyingFrom = 4.0

// String is the turning as an order: "turn it over", "lean it 35° about the y axis",
// "turn it 30° about the z axis, then 55° about the x axis". A turn about z alone changes nothing and is none.
func (t Turning) String() string {
	switch {
	case t.Axis == 0:
		return "as it lies"
	case math.Abs(t.Angle) == 180:
		return "turn it over"
	case t.level() && math.Abs(t.Angle) < leaning:
		return "lean it " + t.About()
	}
	return "turn it " + t.About()
}

// leaning is the angle in degrees below which a turn is a lean: what lies down then is still
// the side that did, or its edge. Judgement, no source.
const leaning = 75.0

// About names angles and axes: "30° about the z axis, then 55° about the x axis".
func (t Turning) About() string {
	about := func(angle float64, axis byte) string {
		return fmt.Sprintf("%s about the %c axis", catalog.Format(angle, catalog.Deg), axis)
	}
	if t.level() {
		return about(t.Angle, t.Axis)
	}
	return about(t.AboutZ, 'z') + ", then " + about(t.Angle, t.Axis)
}

// level says that the turn about z is none, or rounds to none.
func (t Turning) level() bool {
	return catalog.Format(math.Abs(t.AboutZ), catalog.Deg) == catalog.Format(0, catalog.Deg)
}

// Words says what lies on the bed with down pointing there, contact being the area in mm2
// that lies flat, and how to get it there: "the flat top goes on the bed: turn it over".
func Words(down mesh.Vec, contact float64) string {
	t := TurningTo(down)
	switch {
	case t.Axis == 0:
		return t.String()
	case contact < LyingFrom:
		return fmt.Sprintf("it stands on next to nothing, %s: %s", towards(down), t)
	}
	return fmt.Sprintf("%s goes on the bed: %s", faceWords(down), t)
}

// Order is the same as an order: "turn it over, so that the flat top lies on the bed".
func Order(down mesh.Vec, contact float64) string {
	t := TurningTo(down)
	switch {
	case t.Axis == 0:
		return t.String()
	case contact < LyingFrom:
		return fmt.Sprintf("%s, so that it stands %s", t, towards(down))
	}
	return fmt.Sprintf("%s, so that %s lies on the bed", t, faceWords(down))
}

// faceWords names what lies on the bed.
func faceWords(down mesh.Vec) string {
	side, square := sideOf(down)
	if square {
		return "the flat " + side
	}
	return "the flat face towards its " + side
}

// towards names what points at the bed where that is an edge or a corner.
func towards(down mesh.Vec) string {
	side, square := sideOf(down)
	if square {
		return "on the tip of its " + side
	}
	return "on an edge or a corner towards its " + side
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

// Side names the side of a model as it lies that a direction points at.
func Side(d mesh.Vec) string {
	name, _ := sideOf(d)
	return name
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
	last := len(names) - 1
	if last < 2 {
		return strings.Join(names, " and "), false
	}
	return strings.Join(names[:last], ", ") + " and " + names[last], false
}
