package layers

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

var update = flag.Bool("update", false, "write the golden files anew")

// pictures are solids whose layers are kept as pictures: small enough that a person
// can see that they are right.
var pictures = []struct {
	name string
	soup *mesh.Triangles
	tilt float64
	at   []int // layers drawn
}{
	{"t", shapes.Scale(shapes.TOverlapping(), .4), 45, []int{0, 11, 12, 13}},
	{"portal turned by 37", shapes.Turn(shapes.Scale(shapes.Portal(30), .4), shapes.Z, 37), 45, []int{0, 8}},
	{"ball", shapes.Ball(6, 32), 45, []int{0, 1, 5, 11}},
	{"tube", shapes.Tube(8, 5, 3, 48), 45, []int{1}},
	{"torus on edge", shapes.OnBed(shapes.Turn(shapes.Torus(7, 2, 32, 16), shapes.X, 90)), 45, []int{0, 4, 9}},
	{"hollow box", shapes.HollowBox(12, 3), 45, []int{1, 3, 9}},
	{"leaning arm", shapes.Scale(shapes.LeaningArm(60, 10), .5), 50, []int{0, 11, 13}},
	{"two bodies, one inside out", shapes.Join(shapes.Cube(6), shapes.Flip(shapes.Move(shapes.Cube(6), mesh.Vec{X: 3, Y: 3}))), 45, []int{2}},
	{"cubes that share an edge", shapes.Scale(shapes.CubesAtEdge(), .5), 45, []int{4, 5}},
}

// The picture of a layer: '#' is solid over solid, '+' solid over air, 'v' solid over
// air with a steep underside there, and '.' is air.
func TestLayersAsPictures(t *testing.T) {
	const dir = "testdata"
	want := map[string]bool{}
	for _, p := range pictures {
		name := strings.NewReplacer(" ", "-", ",", "").Replace(p.name) + ".txt"
		want[name] = true
		_, s := sweepOf(t, p.soup, 1, .75, Options{Tilt: p.tilt})
		got := describe(s, p.at)
		path := filepath.Join(dir, name)
		if *update {
			require.NoError(t, os.MkdirAll(dir, 0o755))
			require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		}
		kept, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(kept), got, p.name)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.txt"))
	require.NoError(t, err)
	require.Len(t, files, len(pictures))
	for _, f := range files {
		assert.True(t, want[filepath.Base(f)], "%s belongs to no picture", f)
	}
}

// describe counts what is in each layer and draws some of them.
func describe(s *seen, at []int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d columns, %d rows, %d layers, %d open rows\n", s.grid.Cols, s.grid.Rows, s.grid.Layers, s.open)
	for k := range s.solid {
		solid, fresh, steep := 0, 0, 0
		for _, row := range picture(s, k) {
			solid += strings.Count(row, "#") + strings.Count(row, "+") + strings.Count(row, "v")
			fresh += strings.Count(row, "+") + strings.Count(row, "v")
			steep += strings.Count(row, "v")
		}
		fmt.Fprintf(&b, "layer %d: %d cells, %d over air, %d of them steep\n", k, solid, fresh, steep)
	}
	for _, k := range at {
		fmt.Fprintf(&b, "\nlayer %d\n", k)
		for _, row := range picture(s, k) {
			fmt.Fprintln(&b, row)
		}
	}
	return b.String()
}

// picture draws a layer, the far rows first as on paper.
func picture(s *seen, k int) []string {
	steep := newTwin(s.grid)
	for _, x := range s.spans[k] {
		for c := x.From; c < x.To; c++ {
			steep[x.Row][c] = true
		}
	}
	var rows []string
	for row := s.grid.Rows - 1; row >= 0; row-- {
		line := make([]byte, s.grid.Cols)
		for col := range line {
			switch {
			case !s.solid[k][row][col]:
				line[col] = '.'
			case k == 0 || s.solid[k-1][row][col]:
				line[col] = '#'
			case steep[row][col]:
				line[col] = 'v'
			default:
				line[col] = '+'
			}
		}
		rows = append(rows, string(line))
	}
	return rows
}
