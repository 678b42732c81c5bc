package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/shapes"
)

// saveSTL writes a solid into a folder and returns its path.
func saveSTL(t *testing.T, dir, name string, s *mesh.Triangles) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&b, s, "a test"))
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	return path
}

// readSTL reads a file back, in its own units.
func readSTL(t *testing.T, path string) *mesh.Mesh {
	t.Helper()
	f, err := meshfile.Open(path)
	require.NoError(t, err)
	defer f.Close()
	parts, err := meshfile.Read(path, f, meshfile.Options{})
	require.NoError(t, err)
	require.Len(t, parts, 1)
	return mesh.Weld(parts[0].Triangles)
}

// TestWrittenModelKeepsItsSize: turned, dropped on the bed, nothing lost.
func TestWrittenModelKeepsItsSize(t *testing.T) {
	dir := t.TempDir()
	path := saveSTL(t, dir, "t.stl", shapes.Move(shapes.T(), shapes.Vec{X: 7, Y: -3, Z: 11}))
	code, out, complaints := run(t, Env{}, "advise", "--down", "0,0,2", "--write", filepath.Join(dir, "new", "folder"), path)
	require.Equal(t, 0, code, complaints)
	assert.Contains(t, out, "turn it over, so that the flat top lies on the bed: then it prints without support")
	turned := readSTL(t, filepath.Join(dir, "new", "folder", "t.stl"))
	assert.Len(t, turned.Tris, 28)
	assert.InDelta(t, 8000, turned.Volume(), 1e-2)
	assert.Zero(t, turned.Box().Min.Z)
	assert.InDelta(t, 40, turned.Box().Max.Z, 1e-4)
	raw, err := os.ReadFile(filepath.Join(dir, "new", "folder", "t.stl"))
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(raw), "name: t\x00"), "the header names the model")
	assert.Len(t, raw, 84+28*50)
}

// TestWrittenModelKeepsItsUnit: a model drawn in inches is written in inches, and what
// plastic costs is counted.
func TestWrittenModelKeepsItsUnit(t *testing.T) {
	dir := t.TempDir()
	config := filepath.Join(dir, ".printlint.yml")
	require.NoError(t, os.WriteFile(config, []byte("version: 1\nprocess: {price: 24 /kg}\nmodels: {unit: in}\n"), 0o600))
	path := saveSTL(t, dir, "t.stl", shapes.Scale(shapes.T(), 1/25.4))
	code, out, complaints := run(t, Env{}, "advise", "--down", "0,0,-1", "--write", filepath.Join(dir, "out"), path)
	require.Equal(t, 0, code, complaints)
	assert.Contains(t, out, "40.0 mm tall")
	assert.Contains(t, out, ", costs 0.05\n")
	assert.Regexp(t, `checked again, 2 errors.* as promised`, out)
	assert.InDelta(t, 40/25.4, readSTL(t, filepath.Join(dir, "out", "t.stl")).Box().Max.Z, 1e-6)
}

// TestAdviceAsJSON is one value with everything the text says, and nothing else.
func TestAdviceAsJSON(t *testing.T) {
	dir := t.TempDir()
	path := saveSTL(t, dir, "figure.stl", shapes.Figure())
	code, out, complaints := run(t, Env{}, "advise", "--format", "json", path)
	require.Equal(t, 0, code)
	assert.Equal(t, builtIn, complaints)
	var r finding.Report
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	require.Len(t, r.Models, 1)
	a := r.Models[0].Advice
	require.NotNil(t, a)
	require.NotEmpty(t, a.Poses)
	require.NotNil(t, a.Support)
	assert.Equal(t, a.Poses[0].Down, a.Support.Down, "the plan is for the best way up")
	assert.InDelta(t, a.Poses[0].Support.Volume, a.Support.Volume, 1e-3)
	for _, s := range a.Support.Sites {
		assert.Equal(t, "tree", s.Kind)
		assert.Equal(t, "bed", s.Stands)
		assert.Positive(t, s.Volume)
	}
	_, again, _ := run(t, Env{}, "advise", "--format", "json", "--jobs", "1", path)
	assert.Equal(t, out, again)
}

// TestPartsOfAFileAreWrittenApart: their names become part of the file's.
func TestPartsOfAFileAreWrittenApart(t *testing.T) {
	w := &turnedWriter{dir: "out", origins: collection.Origins{"pack.zip!/models/clip.obj": "", "plate.3mf": "", "x.3mf": "", "p.zip!/a\nb.stl": ""}}
	assert.Equal(t, filepath.Join("out", "clip.stl"), w.target(&finding.Model{Path: "pack.zip!/models/clip.obj"}))
	assert.Equal(t, filepath.Join("out", "plate-left _ right.stl"), w.target(&finding.Model{Path: "plate.3mf!/3D/3dmodel.model", Part: "left / right"}))
	assert.Equal(t, filepath.Join("out", "x-.._.._up.stl"), w.target(&finding.Model{Path: "x.3mf", Part: "../../up"}), "no way out of the folder")
	assert.Equal(t, filepath.Join("out", "plate.stl"), w.target(&finding.Model{Path: "plate.3mf!/3D/3dmodel.model"}), "its own name, not the one inside")
	assert.Equal(t, filepath.Join("out", "a_b.stl"), w.target(&finding.Model{Path: "p.zip!/a\nb.stl"}), "a name that every file system takes")
}

// stopper ends a run once something is written to it.
type stopper struct{ stop context.CancelFunc }

func (s stopper) Write(p []byte) (int, error) {
	if bytes.Contains(p, []byte("checked again")) {
		s.stop()
	}
	return len(p), nil
}

// TestWhatIsWrittenAndNotCheckedIsNamed: a run that is stopped after it wrote files says which of
// them nobody has checked.
func TestWhatIsWrittenAndNotCheckedIsNamed(t *testing.T) {
	dir := t.TempDir()
	one, two := saveSTL(t, dir, "one.stl", shapes.T()), saveSTL(t, dir, "two.stl", shapes.T())
	out := filepath.Join(dir, "new")
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var complaints bytes.Buffer
	code := Run(ctx, []string{"advise", "--write", out, one, two}, Env{Stdout: stopper{stop}, Stderr: &complaints})
	assert.Equal(t, 2, code)
	assert.FileExists(t, filepath.Join(out, "two.stl"))
	assert.Contains(t, complaints.String(), "stopped before the end; written, but not checked again: "+filepath.Join(out, "two.stl")+"\n")
}
