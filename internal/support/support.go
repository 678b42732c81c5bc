// Package support plans what has to stand under a model where it would be laid on
// air: where, of which kind, on what, and what that costs.
//
// Everything it says in grams, minutes and money is an estimate. For a place that
// hangs, with A its area seen from above, V the air below it down to the bed or the
// model, and B the part of A that looks down on the bed:
//
//	volume  = V * share of the kind
//	contact = touch of the kind * (A + (A - B))    its top, and its foot where it
//	                                               stands on the model
//	grams   = volume * density
//	minutes = volume / flow + 1 s for each layer of it
//	cost    = grams * price
//
// A grid fills 0.15 of its space and touches half of what it carries; a tree fills
// 0.09 and touches 0.15. The model itself is taken as walls two lines thick around a
// fifth of filling. The process gives density, flow and price; flow is what a whole
// print lays a second on average, so that one print whose time is known calibrates
// the minutes.
package support

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/measure"
	"printlint/internal/mesh"
)

// Kind is a way to build support.
type Kind string

// The kinds of support.
const (
	Grid  Kind = "grid"  // a block of crossed thin walls
	Tree  Kind = "tree"  // a trunk whose branches touch the model with their tips
	Mixed Kind = "mixed" // both, in one plan
)

// The shares of their space that kinds fill, and of what they carry that they touch.
// The grid's are judgement, no source; that a tree takes two fifths less plastic is
// the mean that J. Vanek, J. A. G. Galicia and B. Benes, "Clever Support", Computer
// Graphics Forum 33(5), 2014, measured against two grid builders.
const (
	gridShare, gridTouch = 0.15, 0.5
	treeShare, treeTouch = 0.09, 0.15
)

// perLayer is the time in seconds that moving to and fro costs a layer of support;
// judgement, no source.
const perLayer = 1.0

// Underside is one place that hangs.
type Underside struct {
	At    mesh.Vec // in the file's own frame
	Below measure.Below
	Alone bool // that nothing larger beside it needs support: it gets some, however small it is
}

// Structure is the support planned for one place. All figures are estimates.
type Structure struct {
	Underside
	Kind    Kind
	Why     string
	OnModel bool    // more of it stands on the model than on the bed
	Drop    float64 // mean height of the air below, mm
	Volume  float64 // of plastic, mm3
	Contact float64 // area of the model that it touches, mm2
	Grams   float64
	Minutes float64
	Risk    string // thin pieces that may break with it, or empty
	Reach   string // whether a tool reaches it, or empty where nobody looked
}

// Total is the sum over sites.
type Total struct {
	Volume, Contact, Grams, Minutes, Cost float64
}

// leastArea is the area in mm2 below which nobody builds support for a place beside others:
// what is smaller than a branch's tip hangs on its neighbours. Judgement, no source.
const leastArea = 2.0

// Large says that a place gets support wherever it lies.
func Large(p Underside) bool { return p.Below.Area >= leastArea }

// Plan decides for every place that is large enough or alone which support stands there and what it costs.
func Plan(places []Underside, process catalog.Process) []Structure {
	var sites []Structure
	for _, p := range distinct(places) {
		if !Large(p) && !p.Alone {
			continue
		}
		s := Structure{Underside: p, Drop: p.Below.Air / p.Below.Area, OnModel: p.Below.OnBed < p.Below.Area/2}
		s.Kind, s.Why = choose(&p.Below, s.Drop)
		share, touch := gridShare, gridTouch
		if s.Kind == Tree {
			share, touch = treeShare, treeTouch
		}
		s.Volume = p.Below.Air * share
		s.Contact = touch * (2*p.Below.Area - min(p.Below.OnBed, p.Below.Area))
		s.Grams = Grams(s.Volume, process)
		s.Minutes = Minutes(s.Volume, process) + perLayer*s.Drop/process.Layer/60
		sites = append(sites, s)
	}
	return sites
}

// Sum adds the sites up.
func Sum(sites []Structure, process catalog.Process) Total {
	var t Total
	for i := range sites {
		s := &sites[i]
		t.Volume += s.Volume
		t.Contact += s.Contact
		t.Grams += s.Grams
		t.Minutes += s.Minutes
	}
	t.Cost = t.Grams / 1000 * process.Price
	return t
}

// KindOf names the kind of a whole plan.
func KindOf(sites []Structure) Kind {
	kind := Kind("")
	for i := range sites {
		if kind != "" && kind != sites[i].Kind {
			return Mixed
		}
		kind = sites[i].Kind
	}
	return kind
}

// Grams is the mass of a volume of plastic in mm3.
func Grams(volume float64, process catalog.Process) float64 { return measure.Grams(volume, process) }

// Minutes is the time in which a volume of plastic in mm3 is laid.
func Minutes(volume float64, process catalog.Process) float64 {
	return measure.Minutes(volume, process)
}

// Plastic is the volume of plastic, in mm3, in a body of the given volume and area.
func Plastic(volume, area float64, process catalog.Process) float64 {
	return measure.Plastic(volume, area, process)
}

// plan is the area of a box seen from above.
func plan(b *mesh.Box) float64 { s := b.Size(); return float64(s.X * s.Y) }

// overlap is the area that two boxes share, seen from above.
func overlap(a, b *mesh.Box) float64 {
	x := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	y := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	return math.Max(x, 0) * math.Max(y, 0)
}

// touch is how far apart in height, in mm, two boxes may be and touch: a layer or two.
const touch = 0.5

// nearLevel says that two boxes overlap in height, or touch.
func nearLevel(a, b *mesh.Box) bool {
	return min(a.Max.Z, b.Max.Z)-max(a.Min.Z, b.Min.Z) > -touch
}
