package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestViewsStandSquare holds that every view is a rotation, right-handed and exact.
func TestViewsStandSquare(t *testing.T) {
	words := map[string]bool{}
	for side := range sides {
		for _, v := range []View{Above(side), Below(side)} {
			for _, a := range []mesh.Vec{v.Right, v.Up, v.Toward} {
				assert.InDelta(t, 1, a.Len(), 1e-15, v.Words)
			}
			assert.InDelta(t, 0, v.Right.Dot(v.Up), 1e-15)
			assert.InDelta(t, 0, v.Right.Dot(v.Toward), 1e-15)
			assert.InDelta(t, 0, v.Up.Cross(v.Toward).Sub(v.Right).Len(), 1e-15, "right-handed")
			assert.Zero(t, v.Right.Z, "the bed lies level")
			assert.Positive(t, v.Up.Z, "up stays up")
			assert.False(t, words[v.Words], v.Words)
			words[v.Words] = true
		}
		assert.Positive(t, Above(side).Toward.Z)
		assert.Negative(t, Below(side).Toward.Z)
	}
	assert.Len(t, words, 8)
}

// TestFitHoldsTheModel holds that all of the model and of the bed below it is inside the
// margin, and that one direction is used up.
func TestFitHoldsTheModel(t *testing.T) {
	for _, s := range []*mesh.Triangles{shapes.Hook(), shapes.Slab(1), shapes.Scale(shapes.T(), 0.01), shapes.Move(shapes.Cube(5), mesh.Vec{X: 500, Z: 30})} {
		m := mesh.Weld(s)
		for _, v := range []View{Above(1), Below(3)} {
			f := fit(v, m, 300, 200, 20)
			left, right, top, bottom := 1e9, -1e9, 1e9, -1e9
			see := func(p mesh.Vec) {
				x, y := f.sample(p)
				left, right, top, bottom = min(left, x), max(right, x), min(top, y), max(bottom, y)
			}
			for _, p := range m.Verts {
				see(mesh.Of64(p))
				see(mesh.Vec{X: float64(p[0]), Y: float64(p[1])})
			}
			assert.GreaterOrEqual(t, left, 20-1e-6)
			assert.LessOrEqual(t, right, 280+1e-6)
			assert.GreaterOrEqual(t, top, 20-1e-6)
			assert.LessOrEqual(t, bottom, 180+1e-6)
			assert.True(t, right-left > 259 || bottom-top > 159, "%v x %v", right-left, bottom-top)
		}
	}
}

// TestThereAndBack holds that a sample and a point lead to each other.
func TestThereAndBack(t *testing.T) {
	m := mesh.Weld(shapes.Hook())
	for _, v := range []View{Above(0), Above(3), Below(2)} {
		f := fit(v, m, 300, 200, 20)
		for _, p := range m.Verts {
			own := mesh.Of64(p)
			x, y := f.sample(own)
			assert.InDelta(t, 0, f.at(x, y, v.Toward.Dot(own)).Sub(own).Len(), 1e-9)
			bed := f.onBed(x, y)
			assert.InDelta(t, 0, bed.Z, 1e-9)
			u, w := f.sample(bed)
			assert.InDelta(t, x, u, 1e-9)
			assert.InDelta(t, y, w, 1e-9)
		}
	}
}

// TestTheBedIsRuledInRoundSquares holds the squares to 1, 2 or 5 times a power of ten.
func TestTheBedIsRuledInRoundSquares(t *testing.T) {
	for side, want := range map[float64]float64{1: 1, 20: 2, 60: 5, 200: 20, 2000: 200} {
		m := mesh.Weld(shapes.Cube(side))
		f := fit(Above(0), m, 1280, 960, 28)
		g := groundUnder(m, &f)
		assert.Equal(t, want, g.square, "a cube of %v mm", side)
		assert.LessOrEqual(t, g.low.X, 0.0)
		assert.GreaterOrEqual(t, g.high.X, side)
		x, y := f.sample(mesh.Vec{X: g.low.X, Y: g.square / 2})
		assert.True(t, g.covers(&f, x, y), "the rim is drawn")
		x, y = f.sample(mesh.Vec{X: g.low.X - g.square, Y: 0})
		assert.False(t, g.covers(&f, x, y), "nothing beyond it")
		x, y = f.sample(mesh.Vec{X: g.square / 2, Y: g.square / 2})
		assert.False(t, g.covers(&f, x, y), "nothing in the middle of a square")
	}
}
