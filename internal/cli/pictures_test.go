package cli

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/report"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// judgedT is the T with what a run finds on it: both arms hang.
func judgedT(path, part string) *lint.Judged {
	m := mesh.Weld(shapes.T())
	s := &lint.Judged{
		Model:   &finding.Model{Path: path, Part: part, Status: finding.Checked},
		Mesh:    m,
		Process: catalog.Process{Line: 0.4, Layer: 0.2, Bridge: 10}, Overhang: 45,
	}
	add := func(level finding.Level, x float64, waived *finding.Waived) {
		f := finding.Finding{Rule: "hangs", Level: level, Triangle: 1, Waived: waived,
			At: [3]float64{x, 5, 30}, Box: [2][3]float64{{x - 9, 0, 30}, {x + 9, 10, 30}}}
		s.Model.Findings = append(s.Model.Findings, f)
		var tris []uint32
		for t := range m.Tris {
			if a, b, c := m.Corners(t); a.Z == 30 && b.Z == 30 && c.Z == 30 && m.Normal(t).Z < 0 {
				tris = append(tris, uint32(t))
			}
		}
		s.Surfaces = append(s.Surfaces, lint.Surface{Tris: tris, Whole: true})
	}
	add(finding.Note, 10, nil)
	add(finding.Error, 40, nil)
	add(finding.Error, 40, &finding.Waived{Reason: "known"})
	s.Model.Findings = append(s.Model.Findings, finding.Finding{Rule: "size", Level: finding.Warning})
	s.Surfaces = append(s.Surfaces, lint.Surface{})
	return s
}

// TestMarksAreNumberedAsInReports holds the numbers of a picture to those of the page.
func TestMarksAreNumberedAsInReports(t *testing.T) {
	s := judgedT("t.stl", "")
	marks := marksOf(s)
	require.Len(t, marks, 2, "what is accepted, and what has no place, is not drawn")
	assert.Equal(t, 1, marks[0].Number)
	assert.Equal(t, finding.Error, marks[0].Level)
	assert.Equal(t, 3, marks[1].Number, "the warning without a place keeps its number")
	assert.Equal(t, finding.Note, marks[1].Level)
}

// TestGalleryDraws holds what is drawn of a model with findings, and of one without.
func TestGalleryDraws(t *testing.T) {
	g := newGallery(1, "", &guarded{})
	s := judgedT("t.stl", "")
	s.Model.Advice = &finding.Advice{Poses: []finding.Pose{{Matrix: [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}}}}
	require.NoError(t, g.Judged(t.Context(), s))
	clean := &lint.Judged{Model: &finding.Model{Path: "c.stl", Status: finding.Checked}, Mesh: mesh.Weld(shapes.Cube(9)), Process: s.Process, Overhang: 45}
	require.NoError(t, g.Judged(t.Context(), clean))
	r := &finding.Report{Models: []finding.Model{{Path: "gone.stl", Status: finding.Unreadable}, *clean.Model, *s.Model, {Path: "new.stl", Status: finding.Checked}}}
	of := g.of(r)
	assert.Nil(t, of(0))
	assert.Nil(t, of(3))
	require.NotNil(t, of(1))
	assert.Nil(t, of(1).Under, "without findings there is nothing to see below")
	assert.Empty(t, of(1).Layers)
	p := of(2)
	require.NotNil(t, p.Lying)
	require.NotNil(t, p.Under, "what hangs is seen from below")
	require.NotNil(t, p.Advised)
	require.Len(t, p.Lying.Badges, 2)
	assert.Equal(t, 1, p.Lying.Badges[0].Number, "the error, the worst")
	require.Len(t, p.Layers, 1, "both hang at one height")
	assert.Equal(t, 1, p.Layers[0].Number)
	assert.Contains(t, p.Layers[0].Words, "layer 151")
	assert.Len(t, p.Shape.Levels, len(s.Mesh.Tris))
	require.Len(t, p.Shape.Marks, 2)
	assert.Equal(t, [3]float64{40, 5, 30}, p.Shape.Marks[0].At)
	assert.Len(t, p.Shape.Tris, 3*len(s.Mesh.Tris))
	assert.Less(t, int(p.Shape.Tris[0]), len(p.Shape.Corners)/3)
}

// TestPartsOfOneNameKeepTheirOrder holds that pictures find their models where a file
// holds several of the same name, whatever else is drawn at the same time.
func TestPartsOfOneNameKeepTheirOrder(t *testing.T) {
	g := newGallery(3, "", &guarded{})
	r := &finding.Report{}
	var all sync.WaitGroup
	for _, path := range []string{"a.3mf", "b.3mf", "c.3mf"} {
		for range 3 {
			r.Models = append(r.Models, finding.Model{Path: path, Part: "lid", Status: finding.Checked})
		}
		all.Go(func() {
			for k := range 3 {
				side := float64(k + 1)
				assert.NoError(t, g.Judged(context.Background(), &lint.Judged{Model: &finding.Model{Path: path, Part: "lid"}, Mesh: mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: side, Y: 10, Z: 10}))}))
			}
		})
	}
	all.Wait()
	of := g.of(r)
	for i := range r.Models {
		width := float64(maxCorner(of(i).Shape)) * of(i).Shape.Step
		assert.InDelta(t, float64(i%3+1), width, 1e-3, "model %d", i)
	}
}

