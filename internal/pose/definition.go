package pose

import "printlint/internal/catalog"

// Definition tells what advice on ways up says, for whoever explains it.
var Definition = catalog.Measure{
	Name:  "pose",
	Title: "which way up a model lies, and what each way leaves",
	Doc: `A body at rest lies on a face of its convex hull, the shape of a sheet pulled tight around it. Those faces, the directions of its
large flat faces, the six axes and a spread over the sphere are scored by how much
air lies under what would hang, and the best are leaned a little each way. The three
largest faces, the axes, then other faces and the best leans are looked at coarsely, and
the best of those measured and judged by the rules in force, as the gate does. A model
that is clean as it lies stays so, and one that passes is never turned so that it fails. The others
are ordered by what happens to the print: whether it can be printed and stands, errors
that support does not cure, the minutes of support with the face it roughens and the
share of prints that come loose, the firmer foot, warnings, bed contact and height; a
rule counts once. Turning about the upright axis changes nothing, so ways up that
differ by such a turn are one.`,
	Source: "own definition; that stable ways to lie are faces of the convex hull is geometry",
	Values: []catalog.Value{
		{Name: "findings", Doc: "what the rules in force still find, by level, without what is waived"},
		{Name: "base", Unit: catalog.MM2, Doc: "area that lies flat on the bed"},
		{Name: "height", Unit: catalog.MM, Doc: "extent above the bed"},
		{Name: "tip", Unit: catalog.Deg, Doc: "how far it could be tilted before it falls over, the least while it grows"},
		{Name: "overhang", Unit: catalog.MM2, Doc: "area of all overhangs, which are held at one end only, seen from above"},
		{Name: "grams", Unit: catalog.Gram, Doc: "estimate of the model's own plastic: walls two lines thick, a fifth of the rest"},
		{Name: "minutes", Unit: catalog.Minute, Doc: "estimate of the time for it: plastic by the process's flow"},
	},
}
