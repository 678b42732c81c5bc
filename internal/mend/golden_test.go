package mend

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

var update = flag.Bool("update", false, "write the golden file anew")

// What is done to a table of shapes, each spoilt in several ways, beside the volume
// that each had when it was whole.
func TestAccountsOfSpoiltShapes(t *testing.T) {
	var b strings.Builder
	for _, s := range []struct {
		name      string
		triangles *mesh.Triangles
	}{
		{"cube", fine(shapes.Cube(20), 2)}, {"table", fine(shapes.Table(), 1)}, {"torus", shapes.Torus(10, 3, 24, 16)},
		{"bolt", shapes.Bolt(24)}, {"hollow box", fine(shapes.HollowBox(20, 3), 2)}, {"thread", shapes.ThreadedRod(8, 1, 3, 24)},
		{"figure", shapes.Figure()}, {"cubes at an edge", fine(shapes.CubesAtEdge(), 2)}, {"drilled", fine(shapes.Drilled(8, 24), 1)},
	} {
		fmt.Fprintf(&b, "%s, %.3f mm3\n", s.name, mesh.Weld(s.triangles).Volume())
		n := s.triangles.Count() / 10
		for _, d := range []struct {
			name      string
			triangles *mesh.Triangles
		}{
			{"whole", s.triangles},
			{"inside out", shapes.Flip(s.triangles)},
			{"missing", shapes.DropTriangles(s.triangles, n, 1)},
			{"turned", shapes.FlipTriangles(s.triangles, n, 2)},
			{"twice", shapes.DuplicateTriangles(s.triangles, n, 3)},
			{"without area", shapes.CollapseTriangles(s.triangles, n, 4)},
			{"torn", shapes.Jitter(s.triangles, .001, 5)},
			{"inner faces", shapes.InnerFaces(s.triangles, 5, 6)},
			{"slits", shapes.Shatter(s.triangles, 7, .05, 7)},
		} {
			_, out := mended(t, d.triangles)
			fmt.Fprintf(&b, "  %s: %.3f mm3%s\n", d.name, out.Mesh.Volume(), told(&out.Account))
		}
	}
	const path = "testdata/accounts.txt"
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
	}
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(kept), b.String())
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	assert.Equal(t, []string{path}, files, "no file that nothing reads")
}

// told names what was done, and leaves out what was not.
func told(a *Account) string {
	var b strings.Builder
	for _, c := range []struct {
		name string
		n    int
	}{
		{"copies", a.Copies}, {"pairs", a.Pairs}, {"turned", a.Turned}, {"stitched", a.Stitched},
		{"membranes", a.Membranes}, {"twisted", a.Twisted}, {"holes", a.Holes},
	} {
		if c.n > 0 {
			fmt.Fprintf(&b, ", %s %d", c.name, c.n)
		}
	}
	for _, c := range []struct {
		name string
		x    float64
	}{{"filled", a.Filled}, {"capped", a.Capped}, {"guessed", a.Guessed}, {"depth", a.Depth}, {"loose", a.Loose}} {
		if c.x > 5e-4 {
			fmt.Fprintf(&b, ", %s %.3f", c.name, c.x)
		}
	}
	return b.String()
}
