package measure

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// Feet is the measure of feet that are not level.
var Feet = overLayers(
	catalog.Measure{
		Name:  "feet",
		Title: "feet that are not level",
		Doc: `A figure on four legs rarely has its feet at one height to a tenth of a millimetre. The
longest one stands on the bed, and the others begin a few layers higher, in mid-air.
A piece counts as such a foot if it begins no higher than the limit, right over the bed,
and joins the rest further up. What is small enough to do no harm is left out. The
cut goes through the layer in which the highest of these feet begins, and the section
is what would lie flat after it.`,
		Source: "own definition on filled layers",
	}, newFeetVisitor, feet)

// FeetParams say which pieces are feet that count.
type FeetParams struct {
	High   float64 `measure:"high,mm" default:"1.6" doc:"height above the bed up to which a foot begins"`
	Rise   float64 `measure:"rise,mm" default:"0.4" doc:"a foot that joins over less does no harm"`
	Widest float64 `measure:"widest,mm2" default:"1" doc:"nor does one that takes less in every layer"`
	Tall   float64 `measure:"tall,mm" default:"2" doc:"and is no taller than this until it joins"`
}

// FeetSite is all of these feet together.
type FeetSite struct {
	Feet    int     `measure:"feet" doc:"feet that begin in mid-air" sample:"3"`
	From    float64 `measure:"from,mm" doc:"height above the bed at which the lowest of them begins" sample:"0.3"`
	To      float64 `measure:"to,mm" doc:"height above the bed at which the highest of them begins" sample:"0.9"`
	Cut     float64 `measure:"cut,mm" doc:"what must be cut off the bottom to reach all of them" sample:"0.9"`
	Section float64 `measure:"section,mm2" doc:"what would lie flat after that cut" sample:"96"`
	Height  float64 `measure:"height,mm" doc:"height of the model" sample:"60"`
}

// hair is by how much a place in float32 may come out off, in mm.
const hair = 1e-3

// feetVisitor keeps how much is solid in the lowest layers.
type feetVisitor struct {
	islands *islandTracker
	last    int   // the highest layer in which a foot may begin
	solid   []int // cells of the layers up to it
}

func newFeetVisitor(s *stack, p FeetParams) *feetVisitor {
	v := &feetVisitor{islands: islandsOf(s, None{})}
	v.last = int(math.Ceil(p.High/s.grid.Height)) + 1
	return visit(s, v)
}

func (v *feetVisitor) Visit(_, layer *layers.Layer) {
	if layer.K <= v.last {
		v.solid = append(v.solid, layers.Cells(layer.Runs))
	}
}

func feet(s *stack, v *feetVisitor, p FeetParams) (*found[FeetSite, FeetSite], error) {
	var out found[FeetSite, FeetSite]
	g := &s.grid
	out.model.Height = s.mesh.Box().Size().Z
	all, box, high := FeetSite{From: math.Inf(1), Height: out.model.Height}, mesh.EmptyBox(), -1
	var parts []Site
	for _, f := range v.islands.islands {
		rise := float64(f.end-f.start) * g.Height
		if !f.joins || f.drop != f.start || f.start > v.last || rise <= p.Rise || g.Area(f.widest) <= p.Widest && rise <= p.Tall {
			continue
		}
		at, tri, err := s.underside(f.middle(g), f.start)
		if err != nil {
			return nil, err
		}
		if at.Z > p.High+hair {
			continue
		}
		own := f.box(g)
		box.IncludeBox(own)
		parts = append(parts, Site{At: s.place.Back(at), Box: s.place.BackBox(own), Tris: []uint32{tri}, Below: s.belowIsland(f, own)})
		all.From, all.To, high = min(all.From, at.Z), max(all.To, at.Z), max(high, f.start)
	}
	if len(parts) == 0 {
		return &out, nil
	}
	all.Feet, all.Cut, all.Section = len(parts), g.Floor(high)+g.Height/2, g.Area(v.solid[high])
	highest := slices.MaxFunc(parts, func(a, b Site) int { return cmp.Compare(s.place.To(a.At).Z, s.place.To(b.At).Z) })
	site := Site{At: highest.At, Box: s.place.BackBox(box)}
	for i := range parts {
		site.Tris = append(site.Tris, parts[i].Tris...)
	}
	site.Parts = append(parts, s.onBed()) // where the rest of the foot stands
	out.model = all
	out.add(site, all)
	return &out, nil
}
