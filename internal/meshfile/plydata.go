package meshfile

import (
	"io"

	"printlint/internal/mesh"
)

// text reads the tables of an ascii file: a line for each row.
func (r *plyReader) text() error {
	for i := range r.elements {
		e := &r.elements[i]
		if len(e.properties) == 0 {
			continue
		}
		for row := range e.rows {
			if err := r.textRow(e, row); err != nil {
				return err
			}
		}
	}
	if w := r.next(); w != nil {
		return atLine(r.line, cureAgain, "%s behind the last row that the header claims", quoted(w))
	}
	return nil
}

// textRow reads one line.
func (r *plyReader) textRow(e *plyElement, row int64) error {
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
			return r.short(e, row, line)
		}
		if !q.list {
			if err := r.textNumber(e, q, w, &p, line); err != nil {
				return err
			}
			continue
		}
		n, ok := parseIndex(w)
		if !ok {
			return atLine(line, cureAgain, "%s is no length of a list", quoted(w))
		}
		for range n {
			if w = r.inLine(); w == nil {
				return r.short(e, row, line)
			}
			x, ok := parse64(w)
			if !ok {
				return badNumber(line, w)
			}
			if k == e.indices {
				if err := r.cornerOf(e, x, line, r.done()); err != nil {
					return err
				}
			}
		}
	}
	if w = r.inLine(); w != nil {
		return atLine(line, cureAgain, "%s where the row of %s ends", quoted(w), quoted(e.name))
	}
	r.cut = !r.endLine()
	return r.rowDone(e, p, line, r.done())
}

// textNumber reads one number of a row.
func (r *plyReader) textNumber(e *plyElement, q *plyProperty, w []byte, p *mesh.Point, line int) error {
	axis := axisOf(e, q.name)
	if axis < 0 {
		if _, ok := parse64(w); !ok {
			return badNumber(line, w)
		}
		return nil
	}
	x, ok := parseMM(w, r.scale)
	if !ok || x-x != 0 {
		return badNumber(line, w)
	}
	p[axis] = x
	return nil
}

func axisOf(e *plyElement, name string) int {
	if e.name == "vertex" && len(name) == 1 && name[0]-'x' <= 2 {
		return int(name[0] - 'x')
	}
	return -1
}

func isIndices(name string) bool { return name == "vertex_indices" || name == "vertex_index" }

// rowDone keeps what a row of points or faces holds.
func (r *plyReader) rowDone(e *plyElement, p mesh.Point, number int, done int64) error {
	switch e.name {
	case "vertex":
		return r.keep(p, number)
	case "face":
		return r.close(number, done)
	}
	return nil
}

func (r *plyReader) short(e *plyElement, row int64, line int) error {
	if r.ended() {
		return atLine(line, cureAgain, "the file ends in row %d of %d of %s", row+1, e.rows, quoted(e.name))
	}
	return atLine(line, cureAgain, "row %d of %s has too few numbers", row+1, quoted(e.name))
}

// plyBytes reads a binary file through a buffer.
type plyBytes struct {
	in       Input
	off      int64 // of the file, where buf[end] would stand
	buf      []byte
	pos, end int
}

// take returns the next n bytes; nothing where the file ends first.
func (b *plyBytes) take(n int) ([]byte, error) {
	if b.end-b.pos < n {
		copy(b.buf, b.buf[b.pos:b.end])
		b.end, b.pos = b.end-b.pos, 0
		more := int(min(int64(len(b.buf)-b.end), b.in.Size()-b.off))
		if err := readFull(b.in, b.buf[b.end:b.end+more], b.off); err != nil {
			return nil, err
		}
		b.end += more
		b.off += int64(more)
		if b.end < n {
			return nil, io.ErrUnexpectedEOF
		}
	}
	out := b.buf[b.pos : b.pos+n]
	b.pos += n
	return out, nil
}

func (b *plyBytes) at() int64 { return b.off - int64(b.end-b.pos) }

