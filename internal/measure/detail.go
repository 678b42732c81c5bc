package measure

import (
	"errors"
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/measure/relief"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Detail is the measure of letters, marks and ribs on flat faces.
var Detail = define(
	catalog.Measure{
		Name:  "detail",
		Title: "letters, marks and ribs on flat faces",
		Doc: `The printer cannot lay a stroke that is narrower than its line, and on a level face a
letter less deep than a layer is lost. A detail is a flat piece of surface, one stroke or
letter, with a wall along nearly all of its outline (85 %). The wall leads down, or up, to
a larger flat face that looks the same way. The depth is how far the two lie apart, 0.05
to 2 mm. The stroke is the width of a line with as much area and as long an outline: the
mean of a letter, so that a place where two strokes cross does not count as wider. Strokes
wider than 3 mm are pads and pockets, and left out. So is what is smaller than 0.1 mm², has
no flat top or floor, or lies on a curved face. In a sunk letter the piece in the middle,
as of an O, is part of the letter.`,
		Source: `own definition; stroke: computed from area, outline and holes, exact for strokes that meet
square. 0.05, 2 and 3 mm, 0.1 mm² and 85 % are judgement, no source. A handbook of printing
asks for strokes 0.6 mm wide`,
	}, nil, detail)

// DetailSite is one letter, mark or rib.
type DetailSite struct {
	Depth  float64 `measure:"depth,mm" doc:"how far it lies above or below the face around it" sample:"0.15"`
	Stroke float64 `measure:"stroke,mm" doc:"mean width of its strokes" sample:"0.3"`
	Area   float64 `measure:"area,mm2" doc:"area of its top or floor" sample:"4"`
	Lean   float64 `measure:"lean,deg" doc:"angle of the face from vertical: a wall 0°, level 90°" sample:"90"`
	Raised bool    `measure:"raised" doc:"it stands out from the face; else it is sunk into it"`
}

// DetailModel sums the details up.
type DetailModel struct {
	Sites  int     `measure:"sites" doc:"letters, marks and ribs"`
	Depth  float64 `measure:"depth,mm" doc:"least of their depths; as much as the longest way through the model where it has none, so that no limit finds it" sample:"0.15"`
	Stroke float64 `measure:"stroke,mm" doc:"least of their strokes; as much as the longest way through the model where it has none, so that no limit finds it" sample:"0.3"`
}

// reliefKey is the key of the details of a body among what is shared.
type reliefKey struct{}

func detail(r *evaluation, _ None) (*found[DetailSite, DetailModel], error) {
	list, err := once(&r.body.parts, reliefKey{}, r.relief)
	if err != nil {
		return nil, err
	}
	if len(list) > mostSites {
		return nil, tooMany("letters and marks")
	}
	longest := r.diagonal()
	out := &found[DetailSite, DetailModel]{model: DetailModel{len(list), longest, longest}}
	up := mesh.Vec{X: r.pose.M[6], Y: r.pose.M[7], Z: r.pose.M[8]}
	for i := range list {
		d := &list[i]
		lean := math.Atan2(math.Abs(d.Normal.Dot(up)), d.Normal.Cross(up).Len()) * 180 / math.Pi
		depth := math.Abs(d.Step)
		out.model.Depth, out.model.Stroke = min(out.model.Depth, depth), min(out.model.Stroke, d.Stroke)
		out.add(Site{At: d.At, Box: d.Box, Tris: d.Tris}, DetailSite{depth, d.Stroke, d.Area, lean, d.Step > 0})
	}
	return out, nil
}

// What a search for details may cost, in units of work, beside what the number of triangles
// allows. Of 145 real parts none takes a tenth of it.
const (
	reliefCost = 100_000_000
	reliefEach = 1000
)

// relief finds the letters and marks of a body, whichever way up it lies.
func (r *evaluation) relief() ([]relief.Detail, error) {
	faces, err := r.faces()
	if err != nil {
		return nil, err
	}
	tree, err := r.search()
	if err != nil {
		return nil, err
	}
	tally := work.Of(r.ctx).Part(reliefCost + reliefEach*int64(len(faces.Mesh.Tris))).Tally()
	list := relief.Find(faces, tree, &tally)
	if err = tally.Close(); errors.Is(err, work.ErrTooMuch) {
		err = fmt.Errorf("too many of its faces lie over each other to look among them for letters: %w", work.ErrTooMuch)
	}
	return list, err
}
