package advise

import (
	"fmt"
	"slices"
	"strings"

	"printlint/internal/added"
	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/verdict"
)

// DropCaution is what to mind before the top of a hole is changed.
const DropCaution = "a shaft or a screw still sits on the round part of a hole whose top is pointed, but a seal or a bearing needs it round all the way, and less is left above it to carry a load: its designer decides"

// archEdit puts slopes under a bridge, so that a span is left or they meet.
func archEdit(s *added.Slope, left float64, h *verdict.Hit) *edit {
	solid := mesh.Weld(s.Solid)
	ends := "until they meet"
	if left > 0 {
		ends = fmt.Sprintf("until a span of %s is left", tenths(left))
	}
	return &edit{
		kind: "arch", at: h.Site.At, rules: []string{h.Rule}, solid: solid,
		words: fmt.Sprintf("arch it: slopes of %s from what holds it, %s deep where they start, %s", catalog.Format(slopeAngle, catalog.Deg), tenths(solid.Box().Size().Z), ends),
	}
}

// dropEdit points the top of a hole.
func dropEdit(d *added.Drop, h *verdict.Hit) *edit {
	top := "this hole"
	if h.Site.Below.OnBed > 0 {
		top = "this opening"
	}
	words := fmt.Sprintf("point the top of %s like a drop: two planes of %s, which meet %s higher than it is now", top, catalog.Format(slopeAngle, catalog.Deg), tenths(d.Rise))
	if d.Flat > 0 {
		words = fmt.Sprintf("point the top of %s: two planes of %s up to a flat %s wide, %s higher than it is now", top, catalog.Format(slopeAngle, catalog.Deg), tenths(d.Flat), tenths(d.Rise))
	}
	return &edit{kind: "drop", at: h.Site.At, rules: []string{h.Rule}, away: d.Planes, words: words}
}

// one and plural name solids as somebody draws them.
func one(kind string) string {
	if kind == "arch" {
		return "an arch"
	}
	return "a " + kind
}

func plural(kind string) string {
	if kind == "arch" {
		return "arches"
	}
	return kind + "s"
}

// caution says what to mind of these changes.
func (e *edited) caution() string {
	var words []string
	if slices.ContainsFunc(e.list, func(c *edit) bool { return c.away == nil }) {
		words = append(words, EditCaution)
	}
	if slices.ContainsFunc(e.list, func(c *edit) bool { return c.away != nil }) {
		words = append(words, DropCaution)
	}
	return strings.Join(words, "; ")
}

// amount is what a change adds, or takes away.
func (c *edit) amount() string {
	if c.away != nil {
		return "takes " + catalog.Format(-c.volume, catalog.MM3) + " away"
	}
	return "adds " + catalog.Format(max(c.volume, 0), catalog.MM3)
}
