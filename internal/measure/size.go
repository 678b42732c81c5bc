package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// Size is the measure of the box around the model.
var Size = define(
	catalog.Measure{
		Name:  "size",
		Title: "how large the model is",
		Doc: `The box around the model as it lies, with its sides along the axes. It fits the bed
if some turn about the upright axis brings it within the two sides of the bed, and it is
no taller than the machine can go. A side of the bed given as 0 is not checked.`,
		Source: "own definition",
	}, nil, size).seeing(seesBed)

// SizeValues are of the model as it lies.
type SizeValues struct {
	X        float64 `measure:"x,mm" doc:"extent along x" sample:"420"`
	Y        float64 `measure:"y,mm" doc:"extent along y" sample:"180"`
	Z        float64 `measure:"z,mm" doc:"height as it lies" sample:"90"`
	Longest  float64 `measure:"longest,mm" doc:"the largest of the three" sample:"0.8"`
	Shortest float64 `measure:"shortest,mm" doc:"the smallest of the three"`
	Fits     bool    `measure:"fits" doc:"fits the bed at the best turn about the upright axis"`
}

func size(r *evaluation, _ None) (*found[SizeValues, SizeValues], error) {
	m := r.body.Mesh
	box := mesh.EmptyBox()
	for _, p := range m.Verts {
		box.Include(mesh.Turn(&r.pose.M, mesh.Of64(p)))
	}
	if len(m.Verts) == 0 {
		box = mesh.Box{}
	}
	s := box.Size()
	var out found[SizeValues, SizeValues]
	out.model = SizeValues{X: s.X, Y: s.Y, Z: s.Z, Longest: max(s.X, s.Y, s.Z), Shortest: min(s.X, s.Y, s.Z),
		Fits: fitsBed(m, &r.pose.M, s, r.process.Bed)}
	own := m.Box()
	out.add(Site{At: own.Middle(), Box: own}, out.model)
	return &out, nil
}
