package meshfile

import (
	"fmt"
	"io"
	"math"

	"printlint/internal/mesh"
)

// rows reads the tables of an ascii file: a line for each row.
func (r *plyReader) rows() {
	for i := range r.elements {
		e := &r.elements[i]
		if len(e.properties) == 0 {
			continue
		}
		for row := int64(0); row < e.rows && r.err == nil; row++ {
			r.textRow(e, row)
		}
	}
	if w := r.next(); w != nil {
		r.fail(r.line, cureAgain, "%s behind the last row that the header claims", quoted(w))
	}
}

// textRow reads one line.
func (r *plyReader) textRow(e *plyElement, row int64) {
	w := r.next()
	line := r.line
	var p mesh.Point
	r.begin()
	r.strip = plyStrip{}
	for k := range e.properties {
		q := &e.properties[k]
		if k > 0 {
			w = r.inLine()
		}
		if w == nil {
			r.short(e, row, line)
			return
		}
		if axis := axisOf(e, q.name); axis >= 0 && !q.list {
			p[axis] = r.coordinate(w, axis, line)
			continue
		} else if !q.list {
			r.textNumber(w, line)
			continue
		}
		n, ok := parseIndex(w)
		if !ok {
			r.fail(line, cureAgain, "%s is no length of a list", quoted(w))
		}
		for ; n > 0 && r.err == nil; n-- {
			if w = r.inLine(); w == nil {
				r.short(e, row, line)
				return
			}
			if x := r.textNumber(w, line); k == e.indices {
				r.index(e, x, line)
			}
		}
	}
	if w = r.inLine(); w != nil {
		r.fail(line, cureAgain, "%s where the row of %s ends", quoted(w), quoted(e.name))
	}
	r.cut = !r.endLine()
	r.endRow(e, p, line)
}

// textNumber reads a number that is no coordinate.
func (r *plyReader) textNumber(w []byte, line int) float64 {
	x, ok := parse64(w)
	if !ok {
		r.stop(badNumber(line, w))
	}
	return x
}

func axisOf(e *plyElement, name string) int {
	if e.name == "vertex" && len(name) == 1 && name[0]-'x' <= 2 {
		return int(name[0] - 'x')
	}
	return -1
}

func isIndices(name string) bool { return name == "vertex_indices" || name == "vertex_index" }

// index takes a point of a face or strip.
func (r *plyReader) index(e *plyElement, v float64, face int) {
	switch {
	case r.err != nil:
	case e.name == "tristrips" && v == -1:
		r.strip = plyStrip{}
	case v != math.Trunc(v) || v < 0 || v >= float64(len(r.points)):
		r.fail(face, cureAgain, "the face names point %s of %d, the first is 0", fmt.Sprint(v), len(r.points))
	case e.name == "tristrips":
		r.stripCorner(int(v), face)
	default:
		r.corner(int(v), face)
	}
}

// plyStrip is a strip of triangles being read: each point after the second one makes a
// triangle with the two before it, every second one turned the other way; -1 begins anew
// (element tristrips of the scans for which PLY was made, from memory).
type plyStrip struct {
	last [2]int
	n    int
}

// stripCorner goes on with point i. A triangle with a point twice only leads to the next
// one, and is no triangle.
func (r *plyReader) stripCorner(i, row int) {
	s := &r.strip
	r.used[i/64] |= 1 << (i % 64)
	a, b := s.last[0], s.last[1]
	s.last = [2]int{b, i}
	if s.n++; s.n < 3 || a == b || b == i || a == i {
		return
	}
	if s.n%2 == 0 {
		a, b = b, a
	}
	r.add(r.points[a], r.points[b], r.points[i], row)
}

// endRow takes what a row of points or faces holds.
func (r *plyReader) endRow(e *plyElement, p mesh.Point, number int) {
	switch e.name {
	case "vertex":
		r.point(p, number)
	case "face":
		r.close(number)
	}
}

