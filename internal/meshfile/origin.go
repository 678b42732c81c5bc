package meshfile

import (
	"fmt"
	"math"

	"printlint/internal/mesh"
)

// farAway is the distance from the origin, in mm, from which coordinates of single precision lie
// 0.004 mm and more apart, a hundredth of a line: what is drawn there in a text is moved to the
// origin before it is rounded to it. tooFar is no length of a print any more.
const (
	farAway = 1 << 15
	tooFar  = 1e9
)

// origin is the point that coordinates are taken from, in mm: near the first point where that
// lies far away, in whole mm, and else that of the file.
type origin struct {
	at   [3]float64
	seen [3]bool
}

// parse returns the coordinate along an axis in mm, from the origin.
func (o *origin) parse(b []byte, axis int, scale float64) (float32, bool) {
	if o.seen[axis] && o.at[axis] == 0 {
		return parseMM(b, scale)
	}
	x, ok := parse64(b)
	if x *= scale; !o.seen[axis] && ok {
		o.seen[axis] = true
		o.at[axis] = wholeIfFar(x)
	}
	if o.at[axis] == 0 {
		return parseMM(b, scale)
	}
	return float32(x - o.at[axis]), ok
}

// wholeIfFar is a far coordinate in whole mm, and 0 for others.
func wholeIfFar(x float64) float64 {
	if math.Abs(x) < farAway || !(math.Abs(x) <= tooFar) {
		return 0
	}
	return math.Round(x)
}

// movedWords begin the note on a file whose places are given from another point.
const movedWords = "it lies far from the origin of the file"

// movedNote says where places are given from, where that is not the origin of the file.
func movedNote(at [3]float64) []string {
	if at == [3]float64{} {
		return nil
	}
	return []string{fmt.Sprintf(movedWords+": places are given from the point (%.0f, %.0f, %.0f) mm", at[0], at[1], at[2])}
}

// near moves what a body is laid out by so that its first point comes near the origin, where
// it would lie far away, and returns how far it was moved.
func (b *body) near(move *affine) (at [3]float64) {
	p, ok := b.firstPoint(*move)
	if !ok {
		return at
	}
	for k := range at {
		at[k] = wholeIfFar(p[k])
		move[9+k] -= at[k]
	}
	return at
}

// firstPoint is where the first corner of a body is laid out.
func (b *body) firstPoint(move affine) (p [3]float64, ok bool) {
	for i := range b.placed {
		inner := b.placed[i].move.then(&move)
		if p, ok = b.placed[i].body.firstPoint(inner); ok {
			return p, true
		}
	}
	if b.triangles == 0 {
		return p, false
	}
	move = b.fromOrigin(&move)
	return move.place(*b.store.points.at(b.point + int(b.store.triangles.at(b.first).corners[0]))), true
}

// fromOrigin is a transform of the points of a body as they are stored.
func (b *body) fromOrigin(move *affine) affine {
	if b.origin.at == [3]float64{} {
		return *move
	}
	shift := identity
	copy(shift[9:], b.origin.at[:])
	return shift.then(move)
}

// place returns p moved.
func (m *affine) place(p mesh.Point) (q [3]float64) {
	x, y, z := float64(p[0]), float64(p[1]), float64(p[2])
	for k := range q {
		q[k] = float64(x*m[k]) + float64(y*m[3+k]) + float64(z*m[6+k]) + m[9+k]
	}
	return q
}
