package measure

import (
	"testing"

	"printlint/internal/layers"
)

// benchGrid is one of 500 x 500 cells.
var benchGrid = layers.Grid{Cell: 0.1, Height: 0.2, Cols: 500, Rows: 500, Words: 8, Layers: 1}

// benchLayer is a plate with a grid of holes, and pins beside it, moved by some cells.
func benchLayer(shift int) *layers.Layer {
	p := layers.NewPlane(&benchGrid)
	for row := 10; row < 490; row++ {
		if row%40 < 30 {
			p.Fill(row, 10+shift, 350+shift)
		} else {
			for from := 10; from < 350; from += 50 {
				p.Fill(row, from+shift, from+30+shift)
			}
		}
		if row%30 < 20 {
			p.Fill(row, 400+shift, 420+shift)
			p.Fill(row, 440+shift, 460+shift)
		}
	}
	return &layers.Layer{K: 1, Solid: p, Runs: p.AppendRuns(nil)}
}

// BenchmarkBodiesPerLayer visits layers that change all the time, and layers of
// straight walls.
func BenchmarkBodiesPerLayer(b *testing.B) {
	makers := []struct {
		name string
		make func() layers.Visitor
	}{
		{"pieces", func() layers.Visitor { return newSectionVisitor() }},
		{"stability", func() layers.Visitor { return newSectionVisitor(newStabilityTracker(stackOn(&benchGrid), None{})) }},
		{"column", func() layers.Visitor {
			return newSectionVisitor(newColumnTracker(stackOn(&benchGrid), ColumnParams{5}))
		}},
		{"cavity", func() layers.Visitor { return newSectionVisitor(newCavityTracker(stackOn(&benchGrid), None{})) }},
	}
	for _, m := range makers {
		for step, name := range []string{"straight", "changing"} {
			b.Run(m.name+"/"+name, func(b *testing.B) {
				v, pair := m.make(), [2]*layers.Layer{benchLayer(0), benchLayer(step)}
				v.Visit(nil, &layers.Layer{Solid: pair[0].Solid, Runs: pair[0].Runs})
				for i := range b.N {
					v.Visit(nil, pair[i&1])
				}
			})
		}
	}
}
