package measure

import "printlint/internal/catalog"

// columnLength is how many times the limit of width a narrow section may reach in
// its longest direction: a square's diagonal is 1.414 sides, a fin is longer.
// Judgement, no source.
const columnLength = 1.5

// columnLeast is how many times as tall as wide a column is at least. Judgement, no source.
const columnLeast = 2

// Column is the measure of what stays narrow for long.
var Column = overLayers(
	catalog.Measure{
		Name:  "column",
		Title: "pins and posts that stay narrow for long",
		Doc: `A thin post bends under the nozzle that lays its top, and the layer lands beside the one
below. Pushed harder it snaps, since layers hold to each other worse than plastic holds
together. Each layer is taken apart into its pieces. A piece that goes on into just one
other is followed upward while it stays narrow: no wider than the limit, and no longer
than half as much again. So a fin or a wall is no column, nor is a rib that a wall holds
from the side. A column is at least twice as tall as wide. It ends where it forks, joins
something or grows wide. A collar no taller than the column is wide does not end it. If
what it joins also rests on something else, the column is braced: it cannot snap off
later, but it stood free until then. The width is that of the outline at that height,
so a pin thinner than a few cells has its own, and the sharp end of a wedge is none. The place named is where what stands above is
tallest for the width there.`,
		Source: "own definition on filled layers",
	}, newColumnTracker, column)

// ColumnParams say what is narrow.
type ColumnParams struct {
	Width float64 `measure:"width,mm" default:"5" doc:"width up to which a section is narrow, give or take a cell"`
}

// ColumnSite is one column.
type ColumnSite struct {
	Width       float64 `measure:"width,mm" doc:"smallest distance between two parallel lines that hold the section at its weakest place" sample:"3"`
	Height      float64 `measure:"height,mm" doc:"height of the narrow part above that place" sample:"40"`
	Slenderness float64 `measure:"slenderness" doc:"height divided by width, where a width of less than a line counts as a line" sample:"13.3"`
	Z           float64 `measure:"z,mm" doc:"height of that place above the bed"`
	Length      float64 `measure:"length,mm" doc:"height of the whole narrow part"`
	Braced      bool    `measure:"braced" doc:"joins something at its top that rests elsewhere too"`
}

// ColumnModel sums the columns up.
type ColumnModel struct {
	Sites       int     `measure:"sites" doc:"columns"`
	Slenderness float64 `measure:"slenderness" doc:"the largest of them all, 0 where there is none"`
}

// column tells what stays narrow for long.
func column(s *stack, v *columnTracker, _ ColumnParams) (*found[ColumnSite, ColumnModel], error) {
	var out found[ColumnSite, ColumnModel]
	g := &s.grid
	if len(v.done) > mostSites {
		return nil, tooMany("parts of it are columns")
	}
	for i := range v.done {
		c := &v.done[i]
		at, _ := c.weakest(g, v.line)
		width, height := float64(c.widths[at]), float64(len(c.widths)-at)*g.Height
		exact, whole, err := s.outlineWidth(g.Floor(c.start+at)+g.Height/2, &c.rects[at])
		if err != nil {
			return nil, err
		} else if !whole && width < v.line {
			continue
		} else if whole && exact > 0 {
			width = exact
		}
		slenderness := height / max(width, v.line)
		out.model.Slenderness = max(out.model.Slenderness, slenderness)
		box := boxMM(g, &c.box)
		middle := box.Middle()
		middle.Z = g.Floor(c.start + at)
		out.add(Site{At: s.place.Back(middle), Box: s.place.BackBox(box)}, ColumnSite{
			Width: width, Height: height, Slenderness: slenderness,
			Z: middle.Z, Length: float64(len(c.widths)) * g.Height, Braced: c.braced})
	}
	out.model.Sites = len(out.sites)
	return &out, s.pin(out.sites)
}
