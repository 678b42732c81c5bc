package meshfile

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hschendel/stl"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// TestTheLibrarysOwnFiles reads the test files of github.com/hschendel/stl, which the
// module cache always holds beside the code, and compares with what the library reads.
func TestTheLibrarysOwnFiles(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/hschendel/stl").Output()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(dir)), "testdata", "*.stl"))
	require.NoError(t, err)
	require.Len(t, files, 5, "the library's test files are not where they should be")
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			f, err := Open(name)
			require.NoError(t, err)
			defer f.Close()
			parts, err := Read(name, f, Options{})
			require.NoError(t, err)
			require.Len(t, parts, 1)
			solid, err := stl.ReadFile(name)
			require.NoError(t, err)
			var want []mesh.Point
			for _, tri := range solid.Triangles {
				for _, v := range tri.Vertices {
					want = append(want, mesh.Point(v))
				}
			}
			assert.Equal(t, want, parts[0].Triangles.Corners)
			assert.Empty(t, parts[0].Notes)
			assert.Equal(t, solid.IsAscii, parts[0].Kind == "stl-ascii")
			checkLines(t, name, parts[0].Triangles)
		})
	}
}

// checkLines looks up every line that a text file's triangles claim to be from.
func checkLines(t *testing.T, name string, triangles *mesh.Triangles) {
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	for _, n := range triangles.Source.Lines {
		require.Contains(t, lines[n-1], "facet normal")
	}
}