// maxCorner is the largest x of a shape.
func maxCorner(s *draw.Shape) uint16 {
	most := uint16(0)
	for i := 0; i < len(s.Corners); i += 3 {
		most = max(most, s.Corners[i])
	}
	return most
}

// TestPicturesShrinkWithTheCollection holds that more models never take more each.
func TestPicturesShrinkWithTheCollection(t *testing.T) {
	last := sizeFor(0)
	for _, n := range []int{1, 60, 61, 200, 250, 251, 1000, 1001, 1e6} {
		s := sizeFor(n)
		assert.LessOrEqual(t, s.width*s.height, last.width*last.height)
		assert.LessOrEqual(t, s.triangles, last.triangles)
		assert.LessOrEqual(t, s.layers, last.layers)
		assert.LessOrEqual(t, s.slices, last.slices)
		assert.GreaterOrEqual(t, min(s.width, s.height), draw.MinSide)
		last = s
	}
}

// TestReportOfManyModelsStaysSmall holds a report of 200 models, each with as much as
// there is room for, below 25 MB.
func TestReportOfManyModelsStaysSmall(t *testing.T) {
	const models = 200
	m := mesh.Weld(shapes.ThreadedRod(8, 1, 24, 64))
	s := &lint.Judged{Model: &finding.Model{Path: "rod.stl", Status: finding.Checked}, Mesh: m, Process: catalog.Process{Line: 0.4, Layer: 0.2}, Overhang: 45}
	for k := range 6 {
		z := 5 + 3*float64(k)
		s.Model.Findings = append(s.Model.Findings, finding.Finding{Rule: "hangs", Level: finding.Error, Triangle: 1, At: [3]float64{8, 0, z}, Box: [2][3]float64{{-9, -9, z - 1}, {9, 9, z + 1}}})
		var tris []uint32
		for t := range m.Tris {
			if m.Normal(t).Z < 0 {
				tris = append(tris, uint32(t))
			}
		}
		s.Surfaces = append(s.Surfaces, lint.Surface{Tris: tris, Whole: true})
	}
	s.Model.Advice = &finding.Advice{Poses: []finding.Pose{{Matrix: [9]float64{0, 0, 1, 0, 1, 0, -1, 0, 0}}}}
	g := newGallery(models, "", &guarded{})
	require.NoError(t, g.Judged(t.Context(), s))
	r := &finding.Report{}
	for range models {
		r.Models = append(r.Models, *s.Model)
	}
	one := g.drawn[pictureKey(s.Model)][0]
	var size counted
	require.NoError(t, report.Write(&size, "html", r, report.Options{Pictures: func(int) *draw.Pictures { return one }}))
	t.Logf("%d bytes", size)
	assert.Less(t, int(size), 25_000_000)
	assert.Greater(t, int(size), 5_000_000, "it holds them all")
}

// counted counts what is written.
type counted int

// Write counts.
func (c *counted) Write(p []byte) (int, error) {
	*c += counted(len(p))
	return len(p), nil
}

// TestPicturesAreSaved holds that each model has a file of its own, under a plain name.
func TestPicturesAreSaved(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "pictures")
	g := newGallery(2, dir, &guarded{})
	for _, path := range []string{"a/b c.stl", "a/b-c.stl", "a/b-c.stl", "../\u202e<script>.stl", strings.Repeat("x", 300) + ".stl"} {
		require.NoError(t, g.Judged(t.Context(), judgedT(path, "lid")))
	}
	require.NoError(t, g.err)
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, files, 5)
	for _, f := range files {
		assert.Regexp(t, `^[a-zA-Z0-9._-]{1,100}\.png$`, f.Name())
	}
	for key, list := range g.drawn {
		for _, p := range list {
			_, err := os.Stat(p.File)
			assert.NoError(t, err, key)
		}
	}
	keep := &guarded{}
	keep.keep(filepath.Join(dir, files[0].Name()), "a model that is checked")
	again := newGallery(2, dir, keep)
	for _, path := range []string{"a/b c.stl", "a/b-c.stl", "a/b-c.stl", "../\u202e<script>.stl", strings.Repeat("x", 300) + ".stl"} {
		require.NoError(t, again.Judged(t.Context(), judgedT(path, "lid")))
	}
	assert.ErrorContains(t, again.err, "that is a model that is checked", "a model may be called like a picture")
	blocked := newGallery(1, filepath.Join(dir, files[0].Name(), "below a file"), &guarded{})
	require.NoError(t, blocked.Judged(t.Context(), judgedT("t.stl", "")))
	assert.ErrorContains(t, blocked.err, "could not be made")
}

// TestPicturesThatBreakAreNoted, and those of a model that used up its limit are not begun.
func TestPicturesThatBreakAreNoted(t *testing.T) {
	g := newGallery(1, "", &guarded{})
	broken := judgedT("t.stl", "")
	broken.Mesh = nil
	require.NoError(t, g.Judged(t.Context(), broken))
	require.Len(t, broken.Model.Notes, 1)
	assert.Contains(t, broken.Model.Notes[0], "no picture: the analysis broke off (")
	late := judgedT("t.stl", "")
	ctx := work.Start(t.Context(), 1)
	require.Error(t, work.Of(ctx).Spend(2))
	require.NoError(t, g.Judged(ctx, late))
	assert.Equal(t, []string{"no picture: the limit of work was used up"}, late.Model.Notes)
}
