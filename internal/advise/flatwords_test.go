package advise

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// TestFeetOfATurnedModel begin above the bed only once it is turned.
func TestFeetOfATurnedModel(t *testing.T) {
	view := &ruleset.View{Rules: []*ruleset.Rule{{ID: "mid-air", Measure: measure.Island.Name()}}, Process: catalog.Process{Layer: 0.2}}
	before := &wayUp{Candidate: pose.Candidate{Down: mesh.Vec{Z: 1}, Height: 40}, outcome: &outcome{
		Verdict: &verdict.Verdict{Subject: &verdict.Subject{View: view}}, place: mesh.Placement{M: mesh.Identity},
	}}
	for _, z := range []float64{0.5, 1.1} {
		before.hits = append(before.hits, verdict.Hit{
			Finding: finding.Finding{Rule: "mid-air", Level: finding.Error},
			Site:    &measure.Site{At: mesh.Vec{Z: z}, Below: &measure.Below{}},
		})
	}
	f := &flat{changed: changed{wayUp{before.Candidate, &outcome{Verdict: before.Verdict, figures: figures{Base: 60}}}, before}, height: 1.2}
	f.Origin, before.Origin = pose.AsItLies, pose.AsItLies
	assert.Equal(t, "two feet begin 0.5 to 1.1 mm above the bed: cut 1.2 mm off the bottom, then 60 mm² lie flat and it has no finding", f.words(before, ""))
	f.Origin = pose.Rest
	assert.Equal(t, "turn it over, then cut 1.2 mm off the bottom (two feet begin 0.5 to 1.1 mm above the bed there): then 60 mm² lie flat and it has no finding", f.words(before, ""))
}