// binary reads the tables of a binary file. Where all faces are triangles of equal
// length in bytes, each has its place in the file.
func (r *plyReader) binary(in Input) ([]Part, error) {
	r.place = "is face"
	b := &plyBytes{in: in, off: r.done(), buf: make([]byte, bufferSize)}
	source := mesh.Source{}
	for i := range r.elements {
		e := &r.elements[i]
		start, length := b.at(), int64(0)
		even := e.name == "face" && r.soup.Triangles() == 0
		if len(e.properties) == 0 {
			continue // its rows are nothing, however many are claimed
		}
		for row := range e.rows {
			from := b.at()
			if err := r.binaryRow(b, e, row); err != nil {
				return nil, inRow(err, e, row, b.at())
			}
			if row == 0 {
				length = b.at() - from
			}
			even = even && b.at()-from == length && len(r.corners) == 3
		}
		if e.name == "face" && even {
			source = mesh.Source{Offset: start, Stride: length}
		} else if e.indices >= 0 {
			source = mesh.Source{}
		}
	}
	notes := r.notes()
	if note, err := r.behind(in, b.at()); err != nil {
		return nil, err
	} else if note != "" {
		notes = append(notes, note)
	}
	r.soup.Source = source
	return r.finish("ply", notes)
}

// behind looks at what stands behind the last row. As behind a binary STL, padding is
// harmless, and rows that the header does not claim are not.
func (r *plyReader) behind(in Input, at int64) (note string, err error) {
	rest := in.Size() - at
	if rest == 0 || len(r.elements) == 0 {
		return "", nil
	}
	empty, err := zeros(in, at)
	if err != nil {
		return "", err
	}
	if last := &r.elements[len(r.elements)-1]; !empty && rest >= last.usual() {
		return "", atByte(at, cureAgain, "the header claims %d rows of %s, but %s follow the last one",
			last.rows, quoted(last.name), plural(rest, "byte"))
	}
	return plural(rest, "byte") + " after the last row", nil
}

// inRow words an error about a row, whose number the readers of text would take for a line.
func inRow(err error, e *plyElement, row, at int64) error {
	if err == io.ErrUnexpectedEOF {
		return atByte(at, cureAgain, "the file ends in row %d of %d of %s", row+1, e.rows, quoted(e.name))
	}
	if problem, ok := err.(*Error); ok && problem.Line > 0 {
		return atByte(at, problem.Cure, "row %d of %s, before byte %d: %s", row+1, quoted(e.name), at, problem.Problem)
	}
	return err
}

// binaryRow reads one row.
func (r *plyReader) binaryRow(b *plyBytes, e *plyElement, row int64) error {
	var p mesh.Point
	number := int(row + 1)
	r.begin()
	r.strip = plyStrip{}
	for k := range e.properties {
		q := &e.properties[k]
		if !q.list {
			w, err := b.take(int(q.kind.size))
			if err != nil {
				return err
			}
			if axis := axisOf(e, q.name); axis >= 0 {
				x := q.kind.value(w, r.order)
				if p[axis] = float32(x * r.scale); p[axis]-p[axis] != 0 {
					return atLine(number, cureAgain, "the %s coordinate is %s", q.name, notFinite(x))
				}
			}
			continue
		}
		w, err := b.take(int(q.count.size))
		if err != nil {
			return err
		}
		n := q.count.value(w, r.order)
		if left := float64(b.in.Size() - b.at()); n < 0 || n*float64(q.kind.size) > left {
			return atLine(number, cureAgain, "a list claims %d numbers, which the file has no room for", int64(n))
		}
		for range int64(n) {
			if w, err = b.take(int(q.kind.size)); err != nil {
				return err
			}
			if k == e.indices {
				if err := r.cornerOf(e, q.kind.value(w, r.order), number, b.at()); err != nil {
					return err
				}
			}
		}
	}
	return r.rowDone(e, p, min(number, mostLines), b.at())
}
