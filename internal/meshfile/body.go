package meshfile

import (
	"cmp"
	"slices"

	"printlint/internal/mesh"
)

// store keeps the points and triangles of all bodies of a file as they stand in it,
// 12 and 16 bytes each, so that the triangles of one model at a time can be laid out.
type store struct {
	points    chunks[mesh.Point]
	triangles chunks[storedTriangle]
}

// addTriangle is false where there is no room left.
func (s *store) addTriangle(t storedTriangle) bool {
	if s.triangles.len() >= maxCorners/3 {
		return false
	}
	s.triangles.add(t)
	return true
}

// storedTriangle names three points of its body, and its line.
type storedTriangle struct {
	corners [3]uint32
	line    uint32
}

// chunkSize is a power of two.
const chunkSize = 1 << 12

// chunks is a list that grows without moving what it holds: fresh memory costs more
// than what is done with it.
type chunks[T any] struct {
	full [][]T
	last []T
}

func (c *chunks[T]) add(v T) {
	if len(c.last) == cap(c.last) {
		if len(c.last) == chunkSize {
			c.full, c.last = append(c.full, c.last), make([]T, 0, chunkSize)
		} else {
			next := make([]T, len(c.last), min(max(2*cap(c.last), 64), chunkSize))
			copy(next, c.last)
			c.last = next
		}
	}
	c.last = append(c.last, v)
}

func (c *chunks[T]) len() int { return len(c.full)*chunkSize + len(c.last) }

func (c *chunks[T]) at(i int) *T {
	if n := i / chunkSize; n < len(c.full) {
		return &c.full[n][i%chunkSize]
	}
	return &c.last[i%chunkSize]
}

// body is a mesh, or other bodies put together, or both.
type body struct {
	label  string // for messages: object 3
	inside string // the part of the container that holds it
	line   int
	err    error // why it cannot be judged

	store            *store
	point            int // its first in the store
	origin           origin
	first, triangles int // and how many
	placed           []placed

	total  int64 // triangles with those of all bodies in it
	steps  int64 // bodies with all bodies in them, as often as they are laid out
	depth  int   // of bodies in bodies
	mixed  bool  // its triangles stand in several parts of the container
	notes  []string
	source string
	// undecided is why its triangles may not be all of its shape, "" where they are.
	undecided string
}

// placed is a body in another one.
type placed struct {
	body *body
	move affine
	line int
}

// unfolded bounds what all models of a file together are laid out to.
type unfolded struct{ triangles int64 }

// take counts one more model, and is false once they are too many for a file that holds
// so many triangles.
func (u *unfolded) take(b *body, held int64) bool {
	if b.err != nil || b.total > unfoldLimit(held) {
		return true // it is refused by itself
	}
	u.triangles = min(u.triangles+b.total, 1<<40)
	return u.triangles <= maxBuilt*unfoldLimit(held)
}

// unfoldLimit is the most triangles that one model may unfold to.
func unfoldLimit(held int64) int64 { return min(freeTriangles+maxUnfold*held, maxCorners/3) }

// tooManyBuilt is the error of a model that the others of its file leave no room for.
func tooManyBuilt(line int, held int64) error {
	return atLine(line, cureSeveral,
		"the models of the file unfold to more than the %d triangles that are read from a file of this size", maxBuilt*unfoldLimit(held))
}

// settle computes, once all that is in it is settled, what a body holds.
func (b *body) settle() {
	b.total, b.steps, b.source = int64(b.triangles), 1, ""
	if b.triangles > 0 {
		b.source = b.inside
	}
	for i := range b.placed {
		p := b.placed[i].body
		if b.err == nil && p.err != nil {
			b.err = p.errorFrom(b)
		}
		b.total, b.steps = min(b.total+p.total, 1<<40), min(b.steps+p.steps, 1<<40)
		b.doubt(p.undecided)
		for _, n := range p.notes {
			if len(b.notes) < 8 && !slices.Contains(b.notes, n) {
				b.notes = append(b.notes, n)
			}
		}
		b.depth = max(b.depth, p.depth+1)
		b.mixed = b.mixed || p.mixed || b.source != "" && p.source != "" && b.source != p.source
		if b.source == "" {
			b.source = p.source
		}
	}
	if b.mixed || b.source == "" {
		b.source = b.inside
	}
	switch {
	case b.err != nil:
	case b.total == 0:
		b.err = atLine(b.line, cureAgain, "%s has no triangles", b.label)
	case b.depth > maxNested:
		b.err = atLine(b.line, cureTriangle, "%s holds other objects %d deep, the most that is read", b.label, maxNested)
	}
}

