package measure

import (
	"printlint/internal/catalog"
)

// columnLength is how many times the limit of width a narrow section may reach in
// its longest direction: a square's diagonal is 1.414 sides, a fin is longer.
const columnLength = 1.5

// columnLeast is how many times as tall as wide a column is at least.
const columnLeast = 2

var columnSpec = spec{
	def: catalog.Measure{
		Name:  "column",
		Title: "pins and posts that stay narrow for long",
		Doc: `A thin post bends under the nozzle that lays its top, and the layer goes down beside
the one below; pushed harder it snaps, since layers hold to each other worse than
plastic holds together. Each layer is taken apart into its pieces, and a piece that
goes over into just one other is followed upward while it stays narrow: no wider
than the limit between two parallel lines, and in no direction longer than half as
much again. So a fin or a wall, thin one way and long the other, is no column, nor is
a rib that a wall holds from the side. A column is at least twice as tall as wide. It
ends where it grows wide, forks or joins something. Where that also rests on
something else the column is braced: it cannot snap off later, but it stood free
until then. Of a spike or a waist the place is told where what stands above it is
tallest for the width there.`,
		Source: "own definition on filled layers",
		Values: []catalog.Value{
			{Name: "width", Unit: catalog.MM, Doc: "smallest distance between two parallel lines that hold the section at its weakest place"},
			{Name: "height", Unit: catalog.MM, Doc: "height of the narrow part above that place"},
			{Name: "slenderness", Doc: "height divided by width, where a width of less than a line counts as a line"},
			{Name: "z", Unit: catalog.MM, Doc: "height of that place above the bed"},
			{Name: "length", Unit: catalog.MM, Doc: "height of the whole narrow part"},
			{Name: "braced", Unit: catalog.Bool, Doc: "joins something at its top that rests elsewhere too"},
		},
		Model: []catalog.Value{
			{Name: "sites", Doc: "columns"},
			{Name: "slenderness", Doc: "the largest of them all, 0 where there is none"},
		},
		Params: []catalog.Param{{Name: "width", Unit: catalog.MM, Default: 5,
			Doc: "width up to which a section is narrow, give or take a cell"}},
	},
	run: column,
}

// column tells what stays narrow for long.
func column(r *run, params []float64) (Result, error) {
	s, err := r.layers()
	if err != nil {
		return Result{}, err
	}
	var out Result
	worst := 0.0
	g := &s.grid
	tracker := s.columns[params[0]]
	if len(tracker.done) > mostSites {
		return out, tooMany("parts of it are columns")
	}
	for i := range tracker.done {
		c := &tracker.done[i]
		at, slenderness := c.weakest(g, r.process.Line)
		worst = max(worst, slenderness)
		box := boxMM(g, &c.box)
		middle := box.Middle()
		middle.Z = g.Floor(c.start + at)
		out.Sites = append(out.Sites, Site{At: s.place.Back(middle), Box: s.place.BackBox(box), Values: []float64{
			float64(c.widths[at]), float64(len(c.widths)-at) * g.Height, slenderness, middle.Z,
			float64(len(c.widths)) * g.Height, truth(c.braced)}})
	}
	out.Model = []float64{float64(len(out.Sites)), worst}
	return out, r.pin(out.Sites)
}

// truth carries a condition as a number.
func truth(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
