package measure

import (
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// fitsBed says whether some turn about the vertical brings a turned mesh of the given
// size within the bed.
func fitsBed(m *mesh.Mesh, turn *[9]float64, size mesh.Vec, bed [3]float64) bool {
	for k := range bed {
		if bed[k] <= 0 {
			bed[k] = math.Inf(1)
		}
	}
	// Corners are rounded to float32, both ends of a size by 2^-24 of it and more.
	slack := max(size.X, size.Y, size.Z) * 0x1p-22
	if size.Z > bed[2]+slack {
		return false
	}
	if size.X <= bed[0]+slack && size.Y <= bed[1]+slack || size.Y <= bed[0]+slack && size.X <= bed[1]+slack {
		return true
	}
	points := make([]geom.Point, len(m.Verts))
	for i, p := range m.Verts {
		v := mesh.Turn(turn, mesh.Of64(p))
		points[i] = geom.Point{X: v.X, Y: v.Y}
	}
	return fitsTurned(geom.Hull(points), bed[0]+slack, bed[1]+slack)
}

// fitsTurned says whether a convex outline fits a rectangle at some turn. Between two
// turns at which an edge of the outline lies along a side, the same two corners span
// each width, so it changes like a cosine. If anything fits, then so does a turn at
// which an edge lies along a side or a width is exactly that of the rectangle.
func fitsTurned(hull []geom.Point, width, depth float64) bool {
	o := newConvexOutline(hull)
	turns := []float64{0, math.Pi / 2}
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		along := math.Mod(math.Atan2(q.Y-p.Y, q.X-p.X)+2*math.Pi, math.Pi/2)
		turns = append(turns, along, along+math.Pi/2)
	}
	slices.Sort(turns)
	turns = append(slices.Compact(turns), turns[0]+math.Pi)
	fits := func(turn float64) bool {
		_, x := o.span(turn)
		_, y := o.span(turn + math.Pi/2)
		const rounding = 1e-12
		return x <= width*(1+rounding) && y <= depth*(1+rounding)
	}
	for i, turn := range turns[:len(turns)-1] {
		if fits(turn) {
			return true
		}
		middle := (turn + turns[i+1]) / 2
		for k, side := range [2]float64{width, depth} {
			quarter := float64(float64(k) * math.Pi / 2)
			across, _ := o.span(middle + quarter)
			far := math.Hypot(across.X, across.Y)
			if far <= side || math.IsInf(side, 1) {
				continue
			}
			toward, swing := math.Atan2(across.Y, across.X)-quarter, math.Acos(side/far)
			if fits(toward-swing) || fits(toward+swing) {
				return true
			}
		}
	}
	return false
}

// convexOutline is a convex outline that tells its farthest point in any direction at once.
type convexOutline struct {
	hull []geom.Point
	// along is the direction of the edge after each corner, from that of the first on;
	// they turn one way, by a full turn in all.
	first float64
	along []float64
}

func newConvexOutline(hull []geom.Point) *convexOutline {
	o := &convexOutline{hull: hull}
	most := 0.0
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		a := math.Atan2(q.Y-p.Y, q.X-p.X)
		if i == 0 {
			o.first = a
		}
		most = max(most, around(a-o.first))
		o.along = append(o.along, most)
	}
	return o
}

// around brings an angle to [0, 2 pi).
func around(a float64) float64 {
	if a = math.Mod(a, 2*math.Pi); a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// farthest returns the corner farthest along a direction, and how far it is: the one from
// which on edges turn back, or one beside it where rounding decides.
func (o *convexOutline) farthest(s, c, turn float64) (geom.Point, float64) {
	n := len(o.hull)
	at, _ := slices.BinarySearch(o.along, around(turn+math.Pi/2-o.first))
	best, far := geom.Point{}, math.Inf(-1)
	for k := at + n - 2; k <= at+n+2; k++ {
		p := o.hull[k%n]
		if d := float64(p.X*c) + float64(p.Y*s); d > far {
			best, far = p, d
		}
	}
	return best, far
}

// span returns the vector between the two points of an outline that lie farthest
// apart along a direction, and how far that is.
func (o *convexOutline) span(turn float64) (across geom.Point, width float64) {
	s, c := math.Sincos(turn)
	b, high := o.farthest(s, c, turn)
	a, low := o.farthest(-s, -c, turn+math.Pi)
	return geom.Point{X: b.X - a.X, Y: b.Y - a.Y}, high + low
}
