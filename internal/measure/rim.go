package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// Rim is the measure of holes that begin in the middle of a ceiling.
var Rim = overLayers(
	catalog.Measure{
		Name:  "rim",
		Title: "rims of holes that begin in the air",
		Doc: `A screw hole with a wider recess for the head or nut below it begins in a flat underside.
The lines around the hole are circles on nothing, and where straight lines could cross the
recess, the hole cuts them. The place is a hole of a layer, with plastic all around, whose
rim is a line or more away from all that holds it on both sides. A hole that goes on
upward is named where it begins. If its rim lies on what is below, or a thin layer closes
it, or bars that end on the wall cross it, it does not count.`,
		Source: "own definition on filled layers",
	}, newRimTracker, rims)

// RimSite is one hole.
type RimSite struct {
	Width float64 `measure:"width,mm" doc:"smallest distance between two parallel lines that hold the hole"`
	Area  float64 `measure:"area,mm2" doc:"area of the hole"`
	Reach float64 `measure:"reach,mm" doc:"least distance from the rim to what holds it, at most 10 mm"`
	Share float64 `measure:"share" doc:"share of the rim that hangs in the air"`
	Z     float64 `measure:"z,mm" doc:"height above the bed at which the rim begins"`
	Drop  float64 `measure:"drop,mm" doc:"free height below the rim"`
}

// RimModel counts the holes.
type RimModel struct {
	Sites int `measure:"sites" doc:"holes whose rim begins in the air"`
}

func rims(s *stack, v *rimTracker, _ None) (*found[RimSite, RimModel], error) {
	if len(v.found) > mostSites {
		return nil, tooMany("holes of it begin in the air")
	}
	var out found[RimSite, RimModel]
	g := &s.grid
	for i := range v.found {
		h := &v.found[i]
		at := mesh.Vec{X: g.X0 + float64((float64(h.at.From)-.5)*g.Cell), Y: g.Y0 + float64((float64(h.at.Row)+.5)*g.Cell), Z: g.Floor(h.layer)}
		at, tri, err := s.underside(at, h.layer)
		if err != nil {
			return nil, err
		}
		box := boxMM(g, &h.box)
		out.add(Site{At: s.place.Back(at), Box: s.place.BackBox(box.Grow(g.Cell)), Tris: []uint32{tri}}, RimSite{
			Width: h.width * g.Cell, Area: g.Area(h.area), Reach: float64(h.reach) * g.Cell, Share: h.share,
			Z: at.Z, Drop: float64(h.drop) * g.Height})
	}
	out.model.Sites = len(out.sites)
	return &out, nil
}
