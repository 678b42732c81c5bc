package measure

import (
	"printlint/internal/catalog"
)

// leastMeant is the length in mm from which a tiny model is looked at as one of another unit; judgement, no source.
const leastMeant = 20

// Unit is the measure of how long the model would be in another unit.
var Unit = define(
	catalog.Measure{
		Name:  "unit",
		Title: "how long it would be in inches, centimetres or metres",
		Doc: `Many mesh formats carry no unit. A part drawn in inches and read as millimetres comes
out 25 times too small, and then its foot, its walls and its size all seem too small.
Each unit in which the longest side lies between 20 mm and the longest side of the
bed is tried. A rule over this measure only speaks where there is an error over base,
wall or size, and where none of these is left on the model taken that much larger. The
first unit that cures them is named, and nothing else is said of the shape.`,
		Source:   "own definition; 20 mm is judgement, no source. An inch is 25.4 mm exactly (international yard and pound agreement, 1959)",
		PoseFree: true,
	}, nil, units).seeing(seesBed)

// UnitSite is one unit that the model may have been drawn in.
type UnitSite struct {
	Times   float64 `measure:"times" doc:"mm in one of the unit: 25.4 for inches, 10 for centimetres, 1000 for metres"`
	Longest float64 `measure:"longest,mm" doc:"longest side of the box around the model, as it stands in the file" sample:"2.8"`
	Length  float64 `measure:"length,mm" doc:"how long that side would be in the unit" sample:"72"`
}

// UnitModel counts the units.
type UnitModel struct {
	Sites int `measure:"sites" doc:"units in which the longest side lies between 20 mm and the bed"`
}

func units(r *evaluation, _ None) (*found[UnitSite, UnitModel], error) {
	var out found[UnitSite, UnitModel]
	box := r.body.Mesh.Box()
	longest, bed := r.longest(), max(r.process.Bed[0], r.process.Bed[1], r.process.Bed[2])
	for _, times := range []float64{25.4, 10, 1000} {
		if length := longest * times; length >= leastMeant && length <= bed {
			out.add(Site{At: box.Middle(), Box: box}, UnitSite{Times: times, Longest: longest, Length: length})
		}
	}
	out.model.Sites = len(out.sites)
	return &out, nil
}
