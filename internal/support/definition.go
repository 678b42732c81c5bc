package support

import "printlint/internal/catalog"

// Whole makes the values of the measure of a plan, in their order.
func Whole(sites []Structure, t Total) []float64 {
	return []float64{float64(len(sites)), t.Volume, t.Contact, t.Grams, t.Minutes, t.Cost}
}

// Definition tells what a support plan says. Rules see it as a measure of the whole model.
var Definition = catalog.Measure{
	Name:  "support",
	Title: "what would have to stand under a model, and what it costs",
	Doc: `Support is planned for every place at which a rule of level error over overhang,
bridge or island finds fault; where the model only prints rough, it needs none. All figures are
estimates. With A the area of the place seen from above, V the air below it down to
the model or the bed, and B the part of A that looks down on the bed: volume is V
times 0.15 for a grid and 0.09 for a tree; contact is half of A for a grid and 0.15
of A for a tree, and as much again of A - B, where its foot stands on the model; grams
are volume times density, minutes volume by flow and a second for each layer of it,
cost grams times price. A grid, a block of crossed walls, goes under broad flat
ceilings and comes off in one piece. A tree, a trunk with branches, goes under slopes,
under what is narrow or high above what is below, and under thin pieces, since it
touches little. To make the minutes fit your machine, take a print whose time you know, divide
its plastic by that time, and write that as the flow of the process. A rule sees support for the way the model lies, without
the places that a waiver accepts; advice also says of each place where the support stands, whether
what it carries is thinner than 2 mm and may break with it, and whether a straight tool reaches it.`,
	Source: "own definition; shares and limits are judgement, but that a tree takes two fifths less plastic: Vanek, Galicia and Benes, Clever Support (2014), mean over their models",
	Model: []catalog.Value{
		{Name: "places", Doc: "places that need support", Sample: 2},
		{Name: "volume", Unit: catalog.MM3, Doc: "plastic in the support"},
		{Name: "contact", Unit: catalog.MM2, Doc: "area of the model that it touches and leaves rough"},
		{Name: "grams", Unit: catalog.Gram, Doc: "its mass"},
		{Name: "minutes", Unit: catalog.Minute, Doc: "the time it adds"},
		{Name: "cost", Doc: "price of its plastic, in the money of process.price", Needs: "price"},
	},
}
