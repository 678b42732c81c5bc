package measure

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// lettered is a plate 30 by 30 by 4 with a letter on its top, given as rows of cells as wide as
// its stroke; above 0 it is raised, below it is sunk.
func lettered(stroke, step float64, rows ...string) *mesh.Triangles {
	xs, ys := []float64{0}, []float64{0}
	for i := range len(rows[0]) + 1 {
		xs = append(xs, 8+stroke*float64(i))
	}
	for i := range len(rows) + 1 {
		ys = append(ys, 8+stroke*float64(i))
	}
	xs, ys = append(xs, 30), append(ys, 30)
	zs := []float64{0, min(4, 4+step), max(4, 4+step)}
	return shapes.Blocks(xs, ys, zs, func(i, j, k int) bool {
		inked := i > 0 && j > 0 && i <= len(rows[0]) && j <= len(rows) && rows[len(rows)-j][i-1] == '#'
		return k == 0 || inked == (step > 0)
	})
}

// letters in cells as wide as their stroke.
var letters = map[string][]string{
	"I":   {"#", "#", "#", "#", "#"},
	"L":   {"#..", "#..", "#..", "#..", "###"},
	"T":   {"#####", "..#..", "..#..", "..#.."},
	"E":   {"####", "#...", "###.", "#...", "####"},
	"H":   {"#..#", "#..#", "####", "#..#", "#..#"},
	"O":   {"####", "#..#", "#..#", "#..#", "####"},
	"B":   {"###", "#.#", "###", "#.#", "###"},
	"dot": {"#"},
}

func TestLettersOfExactShapes(t *testing.T) {
	for name, rows := range letters {
		cells := strings.Count(strings.Join(rows, ""), "#")
		for _, want := range []DetailSite{{Depth: 0.3, Stroke: 0.4}, {Depth: 0.6, Stroke: 0.4}, {Depth: 0.3, Stroke: 1},
			{Depth: 0.6, Stroke: 1, Raised: true}, {Depth: 1.9, Stroke: 0.6, Raised: true}} {
			step := -want.Depth
			if want.Raised {
				step = want.Depth
			}
			soup := lettered(want.Stroke, step, rows...)
			want.Area, want.Lean = float64(cells)*want.Stroke*want.Stroke, 90
			for _, v := range variants {
				sameDetail(t, name+" "+v.name, take(t, v.change(soup), "detail"), want)
			}
			want.Lean = 0
			sameDetail(t, name+" upright", take(t, shapes.Turn(soup, shapes.X, 90), "detail"), want)
			want.Lean = 60
			sameDetail(t, name+" turned", take(t, shapes.Turn(soup, shapes.Y, 30), "detail"), want)
			want.Lean = 90
			sameDetail(t, name+" below", take(t, shapes.Turn(soup, shapes.X, 180), "detail"), want)
			sameDetail(t, name+" inside out", take(t, shapes.Flip(soup), "detail"), want)
		}
	}
}

// sameDetail holds the one detail of a result against what it must be.
func sameDetail(t *testing.T, name string, r Result, want DetailSite) {
	t.Helper()
	require.Len(t, r.Sites, 1, "%s %+v: %v", name, want, r.Sites)
	got := Detail.Site(&r.Sites[0])
	assert.InDelta(t, want.Depth, got.Depth, 1e-4, name)
	assert.InDelta(t, want.Stroke, got.Stroke, 1e-4, name)
	assert.InDelta(t, want.Area, got.Area, 1e-3, name)
	assert.InDelta(t, want.Lean, got.Lean, 0.01, name)
	assert.Equal(t, want.Raised, got.Raised, name)
	model := Detail.Model(&r)
	assert.Equal(t, DetailModel{1, got.Depth, got.Stroke}, model, name)
}

