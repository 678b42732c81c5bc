package measure

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// printOf takes the measure with a plastic whose figures are known.
func printOf(t *testing.T, s *mesh.Triangles) PrintModel {
	t.Helper()
	p := process
	p.Density, p.Flow, p.Price = 1.25, 5, 20
	results, err := NewBody(mesh.Weld(s)).Measure(context.Background(), AsIs, p, Options{}, []Request{Print.Request(PrintParams{})})
	require.NoError(t, err)
	require.Empty(t, results[0].Undecided)
	assert.Empty(t, results[0].Sites)
	return Print.Model(&results[0])
}

// TestPrintOfExactSolids holds the estimate to solids whose volume and area are known. The
// area follows from the plastic in walls of two lines and a fifth of the rest.
func TestPrintOfExactSolids(t *testing.T) {
	box := func(x, y, z, a, b, c float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x, Y: y, Z: z}, mesh.Vec{X: a, Y: b, Z: c})
	}
	for _, c := range []struct {
		name            string
		solid           *mesh.Triangles
		volume, surface float64
		layers          int
		flatRun         float64
	}{
		{"cube", shapes.Cube(20), 8000, 2400, 100, math.Hypot(20, 20)},
		{"plate", box(0, 0, 0, 100, 30, 2), 6000, 6520, 10, math.Hypot(100, 30)},
		{"bodies that overlap", shapes.Join(box(0, 0, 0, 30, 20, 20), box(10, 0, 0, 40, 20, 20)), 16000, 4000, 100, math.Hypot(40, 20)},
		{"two pieces", shapes.Join(shapes.Cube(20), shapes.Move(shapes.Cube(20), mesh.Vec{X: 60})), 16000, 4800, 100, math.Hypot(20, 20)},
		{"T", shapes.T(), 10*10*30 + 50*10*10, 2*600 + 2*800 + 400 + 600 - 200 - 300, 200, math.Hypot(10, 10)},
		{"ball", shapes.Ball(15, 180), 4. / 3 * math.Pi * 15 * 15 * 15, 4 * math.Pi * 15 * 15, 150, 2 * math.Sqrt(2*15*0.1)},
	} {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				p := printOf(t, v.change(c.solid))
				assert.InEpsilon(t, c.volume, p.Volume, 0.01)
				walls := (p.Plastic - 0.2*p.Volume) / 0.8
				assert.InEpsilon(t, c.surface, walls/0.8, 0.06, "walls of 2 x 0.4 mm around it")
				assert.InEpsilon(t, p.Plastic*1.25/1000, p.Grams, 1e-9)
				assert.InEpsilon(t, p.Plastic/5/60, p.Minutes, 1e-9)
				assert.InEpsilon(t, p.Grams*20/1000, p.Cost, 1e-9)
				assert.InDelta(t, c.layers, p.Layers, 1)
				assert.InDelta(t, c.flatRun, p.FlatRun, 4*cell)
			})
		}
	}
}

// TestThinBodiesAreAllWall holds that no more plastic is counted than there is room for.
func TestThinBodiesAreAllWall(t *testing.T) {
	p := printOf(t, shapes.Fin(0.6))
	assert.InEpsilon(t, p.Volume, p.Plastic, 0.2)
	assert.LessOrEqual(t, p.Plastic, p.Volume)
	thin := printOf(t, shapes.Slab(0.6))
	assert.Equal(t, thin.Volume, thin.Plastic)
}

// TestOutlinesCellByCell holds rows that are counted by their runs to the cells themselves.
func TestOutlinesCellByCell(t *testing.T) {
	const seed, side = 11, 14
	r := rand.New(rand.NewPCG(seed, seed))
	for round := range 300 {
		var planes [2][side][side]bool
		var runs [2][]layers.Run
		for k := range planes {
			share := r.Float64()
			for y := range side {
				for x := range side {
					planes[k][y][x] = r.Float64() < share && x > 0 && y > 0 && x < side-1 && y < side-1
				}
			}
			runs[k] = runsOf(&planes[k])
		}
		p := &planes[0]
		length, open := 0.0, 0
		for y := range side - 1 {
			for x := range side - 1 {
				a, b, c, d := p[y][x], p[y][x+1], p[y+1][x], p[y+1][x+1]
				n := truth(a) + truth(b) + truth(c) + truth(d)
				switch {
				case n == 1 || n == 3:
					length += math.Sqrt2 / 2
				case n == 2 && a == d:
					length += math.Sqrt2
				case n == 2:
					length++
				}
			}
		}
		for y := range side {
			for x := range side {
				if p[y][x] != planes[1][y][x] {
					open++
				}
			}
		}
		require.InDelta(t, length, outlineLength(runs[0]), 1e-6, "seed %d, round %d", seed, round)
		require.Equal(t, open, openCells(runs[0], runs[1]), "seed %d, round %d", seed, round)
	}
}

func runsOf(plane *[14][14]bool) (runs []layers.Run) {
	for y, row := range plane {
		for x, solid := range row {
			n := len(runs)
			switch {
			case !solid:
			case x > 0 && row[x-1]:
				runs[n-1].To++
			default:
				runs = append(runs, layers.Run{Row: int32(y), From: int32(x), To: int32(x + 1)})
			}
		}
	}
	return runs
}
