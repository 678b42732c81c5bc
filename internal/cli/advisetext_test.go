package cli

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// adviceSample has one of everything that the text shows.
func adviceSample() *finding.Report {
	total := finding.SupportTotal{Volume: 1800, Contact: 200, Grams: 2.2, Minutes: 11, Cost: 0.054}
	best := finding.Pose{
		Down: [3]float64{0, 0, 1}, Words: "the flat top goes on the bed: turn it 90° about the x axis",
		Costs:    []string{"fine detail then lies on the bed and comes out flattened"},
		Findings: finding.LevelCount{Error: 2, Note: 1},
		Left:     []finding.RuleCount{{Rule: "hangs", Level: finding.Error, Count: 2, Cured: true}, {Rule: "thin", Level: finding.Note, Count: 1}},
		Base:     500, Height: 40, Tip: 21.8, Overhang: 12.5, Grams: 4.7, Minutes: 13, Support: &total,
	}
	lies := finding.Pose{Down: [3]float64{0, 0, -1}, Words: "as it lies", Base: 0.4, Height: 62, Tip: -3, Grams: 4.7, Minutes: 130}
	return &finding.Report{Models: []finding.Model{
		{Path: "a.stl", Status: finding.Unreadable, Reason: "ends too soon", Line: 7},
		{Path: "b.stl", Status: finding.Skipped, Reason: "not fetched"},
		{Path: "plate.3mf", Part: "clip\x1b[31m", Status: finding.Checked, Advice: &finding.Advice{
			Words: "turn it over, so that the flat top lies on the bed: then it leaves 2 errors", Poses: []finding.Pose{best, lies},
			Support: &finding.Support{Kind: "mixed", SupportTotal: total, Sites: []finding.SupportSite{
				{At: [3]float64{1, 2.5, 30}, Area: 200, Drop: 30, Kind: "grid", Why: "a flat ceiling", Stands: "bed", Contact: 100, Grams: 1.1, Minutes: 5.5, Reach: "open at the side: a tool gets in to take it off"},
				{At: [3]float64{9, 2, 8}, Area: 8, Drop: 3, Kind: "tree", Why: "only 2.00 mm wide", Stands: "model", Contact: 2, Grams: 0.01, Minutes: 0.1,
					Risk: "what it carries is only 0.80 mm thick", Reach: "closed in on all sides"},
			}},
		}},
		{Path: "old.stl", Status: finding.Checked},
	}}
}

const adviceSampleText = `a.stl:7: error: ends too soon
b.stl: skipped: not fetched
plate.3mf "clip\u001b[31m": turn it over, so that the flat top lies on the bed: then it leaves 2 errors
  1. the flat top goes on the bed: turn it 90° about the x axis
     found without support: error hangs (2 times), note thin; support cures the errors
     500 mm² flat on the bed, 40.0 mm tall, tips over when pushed 21.8° aside, 12 mm² of overhang
     about 4.7 g and 13 min; with support about 6.9 g and 24 min, which leaves 200 mm² rough
     but: fine detail then lies on the bed and comes out flattened
  2. as it lies
     nothing found
     0.4 mm² flat on the bed, 62.0 mm tall, falls over by itself, no overhang
     about 4.7 g and 2 h 10 min
  support for 1. (mixed): about 2.2 g and 11 min, 1800 mm³, costs 0.05
     at (1, 2.5, 30) mm: a grid that stands on the bed, 30.0 mm tall, under 200 mm²; about 1.1 g and 6 min; touches 100 mm² of the model
       why: a flat ceiling
       open at the side: a tool gets in to take it off
     at (9, 2, 8) mm: a tree that stands on the model, 3.00 mm tall, under 8.0 mm²; less than 0.1 g and less than 1 min; touches 2.0 mm² of the model
       why: only 2.00 mm wide
       risk: what it carries is only 0.80 mm thick
       closed in on all sides
turns: x points to the right, y to the back, z up; lay your right thumb along the axis, and your fingers curl the way to turn
pushed aside: a cube tips over at 45°, a post ten times as tall as wide at 5.7°
grams, minutes and support are estimates: see printlint explain pose, printlint explain support
support: let the print cool, wear eye protection when it comes off, and cut away from your hands
fine means the shape suits the process; it says nothing about strength, heat, food, electrical or child safety
`

func TestAdviceText(t *testing.T) {
	var b bytes.Buffer
	adviceText(&b, adviceSample())
	assert.Equal(t, adviceSampleText, b.String())
	r := adviceSample()
	r.Models[2].Advice.Poses[0].Words = "the flat top goes on the bed: turn it over"
	b.Reset()
	adviceText(&b, r)
	assert.NotContains(t, b.String(), "right thumb", "which way over is one")
}

func TestOnlyModelsAreAdvised(t *testing.T) {
	r := adviceSample()
	r.Models = append(r.Models, finding.Model{Path: ".printlint.yml", Kind: "configuration", Status: finding.Checked, Findings: []finding.Finding{{Level: finding.Warning}}})
	onlyModels(r)
	require.Len(t, r.Models, 4)
	assert.Equal(t, 1, r.Summary.Unreadable)
	assert.Zero(t, r.Summary.Warning, "what is wrong with the configuration is no advice")
}

func TestDirections(t *testing.T) {
	var d direction
	assert.Empty(t, d.String())
	for _, bad := range []string{"", "1", "1,2", "1,2,3,4", "a,b,c", "0,0,0", "NaN,0,1", "Inf,0,0", "1e300,0,0", "1,,2"} {
		assert.Error(t, d.Set(bad), bad)
		assert.Nil(t, d.vec, bad)
	}
	require.NoError(t, d.Set(" 0, 3 ,-4"))
	assert.Equal(t, "0,0.6,-0.8", d.String())
	assert.Equal(t, "X,Y,Z", d.Type())
}

func TestKeptPromises(t *testing.T) {
	s := &saved{promise: finding.LevelCount{Error: 1, Warning: 2}}
	r := &finding.Report{Summary: finding.Summary{Error: 1, Warning: 2}}
	assert.Equal(t, "checked again, 1 error, 2 warnings as promised", recheckText(s, r))
	r.Summary.Warning = 0
	assert.Equal(t, "checked again, 1 error where 1 error, 2 warnings was promised", recheckText(s, r))
	r.Summary = finding.Summary{Unreadable: 1}
	r.Models = []finding.Model{{Reason: "gone"}}
	assert.Equal(t, "checked again: gone", recheckText(s, r))
	s.promise = finding.LevelCount{}
	assert.Equal(t, "checked again, no finding as promised", recheckText(s, &finding.Report{}))
}

// TestSupportAndErrors tells whether support is enough, and nothing where none is planned.
func TestSupportAndErrors(t *testing.T) {
	held, bare := finding.RuleCount{Level: finding.Error, Cured: true}, finding.RuleCount{Level: finding.Error}
	for want, left := range map[string][]finding.RuleCount{
		"; support cures the errors":         {held, {Level: finding.Warning}},
		"; support cures some of the errors": {held, bare},
		"; support cures none of the errors": {bare},
		"":                                   {{Level: finding.Note}},
	} {
		assert.Equal(t, want, curedWords(&finding.Pose{Left: left, Support: &finding.SupportTotal{}}))
	}
	assert.Empty(t, curedWords(&finding.Pose{Left: []finding.RuleCount{bare}}))
}
