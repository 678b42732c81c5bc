package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

var sizeSpec = spec{
	def: catalog.Measure{
		Name:  "size",
		Title: "how large the model is",
		Doc: `The box around the model as it lies, with its sides along the axes. It fits the
bed when some turn about the vertical brings it within the bed's two sides and it is
no higher than the machine can go; a side of the bed given as 0 is not held against
it.`,
		Source: "own definition",
		Values: sizeValues,
		Model:  sizeValues,
	},
	run: size,
}

var sizeValues = []catalog.Value{
	{Name: "x", Unit: catalog.MM, Doc: "extent along x"},
	{Name: "y", Unit: catalog.MM, Doc: "extent along y"},
	{Name: "z", Unit: catalog.MM, Doc: "height as it lies"},
	{Name: "longest", Unit: catalog.MM, Doc: "the largest of the three"},
	{Name: "shortest", Unit: catalog.MM, Doc: "the smallest of the three"},
	{Name: "fits", Unit: catalog.Bool, Doc: "fits the bed at the best turn about the vertical"},
}

func size(r *run, _ []float64) (Result, error) {
	m := r.body.Mesh
	box := mesh.EmptyBox()
	for _, p := range m.Verts {
		box.Include(mesh.Turn(&r.pose.M, mesh.Of64(p)))
	}
	if len(m.Verts) == 0 {
		box = mesh.Box{}
	}
	s := box.Size()
	values := []float64{s.X, s.Y, s.Z, max(s.X, s.Y, s.Z), min(s.X, s.Y, s.Z), 0}
	if fitsBed(m, &r.pose.M, s, r.process.Bed) {
		values[5] = 1
	}
	own := m.Box()
	return Result{Model: values, Sites: []Site{{At: own.Middle(), Box: own, Values: values}}}, nil
}
