package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/shapes"
)

func TestWaivers(t *testing.T) {
	config := load(t, hangRules+`
waivers:
  - {path: "old/*.stl", rule: hangs, reason: printed many times, until: 2030-01-31}
  - {path: "old/t.stl", rule: hangs, reason: past, until: 2026-01-14}
  - {path: "gone.stl", rule: hangs, reason: no longer there}
  - {path: "cube.stl", rule: hangs, reason: nothing to accept}
`)
	files := []collection.File{model(t, "old/t.stl", shapes.T()), model(t, "cube.stl", shapes.Cube(10))}
	r := check(t, config, Options{}, files...)
	require.Len(t, r.Models, 3)
	for _, f := range r.Models[1].Findings {
		assert.Equal(t, &finding.Waived{Kind: finding.ByWaiver, File: "rules.yml", Reason: "printed many times", Until: "2030-01-31"}, f.Waived)
	}
	entry := r.Models[2]
	assert.Equal(t, "rules.yml", entry.Path)
	assert.Equal(t, KindConfig, entry.Kind)
	require.Len(t, entry.Findings, 2, "the past one, and the one that accepts nothing on a model that was checked")
	assert.Equal(t, RuleStale, entry.Findings[0].Rule)
	assert.Equal(t, 25, entry.Findings[0].Line)
	assert.Equal(t, "the waiver of hangs for old/t.stl should go: its last day was 2026-01-14 in UTC", entry.Findings[0].Message)
	assert.Equal(t, finding.Summary{Models: 2, Clean: 2, Warning: 2, Waived: 2}, r.Summary)
	assert.Equal(t, ExitClean, Exit(r, finding.Error))
	assert.Equal(t, ExitFindings, Exit(r, finding.Warning))

	whole := check(t, config, Options{Whole: true}, files...)
	assert.Len(t, whole.Models[2].Findings, 3, "in a whole run the model that is gone counts too")
}

func TestPlacesAndUnits(t *testing.T) {
	config := load(t, hangRules+`
places:
  - {paths: ["small/**"], rules: {hangs: {level: note}}}
  - {paths: ["inch/**"], unit: in}
`)
	inch := shapes.Scale(shapes.T(), 1/25.4)
	r := check(t, config, Options{}, model(t, "inch/t.stl", inch), model(t, "small/t.stl", shapes.T()), model(t, "t.stl", shapes.T()))
	assert.Equal(t, finding.Error, r.Models[2].Findings[0].Level)
	assert.Equal(t, finding.Note, r.Models[1].Findings[0].Level)
	assert.Equal(t, stamps(&r.Models[2]), stamps(&r.Models[0]), "inches are read as inches")
}

// TestExit holds the table of exit codes.
func TestExit(t *testing.T) {
	with := func(unreadable int, levels ...finding.Level) *finding.Report {
		r := &finding.Report{Models: []finding.Model{{}}}
		for _, l := range levels {
			r.Models[0].Findings = append(r.Models[0].Findings, finding.Finding{Level: l})
		}
		r.Summary.Unreadable = unreadable
		return r
	}
	waived := with(0, finding.Error)
	waived.Models[0].Findings[0].Waived = &finding.Waived{}
	for _, c := range []struct {
		report *finding.Report
		failAt finding.Level
		want   int
	}{
		{with(0), finding.Error, 0},
		{with(0, finding.Error), finding.Error, 1},
		{with(0, finding.Warning), finding.Error, 0},
		{with(0, finding.Note, finding.Warning), finding.Warning, 1},
		{with(0, finding.Note), finding.Warning, 0},
		{with(0, finding.Note), finding.Note, 1},
		{with(0, finding.None), finding.Note, 0},
		{with(0, finding.Error), finding.None, 0},
		{waived, finding.Note, 0},
		{with(1), finding.Error, 2},
		{with(1, finding.Error), finding.None, 2},
	} {
		assert.Equal(t, c.want, Exit(c.report, c.failAt), "%+v at %s", c.report.Models, c.failAt)
	}
}

func TestPartsOfAFile(t *testing.T) {
	j := &judge{usage: load(t, hangRules).NewUsage()}
	g := &engine{config: j.usage.Config, each: j.judge}
	start := entry{Model: finding.Model{Path: "pack.zip", Status: finding.Checked, Findings: []finding.Finding{}}}
	e := g.part(t.Context(), start, "pack.zip", &meshfile.Part{Inner: "models/t.stl", Name: "T", Kind: "stl", Triangles: shapes.T(), Notes: []string{"n"}}, 1)
	assert.Equal(t, "pack.zip!/models/t.stl", e.Path)
	assert.Equal(t, "T", e.Part)
	assert.Equal(t, []string{"n"}, e.Notes)
	assert.Len(t, e.Findings, 2)
	e = g.part(t.Context(), start, "pack.zip", &meshfile.Part{Kind: "3mf", Skip: "a support body"}, 1)
	assert.Equal(t, finding.Skipped, e.Status)
	e = g.part(t.Context(), start, "pack.zip", &meshfile.Part{Kind: "stl", Triangles: &mesh.Triangles{}}, 1)
	assert.Equal(t, finding.Unreadable, e.Status)
	e = g.failed(start, &meshfile.Error{Problem: "p", Cure: "c", LFS: true})
	assert.Equal(t, finding.Unreadable, e.Status)
	assert.Equal(t, "p; c", e.Reason)
	g.config.LFS = "skip"
	e = g.failed(start, &meshfile.Error{Problem: "p", LFS: true})
	assert.Equal(t, finding.Skipped, e.Status)
}
