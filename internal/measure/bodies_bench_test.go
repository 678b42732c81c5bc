package measure

import (
	"testing"

	"printlint/internal/layers"
)

// benchLayer is a layer of 500 x 500 cells: a plate with a grid of holes, and pins
// beside it.
func benchLayer() (*layers.Grid, *layers.Layer) {
	g := &layers.Grid{Cell: 0.1, Height: 0.2, Cols: 500, Rows: 500, Words: 8, Layers: 1}
	p := layers.NewPlane(g)
	for row := 10; row < 490; row++ {
		if row%40 < 30 {
			p.Fill(row, 10, 350)
		} else {
			for from := 10; from < 350; from += 50 {
				p.Fill(row, from, from+30)
			}
		}
		if row%30 < 20 {
			p.Fill(row, 400, 420)
			p.Fill(row, 440, 460)
		}
	}
	return g, &layers.Layer{K: 1, Solid: p}
}

func BenchmarkBodiesPerLayer(b *testing.B) {
	g, layer := benchLayer()
	below := &layers.Layer{Solid: layer.Solid}
	for name, v := range map[string]layers.Visitor{
		"pieces":    newSectionVisitor(),
		"stability": newSectionVisitor(newStandingTracker(g)),
		"column":    newSectionVisitor(newColumnTracker(g, 5, 0.4)),
		"cavity":    newCavityVisitor(g),
	} {
		b.Run(name, func(b *testing.B) {
			v.Visit(below, below)
			for range b.N {
				v.Visit(below, layer)
			}
		})
	}
}
