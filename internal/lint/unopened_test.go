package lint

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

const fileProcess = "version: 1\nuse: []\nprocess: {material: test, nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bed: [220 mm, 220 mm, 250 mm], bridge: 10 mm, density: 1.0 g/cm3, flow: 8 mm3/s}\n"

// fileRules are over the file alone.
const fileRules = fileProcess + `
rules:
  plain-name: {per: model, find: 'not file.name matches "^[a-z0-9_.-]+$"', level: error, say: '{file.name} has other letters in {file.folder}', because: b}
  one-format: {per: model, find: 'not file.format in ["stl", "3mf"]', level: error, say: 'is {file.format}', because: b}
  note-beside: {per: model, find: 'not beside("README*")', level: warning, say: no note, because: b}
  small-file: {per: model, limits: {most: 2 kB}, find: file.bytes > limits.most, level: warning, say: '{file.bytes} is more than {limits.most}', because: b}
  unit: {per: model, find: not file.unit_stated, level: note, say: no unit, because: b}
`

// found lists the messages of a report by path.
func found(r *finding.Report) map[string][]string {
	list := map[string][]string{}
	for _, m := range r.Models {
		if m.Kind == finding.KindConfig {
			continue
		}
		list[m.Path] = []string{}
		for _, f := range m.Findings {
			list[m.Path] = append(list[m.Path], f.Message)
		}
	}
	return list
}

// TestRulesOverTheFileAlone holds what they find, and that no model is read for it.
func TestRulesOverTheFileAlone(t *testing.T) {
	broken := append(make([]byte, 80), 40, 0, 0, 0)              // binary STL of 40 triangles
	broken = append(broken, bytes.Repeat([]byte{0xff}, 2000)...) // none of them a number
	whole := model(t, "parts/Big Ball.obj", shapes.Sphere(10, 16))
	var read atomic.Int64
	files := counting([]collection.File{fileOf("ok.stl", broken), whole}, &read)
	r := check(t, load(t, fileRules), Options{Advice: advise.Options{Depth: advise.Short}}, files...)
	assert.Equal(t, map[string][]string{
		"ok.stl":             {"no note", "2.1 kB is more than 2 kB", "no unit"},
		"parts/Big Ball.obj": {"no note", "is obj", "Big Ball.obj has other letters in parts", found(r)["parts/Big Ball.obj"][3], "no unit"},
	}, found(r))
	assert.Less(t, read.Load(), int64(len(broken))+whole.Size+3000, "more than once through for the checksum, and the first bytes")
	last := r.Models[len(r.Models)-1]
	for _, m := range r.Models {
		if m.Kind == finding.KindConfig {
			last = m
		}
	}
	assert.Equal(t, []string{"where no rule asks what is in a model, models were not opened, so that a broken one is not found"}, last.Notes)
	again := check(t, load(t, fileRules+"  few: {per: model, find: file.triangles > 100, level: note, say: '{file.triangles}', because: b}\n"), Options{}, files...)
	assert.Equal(t, finding.Unreadable, again.Models[0].Status, "a rule that asks what is inside has it read")
}

// TestWhatTheFileHolds holds the values that come with a look inside.
func TestWhatTheFileHolds(t *testing.T) {
	rules := fileProcess + `
rules:
  inside: {per: model, find: file.models > 0, level: note, say: '{file.models} {file.triangles} {file.format} <{file.part}>', because: b}
  unit: {per: model, find: not file.unit_stated, level: note, say: no unit, because: b}
`
	r := check(t, load(t, rules), Options{}, model(t, "a.ascii.stl", shapes.Cube(10)), model(t, "b.stl", shapes.Cube(10)))
	assert.Equal(t, map[string][]string{"a.ascii.stl": {"1 12 stl <>", "no unit"}, "b.stl": {"1 12 stl <>", "no unit"}}, found(r))
}

// TestTheFolderOfAFile names packs by their path.
func TestTheFolderOfAFile(t *testing.T) {
	for rules, want := range map[string]string{
		"a.stl": "", "x/y/a.stl": "x/y", "x/k.zip!/a.stl": "x/k.zip", "k.zip!/in/a.stl": "k.zip!/in",
	} {
		f := collection.New("shown", rules, 0, nil)
		known := new(engine).known(&f, 7)
		assert.Equal(t, want, known.Folder, rules)
		assert.Equal(t, "a.stl", known.Name)
	}
}

// TestAFindingOverTheFileIsKnownAgain holds that it has one fingerprint, whether the model
// was opened or not.
func TestAFindingOverTheFileIsKnownAgain(t *testing.T) {
	shape := fileRules + "  few: {per: model, find: file.triangles > 100000, level: note, say: '{file.triangles}', because: b}\n"
	body := model(t, "Big Ball.stl", shapes.Move(shapes.Sphere(10, 16), mesh.Vec{X: 70, Z: 30}))
	closed, opened := check(t, load(t, fileRules), Options{}, body), check(t, load(t, shape), Options{}, body)
	stamp := func(r *finding.Report) map[string]int {
		for i := range r.Models {
			if r.Models[i].Path == "Big Ball.stl" {
				return stamps(&r.Models[i])
			}
		}
		return nil
	}
	require.NotEmpty(t, stamp(closed))
	assert.Equal(t, stamp(closed), stamp(opened))
}

// TestAStoredResultFollowsTheNote holds that a note which comes or goes is seen, though the
// model and the rules are the same.
func TestAStoredResultFollowsTheNote(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "clip.stl")
	cube := model(t, "clip.stl", shapes.Cube(10))
	content, err := cube.Open()
	require.NoError(t, err)
	data, err := io.ReadAll(io.NewSectionReader(content, 0, content.Size()))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(name, data, 0o666))
	opt := keeping(t, "p")
	config := load(t, fileRules)
	look := func() []string {
		files, err := collection.Find([]string{name}, collection.Options{Base: dir})
		require.NoError(t, err)
		for _, list := range found(check(t, config, opt, files...)) {
			return list
		}
		return nil
	}
	for range 2 {
		assert.Equal(t, []string{"no note", "no unit"}, look())
		note := filepath.Join(dir, "readme.txt")
		require.NoError(t, os.WriteFile(note, nil, 0o666))
		assert.Equal(t, []string{"no unit"}, look())
		require.NoError(t, os.Remove(note))
	}
}
