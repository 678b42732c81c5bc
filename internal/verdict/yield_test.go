package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
)

// TestYield holds which hits speak for others: at the place, of the level or above, not
// silent themselves, and of a rule that is yielded to. Of one measure, a rule that yields
// also speaks for the other where its own level is the higher one.
func TestYield(t *testing.T) {
	hit := func(rule string, level finding.Level, x float64) Hit {
		p := mesh.Vec{X: x, Y: 3, Z: 7}
		box := mesh.Box{Min: mesh.Vec{X: x - 5}, Max: mesh.Vec{X: x + 5, Y: 10, Z: 10}}
		return Hit{Finding: finding.Finding{Rule: rule, Level: level}, Site: &measure.Site{At: p, Box: box, Tris: []uint32{0}}}
	}
	kept := func(hits ...Hit) (list []string) {
		v := Verdict{Subject: &Subject{View: &ruleset.View{Rules: []*ruleset.Rule{
			{ID: "rough", YieldsTo: []string{"falls", "large"}}, {ID: "large", Measure: "size"}, {ID: "falls", YieldsTo: []string{"stands"}}, {ID: "stands"}, {ID: "other"},
		}}}, Hits: hits}
		v.yield()
		for _, h := range v.Hits {
			list = append(list, h.Rule)
		}
		return list
	}
	rough := hit("rough", finding.Warning, 0)
	assert.Equal(t, []string{"falls"}, kept(rough, hit("falls", finding.Error, 4)), "within its box")
	assert.Equal(t, []string{"falls"}, kept(rough, hit("falls", finding.Warning, 5.4)), "the same level, at its rim")
	assert.Equal(t, []string{"rough", "falls"}, kept(rough, hit("falls", finding.Error, 6)), "its box overlaps, its place is elsewhere")
	assert.Equal(t, []string{"rough"}, kept(rough, hit("falls", finding.Note, 0)), "a milder one of its own measure")
	assert.Equal(t, []string{"rough", "large"}, kept(rough, hit("large", finding.Note, 0)), "a milder one of another measure")
	assert.Equal(t, []string{"large"}, kept(rough, hit("large", finding.Error, 0)), "a worse one of another measure")
	assert.Equal(t, []string{"rough", "other"}, kept(rough, hit("other", finding.Error, 0)), "a rule that it does not yield to")
	assert.Equal(t, []string{"rough", "stands"}, kept(rough, hit("falls", finding.Error, 4), hit("stands", finding.Error, 8)), "what is silent silences nothing")
	all := hit("falls", finding.Error, 60)
	all.Site.Tris = nil
	assert.Equal(t, []string{"falls"}, kept(rough, all), "of the whole model")
	all.Level = finding.Note
	assert.Equal(t, []string{"rough"}, kept(rough, all), "of the whole model and milder: the worst that holds stands alone")
	assert.Equal(t, []string{"falls", "rough"}, kept(hit("falls", finding.Error, 40), rough, hit("rough", finding.Warning, 38)), "hits keep their order")
}
