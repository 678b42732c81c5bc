package plain

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// bored makes a solid with holes at random: a plate with a few through it, or something turned
// on a lathe, in any pose.
func bored(r *rand.Rand) *mesh.Triangles {
	var s *mesh.Triangles
	if r.IntN(3) == 0 {
		s = lathed(r)
	} else {
		var holes []shapes.Polygon
		for i := range 1 + r.IntN(3) {
			x, d := float64(10+18*i), between(r, 1, 14)
			switch r.IntN(8) {
			case 0:
				holes = append(holes, shapes.Rect(x-d/2, 10-d/3, x+d/2, 10+d/3))
			case 1: // a slot
				p := shapes.Ring(x, 10, d/2, 2*(4+r.IntN(6)))
				for k := range p {
					if p[k][0] > x+1e-9 {
						p[k][0] += 2
					}
				}
				holes = append(holes, p)
			case 2, 3:
				holes = append(holes, drop(r, x))
			case 4:
				holes = append(holes, flatted(r, x))
			default:
				holes = append(holes, shapes.Ring(x, 10, d/2, 6+r.IntN(20)))
			}
		}
		s = shapes.Prism(shapes.Rect(0, 0, 60, 20), 0, between(r, 1, 9), holes...)
	}
	return shapes.Turn(s, mesh.Vec{X: between(r, -1, 1), Y: between(r, -1, 1), Z: 1}, between(r, 0, 360))
}

// part is a part of a circle about (x, 10), from one angle to another.
func part(x, radius, from, to float64, n int) (p shapes.Polygon) {
	for i := range n + 1 {
		a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		p = append(p, [2]float64{x + radius*math.Cos(a), 10 + radius*math.Sin(a)})
	}
	return p
}

// drop is round below, with a point above or a point that is cut flat.
func drop(r *rand.Rand, x float64) shapes.Polygon {
	radius, rise := between(r, 0.75, 3), between(r, 35, 57)
	p := part(x, radius, 90+rise, 450-rise, 9+r.IntN(20))
	tip := radius / math.Cos(rise*math.Pi/180)
	if r.IntN(2) == 0 {
		return append(p, [2]float64{x, 10 + tip})
	}
	flat := 1.08*radius + between(r, 0, 0.5)*(tip-1.08*radius)
	half := (tip - flat) / math.Tan(rise*math.Pi/180)
	return append(p, [2]float64{x + half, 10 + flat}, [2]float64{x - half, 10 + flat})
}

// flatted is round with a flat; one of 61 deg is a side of a polygon, or nearly, and left out.
func flatted(r *rand.Rand, x float64) shapes.Polygon {
	share := between(r, 0.55, 0.81)
	if r.IntN(3) == 0 {
		share = between(r, 0.89, 0.97)
	}
	a := math.Acos(share) * 180 / math.Pi
	return part(x, between(r, 0.75, 6), 90+a, 450-a, 12+r.IntN(20))
}

// lathed turns a profile of a few steps, each a bore or a cone.
func lathed(r *rand.Rand) *mesh.Triangles {
	p, z := shapes.Polygon{{18, 0}}, 0.0
	var inner shapes.Polygon
	for range 1 + r.IntN(3) {
		at, up := 2+0.25*float64(r.IntN(40)), between(r, 1, 6)
		top := at
		if r.IntN(3) == 0 {
			top = min(15, at*1.4)
		}
		inner = append(inner, [2]float64{at, z}, [2]float64{top, z + up})
		z += up
	}
	p = append(p, [2]float64{18, z})
	for i := range inner {
		p = append(p, inner[len(inner)-1-i])
	}
	return shapes.Revolve(p, 8+4*r.IntN(5))
}

// Both ways find the same holes, equally wide and deep, at the same places.
func TestHolesAreFoundAlike(t *testing.T) {
	seed := dice.Seed(t)
	with, without, part := 0, 0, 0
	for n := range uint64(90) {
		soup := bored(rand.New(rand.NewPCG(seed, 7000+n)))
		plain, program := Holes(soup), taken(t, soup, "hole")
		require.Len(t, program.Sites, len(plain), "case %d: %v", n, plain)
		for i := range program.Sites {
			at, got := program.Sites[i].At, measure.Hole.Site(&program.Sites[i])
			found := false
			for _, h := range plain {
				lean := math.Acos(min(1, math.Abs(h.Axis.Z))) * 180 / math.Pi
				found = found || h.At.Sub(at).Len() < 0.02 && math.Abs(h.Diameter-got.Diameter) < 0.01 &&
					math.Abs(h.Depth-got.Depth) < 0.01 && math.Abs(lean-got.Lean) < 0.2 && h.Full == got.Full
			}
			assert.True(t, found, "case %d: %+v at %v is not in %+v", n, got, at, plain)
		}
		if slices.ContainsFunc(plain, func(h Round) bool { return !h.Full }) {
			part++
		}
		if len(plain) > 0 {
			with++
		} else {
			without++
		}
	}
	assert.Greater(t, with, 20)
	assert.Greater(t, part, 10)
	assert.Greater(t, without, 3)
}
