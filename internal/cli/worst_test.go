package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// shelfOf writes boxes, of which every other one has a ledge, and lists them.
func shelfOf(t *testing.T, n int) []collection.File {
	t.Helper()
	dir := t.TempDir()
	for i := range n {
		solid := shapes.Box(shapes.Vec{}, shapes.Vec{X: 10, Y: 10, Z: 10 + float64(i)})
		if i%2 == 1 {
			solid = shapes.T()
		}
		path := filepath.Join(dir, fmt.Sprintf("%02d.stl", i))
		f, err := os.Create(path)
		require.NoError(t, err)
		require.NoError(t, shapes.WriteBinarySTL(f, solid, "test"))
		require.NoError(t, f.Close())
	}
	files, err := collection.Find([]string{dir}, collection.Options{Include: ruleset.ModelGlobs})
	require.NoError(t, err)
	require.Len(t, files, n)
	return files
}

// TestTheWorstAreDrawn holds that of very many models the worst have pictures, the same ones
// however many processors there are, and that nothing else of the report differs.
func TestTheWorstAreDrawn(t *testing.T) {
	files := shelfOf(t, 8)
	config, err := ruleset.Load("", ruleset.Options{Catalog: advise.Catalog()})
	require.NoError(t, err)
	for _, jobs := range []int{1, 4} {
		opt := lint.Options{Jobs: jobs, Memory: 1 << 30, Advice: advise.Options{Depth: advise.Short}}
		r, err := lint.Run(t.Context(), "test", files, config, opt)
		require.NoError(t, err)
		require.Equal(t, 8, r.Summary.Models, "%+v", r.Models)
		require.Equal(t, finding.Checked, r.Models[1].Status, "%+v", r.Models)
		g := newGallery(len(files), "", &guarded{})
		g.most = 3
		before := fmt.Sprintf("%+v", r)
		require.NoError(t, g.drawWorst(t.Context(), r, files, config, opt))
		assert.Equal(t, before, fmt.Sprintf("%+v", r))
		pictures, drawn := g.of(r), []int(nil)
		for i := range r.Models {
			if p := pictures(i); p != nil {
				require.NotNil(t, p.Lying)
				drawn = append(drawn, i)
			}
		}
		assert.Equal(t, []int{1, 3, 5}, drawn, "%d jobs", jobs)
	}
}

// TestWorstFirst holds the order in which models get pictures.
func TestWorstFirst(t *testing.T) {
	m := func(status finding.Status, levels ...finding.Level) finding.Model {
		m := finding.Model{Status: status, Kind: "stl"}
		for _, l := range levels {
			m.Findings = append(m.Findings, finding.Finding{Level: l})
		}
		return m
	}
	r := &finding.Report{Models: []finding.Model{
		m(finding.Checked), m(finding.Checked, finding.Warning), m(finding.Unreadable), m(finding.Checked, finding.Error, finding.Note),
		{Status: finding.Checked, Kind: finding.KindFolder}, m(finding.Checked, finding.Error, finding.Error), m(finding.Undecided), m(finding.Checked),
	}}
	assert.Equal(t, []int{6, 5, 3, 1, 0, 7}, worst(r, 10))
	assert.Equal(t, []int{6, 5}, worst(r, 2))
}

// TestAFileOfVeryManyParts holds that one file cannot bring more pictures than a report holds.
func TestAFileOfVeryManyParts(t *testing.T) {
	g := newGallery(1, "", &guarded{})
	g.most = 2
	for k := range 4 {
		require.NoError(t, g.Judged(t.Context(), judgedT("plate.3mf", fmt.Sprint("part ", k))))
	}
	assert.Len(t, g.drawn, 2)
}
