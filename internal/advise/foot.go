package advise

import (
	"math"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/geom"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/support"
	"printlint/internal/verdict"
)

// widened are the values of a site of base or stability with the support that stands on the
// bed taken as a part of the foot; nil where none of it helps. The print sticks to it, and
// it is laid with the layers that it carries.
func (out *outcome) widened(of string, site *measure.Site) []float64 {
	values := slices.Clone(site.Values)
	set := setter(of, values)
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

// setter changes the values of a site by their names.
func setter(of string, values []float64) func(name string, value float64) {
	names := verdict.Definition(of).Values
	return func(name string, value float64) {
		for i := range names {
			if names[i].Name == name {
				values[i] = value
			}
		}
	}
}

// rim is how far outside its box, in mm, a corner of a piece may lie, as float32 has it.
const rim = 1e-3

// feet are the points at which a piece that is as tall as height stands on the bed, its own
// and those of the support that has reached it by then, if any has. Of a place that is carried only the middles of the sides of its box are taken, which lie
// about where it ends, be it round or square.
func (out *outcome) feet(site *measure.Site, height float64) (feet []geom.Point, held bool) {
	help := func(k *support.Structure) bool {
		return k.Below.OnBed >= k.Below.Area/2 && k.Below.Box.Min.Z <= height
	}
	if !slices.ContainsFunc(out.structures, func(k support.Structure) bool { return help(&k) }) {
		return nil, false
	}
	piece := mesh.EmptyBox()
	low := out.View.Process.Layer
	for _, p := range out.Mesh.Verts {
		v := mesh.Of64(p)
		if !site.Box.Contains(v, rim) {
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
		if !help(k) || !beside(b, &piece) {
			continue
		}
		middle := b.Middle()
		feet = append(feet, geom.Point{X: b.Min.X, Y: middle.Y}, geom.Point{X: b.Max.X, Y: middle.Y},
			geom.Point{X: middle.X, Y: b.Min.Y}, geom.Point{X: middle.X, Y: b.Max.Y})
		held = true
	}
	return feet, held
}

// beside says that two boxes above the bed overlap, seen from above.
func beside(a, b *mesh.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// held says that with support on the bed as a part of the foot no rule of the measure of
// the hit finds an error there, nor warns of how it stands.
func (out *outcome) held(h *verdict.Hit, of string) bool {
	if h.Site == nil || of != measure.Base.Name() && of != measure.Stability.Name() {
		return false
	}
	level := finding.Error
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
