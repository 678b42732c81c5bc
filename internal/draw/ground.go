package draw

import (
	"math"

	"printlint/internal/mesh"
)

// ground is the part of the bed under a model, ruled like squared paper.
type ground struct {
	low, high mesh.Vec // whole squares around the model
	square    float64  // mm
	half      [2]float64
	line      bool // it is seen from its edge
}

// groundUnder rules the bed under a model so that squares stay wide enough to be told
// apart: 1, 2, 5, 10 ... mm.
func groundUnder(m *mesh.Mesh, f *projection) ground {
	const apart = 16 * grain // samples
	square := roundLength(apart / f.scale)
	box := m.Box()
	down := func(x float64) float64 { return float64(math.Floor(x/square-0.25) * square) }
	up := func(x float64) float64 { return float64(math.Ceil(x/square+0.25) * square) }
	g := ground{square: square}
	g.low = mesh.Vec{X: down(box.Min.X), Y: down(box.Min.Y)}
	g.high = mesh.Vec{X: up(box.Max.X), Y: up(box.Max.Y)}
	if f.view.Toward.Z == 0 {
		g.line = true
		return g
	}
	// A line is one pixel wide in the picture: half of that in mm across it, from how
	// far the bed moves under one sample.
	o := f.onBed(0, 0)
	a, b := f.onBed(1, 0).Sub(o), f.onBed(0, 1).Sub(o)
	g.half = [2]float64{length(a.X, b.X) * grain / 2, length(a.Y, b.Y) * grain / 2}
	return g
}

func length(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// roundLength is the least of 1, 2, 5, 10, 20 ... that is not below a length.
func roundLength(least float64) float64 {
	for ten := 1.0; ; ten *= 10 {
		for _, x := range [3]float64{ten, 2 * ten, 5 * ten} {
			if x >= least || math.IsInf(x, 1) {
				return x
			}
		}
	}
}

// covers says whether a line of the ruling runs through a sample.
func (g *ground) covers(f *projection, x, y float64) bool {
	if g.line {
		return math.Abs(f.at(x, y, 0).Z)*f.scale <= 1
	}
	p := f.onBed(x, y)
	hx, hy := g.half[0], g.half[1]
	if p.X < g.low.X-hx || p.X > g.high.X+hx || p.Y < g.low.Y-hy || p.Y > g.high.Y+hy {
		return false
	}
	off := func(x float64) float64 { return math.Abs(x - float64(math.Floor(x/g.square+0.5)*g.square)) }
	return off(p.X) <= hx || off(p.Y) <= hy
}
