package advise

import (
	"math"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/geom"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/verdict"
)

// widened are the values of a site of base or stability with the support that stands on the
// bed taken as a part of the foot; nil where none of it helps. The print sticks to it, and
// it is laid with the layers that it carries.
func (out *outcome) widened(of string, site *measure.Site) []float64 {
	values := slices.Clone(site.Values)
	set := func(name string, value float64) {
		for i, v := range verdict.Definition(of).Values {
			if v.Name == name {
				values[i] = value
			}
		}
	}
	switch of {
	case measure.Base.Name():
		extra := 0.0
		for i := range out.structures {
			extra += out.structures[i].Below.OnBed
		}
		if extra == 0 {
			return nil
		}
		b := measure.Base.Site(site)
		set("flat", b.Flat+extra)
		set("area", b.Area+extra)
		if b.Area > 0 {
			set("share", min(b.Share*(b.Area+extra)/b.Area, 1))
		}
	case measure.Stability.Name():
		s := measure.Stability.Site(site)
		feet, held := out.feet(site, s.Height)
		if !held {
			return nil
		}
		centre := out.place.To(site.At)
		inside := geom.Inset(geom.Hull(feet), geom.Point{X: centre.X, Y: centre.Y})
		if inside <= s.Offset {
			return nil
		}
		set("offset", inside)
		set("tip", math.Atan2(inside, s.Centre)*180/math.Pi)
	default:
		return nil
	}
	return values
}

// feet are the points at which a piece that is as tall as height stands on the bed, its own
// and those of the support that has reached it by then, if any has. Of a place that is carried only the middles of the sides of its box are taken, which lie
// about where it ends, be it round or square.
func (out *outcome) feet(site *measure.Site, height float64) (feet []geom.Point, held bool) {
	piece := mesh.EmptyBox()
	low := out.View.Process.Layer
	for _, p := range out.Mesh.Verts {
		v := mesh.Of64(p)
		if !within(&site.Box, v) {
			continue
		}
		if v = out.place.To(v); v.Z <= low {
			feet = append(feet, geom.Point{X: v.X, Y: v.Y})
		}
		piece.Include(v)
	}
	for i := range out.structures {
		k := &out.structures[i]
		b := &k.Below.Box
		if k.Below.OnBed < k.Below.Area/2 || b.Min.Z > height || !beside(b, &piece) {
			continue
		}
		middle := b.Middle()
		feet = append(feet, geom.Point{X: b.Min.X, Y: middle.Y}, geom.Point{X: b.Max.X, Y: middle.Y},
			geom.Point{X: middle.X, Y: b.Min.Y}, geom.Point{X: middle.X, Y: b.Max.Y})
		held = true
	}
	return feet, held
}

// within says that a point lies in a box, or on its rim as float32 has it.
func within(b *mesh.Box, v mesh.Vec) bool {
	const rim = 1e-3
	return v.X > b.Min.X-rim && v.Y > b.Min.Y-rim && v.Z > b.Min.Z-rim && v.X < b.Max.X+rim && v.Y < b.Max.Y+rim && v.Z < b.Max.Z+rim
}

// beside says that two boxes above the bed overlap, seen from above.
func beside(a, b *mesh.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// carried says that support cures an error: it stands below what hangs, or it widens the
// foot until no rule of that measure asks for more.
func (out *outcome) carried(h *verdict.Hit) bool {
	if h.Site != nil && h.Site.Below != nil && h.Site.Below.Area > 0 {
		return true
	}
	return out.held(h)
}

// held says that with support on the bed as a part of the foot no rule of the measure
// finds an error there, nor warns of how it stands.
func (out *outcome) held(h *verdict.Hit) bool {
	if h.Site == nil {
		return false
	}
	of, level := out.measureOf(h.Rule), finding.Error
	if of == measure.Stability.Name() {
		level = finding.Warning
	}
	values := out.widened(of, h.Site)
	return values != nil && !out.finds(of, values, level)
}

// finds says that a rule of the measure, of the level or worse, holds for the values.
func (out *outcome) finds(of string, values []float64, level finding.Level) bool {
	for _, r := range out.View.Rules {
		if r.Measure != of || r.Level == finding.None || r.Level.Rank() > level.Rank() {
			continue
		}
		if holds, err := r.Match(values); holds || err != nil {
			return true
		}
	}
	return false
}

// unsteady says that a finding is about how it stands, and support does not help; falls,
// that it falls over by itself then.
func (out *outcome) unsteady(h *verdict.Hit) (unsteady, falls bool) {
	if h.Site == nil || out.measureOf(h.Rule) != measure.Stability.Name() || out.held(h) {
		return false, false
	}
	return true, measure.Stability.Site(h.Site).Tip <= 0
}
