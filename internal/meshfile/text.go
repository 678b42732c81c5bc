package meshfile

import (
	"fmt"
	"math/bits"
	"slices"

	"printlint/internal/mesh"
)

// text is a file of words or rows being read: its place in the file, and the triangles so
// far. The formats that it serves have points, and polygons that name them; it cuts these
// into triangles. What is wrong first stays in err, and ends the reading.
type text struct {
	scanner
	scale float64 // mm in one unit of the file
	from  origin

	triangles mesh.Triangles
	limit     int   // corners
	start     int64 // where in the file the triangles began

	points  []mesh.Point
	used    []uint64 // a bit for each point that a face names
	corners []mesh.Point
	poly    polygon
	crossed passed // faces that cross themselves or have no area
	place   string // what the number of a face is: "in line", "is face"
	cut     bool   // the last line has no end
}

func newText(in Input, opt Options) text {
	t := text{scanner: newScanner(in, bufferSize), scale: opt.Scale, limit: maxCorners, place: "in line"}
	t.poly.work = maxFace + workPerByte*in.Size()
	return t
}

// part returns the model, or what is wrong with the file.
func (t *text) part(kind string, notes []string) ([]Part, error) {
	if t.err != nil {
		return nil, t.err
	}
	return []Part{{Kind: kind, Triangles: &t.triangles, Notes: append(notes, movedNote(t.from.at)...)}}, nil
}

// add takes one triangle.
func (t *text) add(p, q, r mesh.Point, line int) {
	s := &t.triangles
	if n := len(s.Corners); n+3 > cap(s.Corners) {
		if n+3 > t.limit {
			t.stop(tooMany(line, t.limit))
			return
		}
		t.grow()
	}
	s.Corners = append(s.Corners, p, q, r)
	s.Source.Lines = append(s.Source.Lines, uint32(line))
}

// grow makes room for as many triangles as the rest of the file will hold if it goes on
// as it began. Doubling would touch, copy and drop half of the memory again, and the
// first touch of fresh memory costs more than the reading.
func (t *text) grow() {
	have, want, done := t.triangles.Count(), 256, t.done()
	if have == 0 {
		t.start = done
	} else {
		rate := float64(have) / float64(max(done-t.start, 1))
		more := int(min(rate*float64(t.size-done)*1.02, float64(7*have))) + 64
		want = have + max(more, have/2)
	}
	want = min(want, t.limit/3)
	t.triangles.Corners = append(make([]mesh.Point, 0, want*3), t.triangles.Corners...)
	t.triangles.Source.Lines = append(make([]uint32, 0, want), t.triangles.Source.Lines...)
}

// coordinate reads a coordinate along an axis in mm.
func (t *text) coordinate(w []byte, axis, line int) float32 {
	x, ok := t.from.parse(w, axis, t.scale)
	if !ok || x-x != 0 {
		t.stop(badNumber(line, w))
	}
	return x
}

// point takes a point.
func (t *text) point(p mesh.Point, line int) {
	if len(t.points) == maxCorners {
		t.stop(tooManyPoints("model", line))
		return
	}
	if len(t.points) == cap(t.points) {
		t.points = slices.Grow(t.points, max(len(t.points), 256)) // append would copy four times as often
	}
	t.points = append(t.points, p)
	if len(t.points) > 64*len(t.used) {
		t.used = append(t.used, 0)
	}
}

// begin starts a face.
func (t *text) begin() { t.corners = t.corners[:0] }

// corner adds the point with the number i, from 0, to the face.
func (t *text) corner(i, line int) {
	if len(t.corners) == t.limit {
		t.stop(tooMany(line, t.limit))
		return
	}
	t.used[i/64] |= 1 << (i % 64)
	t.corners = append(t.corners, t.points[i])
}

// close ends a face and cuts it into triangles.
func (t *text) close(line int) {
	if t.err != nil {
		return
	}
	if len(t.corners) < 3 {
		t.fail(line, cureAgain, "a face has %s, it needs 3", plural(int64(len(t.corners)), "corner"))
		return
	}
	tris, clean, ok := t.poly.cut(t.corners)
	if !ok {
		t.fail(line, cureTriangle, "a face of %d corners is too intricate to be cut into triangles", len(t.corners))
		return
	}
	if !clean {
		t.crossed.add(line, nil)
	}
	for _, c := range tris {
		t.add(t.corners[c[0]], t.corners[c[1]], t.corners[c[2]], line)
	}
}

// notes says what is odd about the faces, and about the end of the file.
func (t *text) notes() (notes []string) {
	if n := t.crossed; n.lines > 0 {
		notes = append(notes, fmt.Sprintf("%s with no area or with edges that cross, the first %s %d",
			plural(n.lines, "face"), t.place, n.first))
	}
	unused := len(t.points)
	for _, w := range t.used {
		unused -= bits.OnesCount64(w)
	}
	if unused > 0 {
		notes = append(notes, fmt.Sprintf("%s of %d in no face", plural(int64(unused), "point"), len(t.points)))
	}
	if t.cut {
		notes = append(notes, cutNote)
	}
	return notes
}

// cutNote is for a file whose last number may have lost digits.
const cutNote = "the last line has no end, the file may be cut short"

// passed counts lines that were passed over.
type passed struct {
	lines int64
	first int
	word  string
}

func (p *passed) add(line int, w []byte) {
	if p.lines++; p.lines == 1 {
		p.first, p.word = line, quoted(w)
	}
}
