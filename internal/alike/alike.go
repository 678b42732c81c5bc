// Package alike says what two shapes are to each other: one and the same, however it was
// exported; the same one moved, turned, mirrored or of another size; or another shape.
//
// Figures that no export changes (area, how it spreads about its middle) come first and
// rule out most. What is left is proved: one shape is placed on the other, and their
// corners and triangles are held against each other, or points all over both surfaces.
package alike

import (
	"context"
	"math"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// Result is what a shape became.
type Result struct {
	// Same says that it is the same shape: Placement brings the former one onto it.
	Same bool
	Placement
	// Within is how far apart the two lie at most, in mm, where they were held against
	// each other: corner by corner, or in Points points of both surfaces.
	Within float64
	// Points is how many points were looked at; 0 where each corner and triangle of the
	// one is one of the other.
	Points int
	// Inverted counts triangles that face the other way.
	Inverted int
}

// Placement brings a point p of the former shape to Factor*M*p + Shift.
type Placement struct {
	Factor float64
	M      [9]float64 // row by row; of determinant -1 where it mirrors
	Shift  mesh.Vec
}

// To places a point.
func (p *Placement) To(v mesh.Vec) mesh.Vec {
	return mesh.Turn(&p.M, v).Scale(p.Factor).Add(p.Shift)
}

// Back is the reverse of To.
func (p *Placement) Back(v mesh.Vec) mesh.Vec {
	back := mesh.Transposed(&p.M)
	return mesh.Turn(&back, v.Sub(p.Shift)).Scale(1 / p.Factor)
}

// Mirrors says that the placement makes a left hand of a right one.
func (p *Placement) Mirrors() bool { return determinant(&p.M) < 0 }

// asItLies leaves a shape where it is.
var asItLies = Placement{Factor: 1, M: mesh.Identity}

// How far apart two corners may lie and still be one: in mm, but no more than a share of a
// small shape, and for each mm from the origin, since text files round to six digits.
// Judgement, no source.
const (
	looseness = 0.002
	share     = 1e-4
	rounding  = 1e-5
)

// nearly is how far apart two surfaces made of other triangles may lie, in mm, to be told
// of as one: an eighth of a usual line. Judgement, no source.
const nearly = 0.05

// pair is two shapes that are held against each other.
type pair struct {
	ctx      context.Context
	was, now *side
	jobs     int
	looks    int // at surfaces whose corners agree
}

// side is one of two shapes.
type side struct {
	*mesh.Mesh
	mesh.Spread
	tolerance float64 // for corners to be one
	far       float64 // the largest coordinate
	corners   *corners
	tree      *spatial.Tree
}

// What it costs to hold a corner or triangle against another, about, in units of work.
const (
	cornerCost = 60
	pointCost  = 2000
)

// Compare says what one shape became. The work counts for the meter of the context; its
// error is that of the meter.
func Compare(ctx context.Context, was, now *mesh.Mesh, jobs int) (Result, error) {
	p := &pair{ctx: ctx, was: sideOf(was), now: sideOf(now), jobs: jobs}
	if err := p.spend(4 * cornerCost * (len(was.Tris) + len(now.Tris))); err != nil {
		return Result{}, err
	}
	if r, ok, err := p.byCorners(asItLies); ok || err != nil {
		return r, err
	}
	if p.was.Spread.Area > 0 && p.now.Spread.Area > 0 {
		r, ok, err := p.search()
		if ok || err != nil {
			return r, err
		}
	}
	return p.changed()
}

func sideOf(m *mesh.Mesh) *side {
	s := &side{Mesh: m, Spread: m.Spread()}
	for _, v := range m.Verts {
		s.far = max(s.far, math.Abs(float64(v[0])), math.Abs(float64(v[1])), math.Abs(float64(v[2])))
	}
	s.tolerance = min(looseness, share*m.Box().Size().Len()) + float64(rounding*s.far)
	s.corners = cornersOf(m, s.tolerance)
	return s
}

func (p *pair) spend(units int) error { return work.Of(p.ctx).Spend(int64(units)) }

// search looks for a placement that brings one shape onto the other.
func (p *pair) search() (Result, bool, error) {
	factor := math.Sqrt(p.now.Spread.Area / p.was.Spread.Area)
	if !spreadAlike(&p.was.Spread, &p.now.Spread) {
		return Result{}, false, nil
	}
	factors := []float64{snapped(factor, 1e-4), factor}
	if math.Abs(factor-1) < 1e-3 {
		factors[0] = 1
	}
	for _, f := range factors {
		for _, m := range p.rotations(f) {
			if err := p.spend(cornerCost * 64); err != nil {
				return Result{}, false, err
			}
			if r, ok, err := p.byCorners(p.at(f, m)); ok || err != nil {
				return r, ok, err
			}
		}
	}
	factor = snapped(factor, 2e-3)
	for _, m := range p.frames() {
		r, err := p.bySurface(p.at(factor, m), nearly)
		if err != nil || r.Same {
			return r, r.Same, err
		}
	}
	return Result{}, false, nil
}

// at is the placement that brings the middle of one surface onto that of the other. A
// shape that is hardly anywhere else stays where it is.
func (p *pair) at(factor float64, m [9]float64) Placement {
	place := Placement{Factor: factor, M: m}
	place.Shift = p.now.Middle.Sub(place.To(p.was.Middle))
	return place
}

// factors that a mistaken unit brings about: inches, centimetres and metres taken for mm,
// centimetres for inches, and the other way round; and 1.
var unitFactors = []float64{1, 25.4, 10, 1000, 2.54, 100, 39.37007874015748, 1 / 25.4, 0.1, 0.001, 1 / 2.54, 0.01, 0.0254}

// Unit returns the factor of a mistaken unit that a shape was scaled by, if it was.
func Unit(factor float64) (float64, bool) {
	s := snapped(factor, 1e-4)
	for _, f := range unitFactors[1:] {
		if s == f {
			return f, true
		}
	}
	return 0, false
}

// snapped is a factor, or that of a unit which it is as good as.
func snapped(factor, within float64) float64 {
	for _, f := range unitFactors {
		if math.Abs(factor-f) <= within*f {
			return f
		}
	}
	return factor
}
