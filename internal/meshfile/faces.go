package meshfile

import (
	"fmt"
	"math/bits"
	"slices"

	"printlint/internal/mesh"
)

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

// cutNote is said of a file whose last number may have lost digits.
const cutNote = "the last line has no end, the file may be cut short"

// faces collects points, and polygons that name them, and cuts these into triangles.
type faces struct {
	*builder
	points  []mesh.Point
	used    []uint64 // a bit for each point that a face names
	corners []mesh.Point
	poly    polygon
	crossed passed // faces that cross themselves or have no area
	place   string // what the number of a face is: "in line", "is face"
}

func newFaces(size int64) *faces {
	f := &faces{builder: newBuilder(size), place: "in line"}
	f.poly.work = maxFace + workPerByte*size
	return f
}

// keep adds a point.
func (f *faces) keep(p mesh.Point, line int) error {
	if len(f.points) == maxCorners {
		return atLine(line, cureSmaller, "the model has more than %d points, the most that can be read", maxCorners)
	}
	if len(f.points) == cap(f.points) {
		f.points = slices.Grow(f.points, max(len(f.points), 256)) // append would copy four times as often
	}
	f.points = append(f.points, p)
	if len(f.points) > 64*len(f.used) {
		f.used = append(f.used, 0)
	}
	return nil
}

// begin starts a face.
func (f *faces) begin() { f.corners = f.corners[:0] }

// corner adds the point with the number i, from 0, to the face.
func (f *faces) corner(i, line int) error {
	if len(f.corners) == f.limit {
		return tooMany(line, f.limit)
	}
	f.used[i/64] |= 1 << (i % 64)
	f.corners = append(f.corners, f.points[i])
	return nil
}

// close ends a face and cuts it into triangles.
func (f *faces) close(line int, done int64) error {
	if len(f.corners) < 3 {
		return atLine(line, cureAgain, "a face has %s, it needs 3", plural(int64(len(f.corners)), "corner"))
	}
	tris, clean, ok := f.poly.cut(f.corners)
	if !ok {
		return atLine(line, cureTriangle, "a face of %d corners is too intricate to be cut into triangles", len(f.corners))
	}
	if !clean {
		f.crossed.add(line, nil)
	}
	for _, t := range tris {
		if err := f.add(f.corners[t[0]], f.corners[t[1]], f.corners[t[2]], line, done); err != nil {
			return err
		}
	}
	return nil
}

// notes says what is odd about the faces.
func (f *faces) notes() []string {
	var notes []string
	if n := f.crossed; n.lines > 0 {
		notes = append(notes, fmt.Sprintf("%s with no area or with edges that cross, the first %s %d",
			plural(n.lines, "face"), f.place, n.first))
	}
	unused := len(f.points)
	for _, w := range f.used {
		unused -= bits.OnesCount64(w)
	}
	if unused > 0 {
		notes = append(notes, fmt.Sprintf("%s of %d in no face", plural(int64(unused), "point"), len(f.points)))
	}
	return notes
}
