package measure

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// Fragment is the measure of small pieces that touch nothing else.
var Fragment = define(
	catalog.Measure{
		Name:  "fragment",
		Title: "small pieces that touch nothing else",
		Doc: `Cutting and joining bodies leaves scraps behind: a flake beside the part, a crumb in
the air, which nobody sees on the screen. A fragment is a closed part of the surface,
or several that touch, with less than a share of the volume of the largest one. What
overlaps a larger body, lies inside one, or is less than 0.02 mm from one belongs to
it: raised letters, pins and dots are no fragments. Neither is a hollow.`,
		Source: "own definition; 0.02 mm is judgement, no source, the same as for walls",
	}, nil, fragments)

// FragmentParams say what is small.
type FragmentParams struct {
	Share float64 `measure:"share" default:"0.01" doc:"look for pieces with less than this share of the volume of the largest"`
}

// FragmentSite is one small piece.
type FragmentSite struct {
	Volume float64 `measure:"volume,mm3" doc:"its volume"`
	Height float64 `measure:"height,mm" doc:"its height as the model lies"`
	Width  float64 `measure:"width,mm" doc:"smallest distance between two parallel lines that hold its outline seen from above"`
	Z      float64 `measure:"z,mm" doc:"height above the bed at which it begins"`
}

// FragmentModel counts the small pieces.
type FragmentModel struct {
	Sites int `measure:"sites" doc:"small pieces that touch nothing else"`
}

func fragments(r *evaluation, p FragmentParams) (*found[FragmentSite, FragmentModel], error) {
	list, err := once(&r.body.parts, requestKey[FragmentParams]{"fragments", p}, func() ([]fragment, error) { return findFragments(r, p.Share) })
	if err != nil {
		return nil, err
	}
	if len(list) > mostSites {
		return nil, tooMany("small pieces touch nothing else")
	}
	var out found[FragmentSite, FragmentModel]
	bed := math.Inf(1)
	if len(list) > 0 {
		for _, v := range r.body.Mesh.Verts {
			bed = min(bed, mesh.Turn(&r.pose.M, mesh.Of64(v)).Z)
		}
	}
	for i := range list {
		f := &list[i]
		low, high, width := f.posed(r)
		out.add(Site{At: f.at, Box: f.box, Tris: f.tris},
			FragmentSite{Volume: f.volume, Height: high - low, Width: width, Z: low - bed})
	}
	out.model.Sites = len(list)
	return &out, nil
}

// posed tells between which heights a fragment lies in the pose, and how wide it is seen from above.
func (f *fragment) posed(r *evaluation) (low, high, width float64) {
	low, high = math.Inf(1), math.Inf(-1)
	outline := make([]geom.Point, 0, 3*len(f.tris))
	for _, t := range f.tris {
		for _, v := range r.body.Mesh.Tris[t] {
			p := mesh.Turn(&r.pose.M, mesh.Of64(r.body.Mesh.Verts[v]))
			low, high = min(low, p.Z), max(high, p.Z)
			outline = append(outline, geom.Point{X: p.X, Y: p.Y})
		}
	}
	width, _ = geom.Width(geom.Hull(outline))
	return low, high, width
}