func (r *plyReader) short(e *plyElement, row int64, line int) {
	if r.ended() {
		r.fail(line, cureAgain, "the file ends in row %d of %d of %s", row+1, e.rows, quoted(e.name))
	}
	r.fail(line, cureAgain, "row %d of %s has too few numbers", row+1, quoted(e.name))
}

// binary reads the tables of a binary file, and says where the triangles stand: where all
// faces are triangles of equal length in bytes, each has its place in the file.
func (r *plyReader) binary(in Input) (source mesh.Source, note string) {
	r.place = "is face"
	for i := range r.elements {
		e := &r.elements[i]
		start, length := r.done(), int64(0)
		even := e.name == "face" && r.triangles.Count() == 0
		if len(e.properties) == 0 {
			continue // its rows are nothing, however many are claimed
		}
		for row := range e.rows {
			from := r.done()
			if r.binaryRow(e, int(row+1)); r.err != nil {
				if r.err == io.ErrUnexpectedEOF {
					r.err = inFile(cureAgain, "the file ends in row %d of %d of %s", row+1, e.rows, quoted(e.name))
				}
				// The readers of text take the number of a row for a line.
				if problem, ok := r.err.(*Error); ok && problem.Line > 0 {
					r.err = inFile(problem.Cure, "row %d of %s, before byte %d: %s", row+1, quoted(e.name), r.done(), problem.Problem)
				}
				return source, ""
			}
			if row == 0 {
				length = r.done() - from
			}
			even = even && r.done()-from == length && len(r.corners) == 3
		}
		if e.name == "face" && even {
			source = mesh.Source{Offset: start, Stride: length}
		} else if e.indices >= 0 {
			source = mesh.Source{}
		}
	}
	return source, r.behind(in)
}

// behind looks at what stands behind the last row. As behind a binary STL, padding is
// harmless, and rows that the header does not claim are not.
func (r *plyReader) behind(in Input) (note string) {
	at := r.done()
	rest := in.Size() - at
	if rest == 0 || len(r.elements) == 0 {
		return ""
	}
	empty, err := zeros(in, at)
	if err != nil {
		r.stop(err)
	}
	if last := &r.elements[len(r.elements)-1]; !empty && rest >= last.usual() {
		r.stop(inFile(cureAgain, "the header claims %d rows of %s, but %s follow the last one",
			last.rows, quoted(last.name), plural(rest, "byte")))
	}
	return plural(rest, "byte") + " after the last row"
}

// number reads a binary number; 0 where the file ends first.
func (r *plyReader) number(t *plyType) float64 {
	if b := r.take(int(t.size)); b != nil {
		return t.value(b, r.order)
	}
	r.stop(io.ErrUnexpectedEOF)
	return 0
}

// binaryRow reads one row.
func (r *plyReader) binaryRow(e *plyElement, number int) {
	var p mesh.Point
	r.begin()
	r.strip = plyStrip{}
	for k := range e.properties {
		q := &e.properties[k]
		if !q.list {
			x := r.number(&q.kind)
			if axis := axisOf(e, q.name); axis >= 0 {
				if p[axis] = float32(x * r.scale); p[axis]-p[axis] != 0 {
					r.fail(number, cureAgain, "the %s coordinate is %s", q.name, notFinite(x))
				}
			}
		} else {
			r.list(e, q, k == e.indices, number)
		}
		if r.err != nil {
			return
		}
	}
	r.endRow(e, p, min(number, maxLines))
}

// list reads a list, and takes the points of a face from it where it names them.
func (r *plyReader) list(e *plyElement, q *plyProperty, indices bool, number int) {
	n := r.number(&q.count)
	if left := float64(r.size - r.done()); n < 0 || n*float64(q.kind.size) > left {
		r.fail(number, cureAgain, "a list claims %d numbers, which the file has no room for", int64(n))
	}
	for i := int64(n); i > 0 && r.err == nil; i-- {
		if v := r.number(&q.kind); indices {
			r.index(e, v, number)
		}
	}
}
