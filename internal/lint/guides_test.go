package lint

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// guideRow is a line of the table that shows how what guides ask is said.
var guideRow = regexp.MustCompile("(?m)^\\| (.+) \\| (model|folder) \\| `(.+)` \\|$")

// guide is a folder that keeps to what a guide asks and one that does not; then, if not nil,
// goes on in either.
type guide struct {
	keeps, breaks map[string][]byte
	then          func(*testing.T)
}

// drilled is a plate with an upright round hole.
func drilled(r float64) *mesh.Triangles {
	return shapes.Prism(shapes.Rect(-10, -10, 10, 10), 0, 5, shapes.Ring(0, 0, r, 48))
}

// engraved is a plate with a bar sunk into its top.
func engraved(deep float64) *mesh.Triangles {
	return shapes.Blocks([]float64{-10, 0, 1, 10}, []float64{-10, -5, 5, 10}, []float64{0, 4 - deep, 4},
		func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 })
}

// guides are folders for each line of the table.
func guides(t *testing.T) map[string]guide {
	cube, tee := stl(t, shapes.Cube(20)), stl(t, shapes.T())
	a := func(data []byte, beside ...string) map[string][]byte { return only("a/a.stl", data, beside...) }
	flipped := shapes.Cube(20)
	c := &flipped.Corners[0]
	c[0], c[1] = c[1], c[0]
	return map[string]guide{
		"the mesh is not corrupt":               {a(cube), a(stl(t, flipped)), nil},
		"names have no spaces or capitals":      {a(cube), only("a/My part.stl", cube), nil},
		"names say how many to print, as `_x4`": {only("a/foot_x4.stl", cube), a(cube), nil},
		"each folder has a note":                {a(cube, "a/readme.txt"), a(cube, "README.md"), nil},
		"each folder has a licence":             {a(cube, "a/COPYING"), a(cube, "LICENSE"), nil},
		"each folder has the source":            {a(cube, "a/a.STEP"), a(cube, "a.step"), nil},
		"no source is newer than its model": {a(cube, "a/b.step"), a(cube, "a/a.step"), func(t *testing.T) {
			git(t, "init", "-q", "-b", "main")
			git(t, "add", "-A")
			git(t, "commit", "-q", "-m", "start")
			for _, name := range []string{"a/a.step", "a/b.step"} {
				if _, err := os.Stat(name); err == nil {
					require.NoError(t, os.WriteFile(name, []byte("newer"), 0o666))
				}
			}
			git(t, "commit", "-q", "-a", "-m", "source")
		}},
		"images lie elsewhere":                 {a(cube, "photo.jpg"), a(cube, "a/photo.JPG"), nil},
		"a folder keeps one format":            {a(cube, "b/a.3mf"), a(cube, "a/a.3mf"), nil},
		"no file lies there twice":             {map[string][]byte{"a/a.stl": cube, "b/b.stl": tee}, map[string][]byte{"a/a.stl": cube, "b/b.stl": cube}, nil},
		"no two names differ only in capitals": {a(cube, "a/Note"), a(cube, "a/Note", "a/note"), nil},
		"left and right are mirrors":           {map[string][]byte{"a_left.stl": cube, "a_right.stl": cube}, map[string][]byte{"a_left.stl": cube, "a_right.stl": tee}, nil},
		"it fits 256 x 256 x 256 mm":           {a(stl(t, box(256, 20, 20))), a(stl(t, box(20, 257, 20))), nil},
		"the file is under 500 kB":             {a(cube), a(stl(t, shapes.Ball(10, 140))), nil},
		"the file states its unit":             {only("a/a.amf", amf("inch", 1)), a(cube), nil},
		"it prints in under 2 h":               {a(cube), a(stl(t, shapes.Cube(80))), nil},
		"under 6 h and 100 g with support":     {a(tee), a(stl(t, shapes.Cube(80))), nil},
		"it needs no support":                  {a(cube), a(tee), nil},
		"it sits on z = 0":                     {a(cube), a(stl(t, shapes.Move(shapes.Cube(20), shapes.Vec{Z: 0.5}))), nil},
		"it lies at the origin":                {a(stl(t, shapes.Move(shapes.Cube(20), shapes.Vec{X: -10, Y: -10}))), a(stl(t, shapes.Move(shapes.Cube(20), shapes.Vec{X: 50}))), nil},
		"a file has exactly one body":          {a(cube), a(stl(t, row(2))), nil},
		"a model has at most five pieces":      {a(stl(t, row(5))), a(stl(t, row(6))), nil},
		"holes are at least 3 mm wide":         {a(stl(t, drilled(1.6))), a(stl(t, drilled(1.4))), nil},
		"letters are at least 0.6 mm deep":     {a(stl(t, engraved(0.7))), a(stl(t, engraved(0.5))), nil},
	}
}

// TestGuidesOfThePage holds each line of the table of what guides ask against a folder that
// keeps to it and one that does not.
func TestGuidesOfThePage(t *testing.T) {
	page, err := os.ReadFile("../../docs/own-rules.md")
	require.NoError(t, err)
	_, table, found := strings.Cut(string(page), "<!-- guides -->")
	require.True(t, found)
	rows, cases := guideRow.FindAllStringSubmatch(table, -1), guides(t)
	require.Len(t, rows, 24)
	require.Len(t, cases, 24)
	for _, row := range rows {
		g, known := cases[row[1]]
		require.True(t, known, row[1])
		for _, broken := range []bool{false, true} {
			files := g.keeps
			if broken {
				files = g.breaks
			}
			models := lie(t, files)
			if g.then != nil {
				g.then(t)
			}
			base := fileProcess
			if strings.Contains(row[3], "support.") {
				base = "version: 1\nuse: [standard]\n"
			}
			r := check(t, loadAll(t, base+mine(row[2], row[3], "")), Options{Whole: true}, models...)
			holds := false
			for _, m := range r.Models {
				for _, f := range m.Findings {
					holds = holds || f.Rule == "policy"
				}
				assert.False(t, m.Unjudged(), "%s: %s", row[1], m.Reason)
			}
			assert.Equal(t, broken, holds, "%s: breaks %v", row[1], broken)
		}
	}
}
