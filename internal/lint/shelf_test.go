package lint

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// hangRules is a configuration with one rule, over what hangs.
const hangRules = `
version: 1
use: []
process: {material: test, nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bed: [220 mm, 220 mm, 250 mm],
  bridge: 10 mm, density: 1.2 g/cm3, flow: 8 mm3/s}
rules:
  hangs:
    measure: overhang
    limits: {angle: 45 deg, reach: 2 mm}
    find: angle > limits.angle and reach > limits.reach
    level: error
    say: hangs {reach}
    do: turn it over
    because: it falls
  floats:
    measure: island
    limits: {area: 1 mm2}
    find: area > limits.area
    level: error
    say: begins in the air, {drop} up
    because: it falls
`

// load reads a configuration from text.
func load(t testing.TB, text string) *ruleset.Config {
	t.Helper()
	config, err := ruleset.Load("rules.yml", ruleset.Options{
		Catalog: measure.Catalog(),
		Today:   "2026-01-15",
		Open: func(name string) ([]byte, error) {
			if name != "rules.yml" {
				return nil, fs.ErrNotExist
			}
			return []byte(text), nil
		},
	})
	require.NoError(t, err)
	return config
}

// inMemory is the content of a file that never was on a disk.
type inMemory struct{ *bytes.Reader }

// Close does nothing.
func (inMemory) Close() error { return nil }

// fileOf makes a file of a path and its bytes.
func fileOf(path string, data []byte) collection.File {
	return collection.New(path, path, int64(len(data)), func() (collection.Content, error) {
		return inMemory{bytes.NewReader(data)}, nil
	})
}

// model makes a file of a solid, in the format of the path's extension: .stl is
// binary, .ascii.stl text, .obj text.
func model(t testing.TB, path string, s *mesh.Triangles) collection.File {
	t.Helper()
	write := shapes.WriteBinarySTL
	switch {
	case strings.HasSuffix(path, ".ascii.stl"):
		write = shapes.WriteASCIISTL
	case strings.HasSuffix(path, ".obj"):
		write = shapes.WriteOBJ
	}
	var b bytes.Buffer
	require.NoError(t, write(io.Writer(&b), s, "test"))
	return fileOf(path, b.Bytes())
}

// check runs the engine over files.
func check(t testing.TB, config *ruleset.Config, opt Options, files ...collection.File) *finding.Report {
	t.Helper()
	r, err := Run(context.Background(), "test", files, config, opt)
	require.NoError(t, err)
	return r
}

// stamps lists the fingerprints of a model, sorted.
func stamps(m *finding.Model) map[string]int {
	list := map[string]int{}
	for _, f := range m.Findings {
		list[f.Rule+" "+f.Fingerprint]++
	}
	return list
}