func TestDetailsOfExactShapes(t *testing.T) {
	plate := shapes.Box(mesh.Vec{}, mesh.Vec{X: 30, Y: 30, Z: 4})
	on := func(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x0, Y: y0, Z: z0}, mesh.Vec{X: x1, Y: y1, Z: z1})
	}
	grid := func(xs, ys, zs []float64, filled func(i, j, k int) bool) *mesh.Triangles {
		return shapes.Blocks(xs, ys, zs, filled)
	}
	around := func(p ...[2]float64) *mesh.Triangles { return shapes.Revolve(p, 60) }
	for name, c := range map[string]struct {
		soup *mesh.Triangles
		want []DetailSite
	}{
		"plate":                   {plate, nil},
		"cube":                    {shapes.Cube(2), nil},
		"rib of its own body":     {shapes.Join(plate, on(5, 5, 2, 6, 25, 4.5)), []DetailSite{{0.5, 1, 20, 90, true}}},
		"rib standing on it":      {shapes.Join(plate, on(5, 5, 4, 6, 25, 4.5)), []DetailSite{{0.5, 1, 20, 90, true}}},
		"rib across":              {grid([]float64{0, 10, 11, 30}, []float64{0, 30}, []float64{0, 4, 4.5}, func(i, _, k int) bool { return k == 0 || i == 1 }), []DetailSite{{0.5, 1, 30, 90, true}}},
		"groove across":           {grid([]float64{0, 10, 11, 30}, []float64{0, 30}, []float64{0, 3.5, 4}, func(i, _, k int) bool { return k == 0 || i != 1 }), []DetailSite{{0.5, 1, 30, 90, false}}},
		"step across":             {grid([]float64{0, 2, 30}, []float64{0, 30}, []float64{0, 4, 4.5}, func(i, _, k int) bool { return k == 0 || i == 0 }), nil},
		"rim":                     {grid([]float64{0, 1, 29, 30}, []float64{0, 1, 29, 30}, []float64{0, 4, 5}, func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 }), nil},
		"pad 8 wide":              {lettered(8, 0.5, "#"), nil},
		"pocket 8 wide":           {lettered(8, -0.5, "#"), nil},
		"step of 0.03":            {lettered(1, -0.03, "###"), nil},
		"fin 3 tall":              {lettered(1, 3, "####"), nil},
		"slot 3 deep":             {lettered(1, -3, "####"), nil},
		"dot below 0.1 mm2":       {lettered(0.3, -0.5, "#"), nil},
		"counterbore":             {around([2]float64{1.7, 0}, [2]float64{10, 0}, [2]float64{10, 6}, [2]float64{3.5, 6}, [2]float64{3.5, 4}, [2]float64{1.7, 4}), nil},
		"counterbore, small hole": {around([2]float64{0.6, 0}, [2]float64{10, 0}, [2]float64{10, 6}, [2]float64{2, 6}, [2]float64{2, 5}, [2]float64{0.6, 5}), nil},
		"pit of 1.6": {around([2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 6}, [2]float64{0.8, 6}, [2]float64{0.8, 5.5}, [2]float64{0, 5.5}),
			[]DetailSite{{0.5, 2 * 0.8 * math.Cos(math.Pi/60), 30 * 0.64 * math.Sin(math.Pi/30), 90, false}}},
		"ring": {around([2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 6}, [2]float64{6, 6}, [2]float64{6, 6.7}, [2]float64{5, 6.7}, [2]float64{5, 6}, [2]float64{0, 6}),
			[]DetailSite{{0.7, math.Cos(math.Pi / 60), 30 * 11 * math.Sin(math.Pi/30), 90, true}}},
		"stairs": {grid([]float64{0, 1, 2, 3, 4}, []float64{0, 20}, []float64{0, 1, 2, 3, 4}, func(i, _, k int) bool { return k <= i }), nil},
		"ball":   {shapes.Ball(10, 60), nil},
		"two letters": {shapes.Join(lettered(0.5, -0.3, letters["L"]...), shapes.Move(lettered(0.7, 0.4, letters["O"]...), mesh.Vec{X: 40})),
			[]DetailSite{{0.3, 0.5, 7 * 0.25, 90, false}, {0.4, 0.7, 14 * 0.49, 90, true}}},
	} {
		t.Run(name, func(t *testing.T) {
			r := take(t, c.soup, "detail")
			require.Len(t, r.Sites, len(c.want))
			for _, want := range c.want {
				found := false
				for i := range r.Sites {
					got := Detail.Site(&r.Sites[i])
					found = found || math.Abs(got.Depth-want.Depth) < 1e-4 && math.Abs(got.Stroke-want.Stroke) < 1e-3 &&
						math.Abs(got.Area-want.Area) < 1e-3 && got.Raised == want.Raised && math.Abs(got.Lean-want.Lean) < 0.01
				}
				assert.True(t, found, "%+v is not in %v", want, r.Sites)
			}
			if len(c.want) == 0 {
				long := mesh.Weld(c.soup).Box().Size().Len()
				assert.Equal(t, DetailModel{0, long, long}, Detail.Model(&r), "no limit finds it")
			}
		})
	}
}

// A deeper or wider letter is never found as less deep or narrower.
func TestDetailGrowsWithTheLetter(t *testing.T) {
	depth, width := 0.0, 0.0
	for d := 0.1; d < 1.9; d += 0.1 {
		r := take(t, lettered(0.8, -d, letters["E"]...), "detail")
		require.Len(t, r.Sites, 1)
		assert.Greater(t, Detail.Model(&r).Depth, depth)
		depth = Detail.Model(&r).Depth
		r = take(t, lettered(d, 0.5, letters["E"]...), "detail")
		if require.LessOrEqual(t, len(r.Sites), 1); len(r.Sites) == 1 {
			assert.Greater(t, Detail.Model(&r).Stroke, width)
			width = Detail.Model(&r).Stroke
		}
	}
	assert.Greater(t, width, 1.5)
}

// The triangles of a detail are those of its top or floor.
func TestDetailSaysWhereItIs(t *testing.T) {
	soup := lettered(1, -0.5, letters["O"]...)
	r := take(t, soup, "detail")
	require.Len(t, r.Sites, 1)
	m := mesh.Weld(soup)
	assert.Len(t, r.Sites[0].Tris, 28)
	for _, tri := range r.Sites[0].Tris {
		a, b, c := m.Corners(int(tri))
		assert.InDelta(t, 3.5*3, a.Z+b.Z+c.Z, 1e-5)
	}
	assert.InDelta(t, 0, r.Sites[0].At.Sub(mesh.Vec{X: 10, Y: 10.5, Z: 3.5}).Len(), 1e-5)
}