// doubt keeps the first reason why a body can be judged only in part.
func (b *body) doubt(why string) { b.undecided = cmp.Or(b.undecided, why) }

// fail keeps the first thing that is wrong with a body.
func (b *body) fail(err error) {
	if b.err == nil {
		b.err = err
	}
}

// errorFrom words the error of a body for one that holds it, maybe in another part.
func (b *body) errorFrom(outer *body) error {
	e, ok := b.err.(*Error)
	if !ok || b.inside == outer.inside {
		return b.err
	}
	return e.from(b.inside)
}

// layOut returns the triangles of the body with everything in it, moved, and notes on that.
func (b *body) layOut(move affine, held int64) (*mesh.Triangles, []string, error) {
	if b.err != nil {
		return nil, nil, b.err
	}
	const cure = "export the model with its copies joined, or fewer of them"
	if limit := unfoldLimit(held); b.total > limit {
		return nil, nil, atLine(b.line, cure,
			"%s unfolds to more than the %d triangles that are read from a file of this size", b.label, limit)
	}
	if limit := freeSteps + maxUnfold*held; b.steps > limit {
		return nil, nil, atLine(b.line, cure,
			"%s unfolds to more than the %d objects that are read from a file of this size", b.label, limit)
	}
	out := &mesh.Triangles{Corners: make([]mesh.Point, 0, 3*b.total)}
	out.Source.Lines = make([]uint32, 0, b.total)
	at := b.near(&move)
	if err := b.layInto(out, &move, 0, b.mixed); err != nil {
		return nil, nil, err
	}
	return out, movedNote(at), nil
}

// layInto appends to out. The lines are those of the triangles, or one line for all, or,
// in a mixed body, those where the bodies in it are named.
func (b *body) layInto(out *mesh.Triangles, move *affine, line uint32, mixed bool) error {
	if v := move.volume(); v == 0 || !move.finite() {
		return atLine(b.line, "export the model again with its copies joined", "%s is flattened by its transform", b.label)
	}
	for i := range b.placed {
		p := &b.placed[i]
		at := line
		if mixed {
			at = uint32(p.line)
		}
		inner := p.move.then(move)
		if err := p.body.layInto(out, &inner, at, false); err != nil {
			return err
		}
	}
	return b.layOwn(out, move, line)
}

// layOwn appends the body's own triangles. A mirrored body keeps its outside outside:
// its triangles are turned over.
func (b *body) layOwn(out *mesh.Triangles, move *affine, line uint32) error {
	from := b.fromOrigin(move)
	move = &from
	plain, mirror := *move == identity, move.volume() < 0
	for i := b.first; i < b.first+b.triangles; i++ {
		t := b.store.triangles.at(i)
		var c [3]mesh.Point
		for k := range c {
			c[k] = *b.store.points.at(b.point + int(t.corners[k]))
			if !plain {
				c[k] = move.apply(c[k])
			}
		}
		if mirror {
			c[1], c[2] = c[2], c[1]
		}
		if !plain && !(finite(c[0]) && finite(c[1]) && finite(c[2])) {
			return atLine(int(t.line), cureAgain, "a corner is moved too far to be a length")
		}
		out.Corners = append(out.Corners, c[0], c[1], c[2])
		if line == 0 {
			out.Source.Lines = append(out.Source.Lines, t.line)
		} else {
			out.Source.Lines = append(out.Source.Lines, line)
		}
	}
	return nil
}
