package layers

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// signedBox is a box that adds turn to the winding of what lies in it.
type signedBox struct {
	lo, hi mesh.Vec
	turn   int
}

func (b *signedBox) holds(p mesh.Vec) bool {
	return p.X > b.lo.X && p.X < b.hi.X && p.Y > b.lo.Y && p.Y < b.hi.Y && p.Z > b.lo.Z && p.Z < b.hi.Z
}

// randomBoxes are boxes on a lattice of a quarter of a millimetre, so that faces touch,
// and some are inside out. The first stands on the bed and is large.
func randomBoxes(r *rand.Rand, n int) ([]signedBox, *mesh.Triangles) {
	list := []signedBox{{mesh.Vec{}, mesh.Vec{X: 6, Y: 5, Z: 2}, 1}}
	soup := shapes.Box(list[0].lo, list[0].hi)
	for range n {
		q := func(most int) float64 { return float64(r.IntN(most)) / 4 }
		b := signedBox{lo: mesh.Vec{X: q(24), Y: q(20), Z: q(20)}, turn: 1}
		b.hi = b.lo.Add(mesh.Vec{X: .25 + q(12), Y: .25 + q(12), Z: .25 + q(12)})
		box := shapes.Box(b.lo, b.hi)
		if r.IntN(3) == 0 {
			b.turn, box = -1, shapes.Flip(box)
		}
		list = append(list, b)
		soup = shapes.Join(soup, box)
	}
	return list, soup
}

// A cell is solid where the boxes that hold its middle do not cancel: counted box by
// box, without triangles. Faces that touch, lie in each other or turn against each
// other are the rule here.
func TestFillOfBoxesAgainstCounting(t *testing.T) {
	r := dice.New(t)
	filled, cancelled := 0, 0
	for range 20 {
		boxes, soup := randomBoxes(r, 1+r.IntN(9))
		_, s := sweepOf(t, soup, .21, .17, Options{Tilt: 45})
		require.Zero(t, s.open)
		for k, layer := range s.solid {
			for row := range s.grid.Rows {
				for col := range s.grid.Cols {
					x, y := s.grid.Center(col, row)
					w, any := 0, false
					for i := range boxes {
						if b := &boxes[i]; b.holds(mesh.Vec{X: x, Y: y, Z: s.grid.CutZ(k)}) {
							w, any = w+b.turn, true
						}
					}
					require.Equal(t, w != 0, layer[row][col], "layer %d, cell %d, %d", k, col, row)
					if w != 0 {
						filled++
					} else if any {
						cancelled++
					}
				}
			}
		}
	}
	assert.Greater(t, filled, 5000)
	assert.Greater(t, cancelled, 100, "hollows among them")
}

// body is a turned box or a ball that knows what lies in it, and how near its skin is.
type body struct {
	soup *mesh.Triangles
	// depth is how far a point lies in it, negative outside.
	depth func(p mesh.Vec) float64
}

func randomBody(r *rand.Rand) body {
	at := mesh.Vec{X: 8 * r.Float64(), Y: 8 * r.Float64(), Z: 3 + 5*r.Float64()}
	if r.IntN(2) == 0 {
		radius := .5 + 2*r.Float64()
		return body{shapes.Move(shapes.Icosphere(radius, 4), at), func(p mesh.Vec) float64 { return radius - p.Sub(at).Len() }}
	}
	half := mesh.Vec{X: .3 + 2*r.Float64(), Y: .3 + 2*r.Float64(), Z: .3 + 2*r.Float64()}
	about, deg := mesh.Vec{X: r.Float64() - .5, Y: r.Float64() - .5, Z: r.Float64()}.Unit(), 360*r.Float64()
	box := shapes.Move(shapes.Turn(shapes.Box(half.Scale(-1), half), about, deg), at)
	var axes [3]mesh.Vec
	for i, p := range shapes.Turn(&mesh.Triangles{Corners: []mesh.Point{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}, about, deg).Corners {
		axes[i] = mesh.Of64(p)
	}
	return body{box, func(p mesh.Vec) float64 {
		d := p.Sub(at)
		return min(half.X-math.Abs(d.Dot(axes[0])), half.Y-math.Abs(d.Dot(axes[1])), half.Z-math.Abs(d.Dot(axes[2])))
	}}
}

// Unions of balls and turned boxes against their formulas. Within the height of a
// facet from a skin the formula does not speak for the mesh.
func TestFillOfTurnedBodiesAgainstFormulas(t *testing.T) {
	const facet = .02
	r := dice.New(t)
	compared := 0
	for range 12 {
		var bodies []body
		soup := shapes.Box(mesh.Vec{}, mesh.Vec{X: 1, Y: 1, Z: 1}) // stands on the bed, keeps the others where they are
		bodies = append(bodies, body{soup, func(p mesh.Vec) float64 { return min(p.X, p.Y, p.Z, 1-p.X, 1-p.Y, 1-p.Z) }})
		for range 1 + r.IntN(6) {
			b := randomBody(r)
			if shapes.Bounds(b.soup).Min.Z < 0 {
				continue
			}
			bodies = append(bodies, b)
			soup = shapes.Join(soup, b.soup)
		}
		_, s := sweepOf(t, soup, .3, .2, Options{Tilt: 45})
		require.Zero(t, s.open)
		for k, layer := range s.solid {
			for row := range layer {
				for col := range s.grid.Cols {
					x, y := s.grid.Center(col, row)
					deep := math.Inf(-1)
					near := false
					for _, b := range bodies {
						d := b.depth(mesh.Vec{X: x, Y: y, Z: s.grid.CutZ(k)})
						deep, near = max(deep, d), near || math.Abs(d) < facet
					}
					if !near {
						compared++
						require.Equal(t, deep > 0, layer[row][col], "layer %d, cell %d, %d: %g deep", k, col, row, deep)
					}
				}
			}
		}
	}
	assert.Greater(t, compared, 10000)
}

// watch calls f at every layer.
type watch func(below, layer *Layer)

func (w watch) Visit(below, layer *Layer) { w(below, layer) }

// The top under a cell against a walk down its column, at every cell of every layer.
func TestTopsAgainstWalkingDown(t *testing.T) {
	r := dice.New(t)
	bed, model := 0, 0
	for range 12 {
		_, soup := randomBoxes(r, 2+r.IntN(8))
		m, _ := mesh.Weld(soup).Posed(mesh.Identity)
		g, err := NewGrid(m.Box(), .3, .4)
		require.NoError(t, err)
		tops := NewTops(&g)
		var stack []twin
		look := watch(func(_, layer *Layer) {
			now := newTwin(&g)
			for row := range now {
				for col := range g.Cols {
					now[row][col] = layer.Solid.Get(col, row)
				}
			}
			stack = append(stack, now)
			for row := range g.Rows {
				for col := range g.Cols {
					// From this layer down: over what is solid all the way, then over air.
					k := layer.K
					for k >= 0 && stack[k][row][col] {
						k--
					}
					for k >= 0 && !stack[k][row][col] {
						k--
					}
					require.Equal(t, k+1, tops.Under(col, row), "layer %d, cell %d, %d", layer.K, col, row)
					if k < 0 {
						bed++
					} else {
						model++
					}
				}
			}
		})
		require.NoError(t, Sweep(context.Background(), m, g, Options{Tilt: 45}, tops, look))
	}
	assert.Positive(t, bed)
	assert.Positive(t, model)
}
