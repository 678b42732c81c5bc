package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/shapes"
)

// TestExampleWorksAsItStands copies the example whole beside a cube: it loads, finds nothing,
// and nothing in it speaks of files that are not there.
func TestExampleWorksAsItStands(t *testing.T) {
	example, err := os.ReadFile("../../.printlint.yml.example")
	require.NoError(t, err)
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, configName), example, 0o644))
	cube, err := os.Create(filepath.Join(folder, "cube.stl"))
	require.NoError(t, err)
	require.NoError(t, shapes.WriteBinarySTL(cube, shapes.Cube(20), "cube"))
	require.NoError(t, cube.Close())
	t.Chdir(folder)
	code, out, complaints := run(t, Env{}, "check")
	assert.Equal(t, 0, code, out+complaints)
	assert.Regexp(t, `\A1 model: 1 \w+\n`, out, "findings, or places and waivers without a model")
	code, _, complaints = run(t, Env{}, "rules")
	assert.Equal(t, 0, code)
	assert.Empty(t, complaints)
}
