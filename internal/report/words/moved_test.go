package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

func figures(pairs map[string]float64) (list finding.Values) {
	for _, k := range finding.FigureKinds {
		if x, ok := pairs[k.Name]; ok {
			list = append(list, finding.Named{Name: k.Name, Unit: k.Unit, Value: x})
		}
	}
	return list
}

func TestOnlyWhatMovedIsTold(t *testing.T) {
	m := &finding.Model{
		SHA256:   "new",
		Figures:  figures(map[string]float64{"height": 42, "volume": 9000, "grams": 15.1, "minutes": 40.01, "bridge": 34, "angle": 60}),
		Findings: []finding.Finding{{Level: finding.Error}, {Level: finding.Warning, Waived: &finding.Waived{}}},
		Was: &finding.Former{
			SHA256: "old", Shape: finding.Likeness{Became: finding.OtherShape, Factor: 1, Words: "the shape changed"},
			Figures: figures(map[string]float64{"height": 40, "volume": 8000, "grams": 13.2, "minutes": 40, "bridge": 12, "support": 2}),
		},
	}
	assert.Equal(t, "the shape changed; height 40.0 → 42.0 mm, weight 13.2 → 15.1 g, worst overhang angle not known → 60°, "+
		"longest bridge 12.0 → 34.0 mm, support 2.0 g → not known, errors 0 → 1, warnings 0 → 1 (1 accepted)", Became(m))
	moved := MovedFigures(m, false)
	assert.Len(t, moved, 8, "the volume is in the table as well")
	assert.Equal(t, "+2.00 mm", moved[0].Difference)
	assert.Len(t, MovedFigures(m, true), 8+1+1, "and the minutes and notes where all is asked for")
	m.Was.Shape = finding.Likeness{Became: finding.SameShape, Factor: 25.4, Words: "larger"}
	assert.Equal(t, "larger; height 40.0 → 42.0 mm, errors 0 → 1, warnings 0 → 1 (1 accepted)", Became(m), "all else grew with the size")
	assert.Empty(t, Became(&finding.Model{}), "nobody asked")
	same := &finding.Model{SHA256: "x", Was: &finding.Former{SHA256: "x", Shape: sameShape}}
	assert.Empty(t, Became(same), "the same bytes, and nothing moved")
}

var sameShape = finding.Likeness{Became: finding.SameShape, Factor: 1, Words: "the same shape"}
