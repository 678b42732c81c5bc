package meshfile

import (
	"math"

	"printlint/internal/mesh"
)

// maxCorners is the most corners a mesh may have: indices stay within 31 bits, and an
// int holds the number on every machine.
const maxCorners = math.MaxInt32

// mostLines is the most lines that are counted, for the same reason.
const mostLines = math.MaxInt32

// builder collects triangles whose number is not known beforehand.
type builder struct {
	soup  mesh.Soup
	limit int   // corners
	size  int64 // of the file
	start int64 // where in the file the triangles began
}

func newBuilder(size int64) *builder { return &builder{limit: maxCorners, size: size} }

// add keeps one triangle of a text file. done is how far the file has been read.
func (b *builder) add(p, q, r mesh.Point, line int, done int64) error {
	s := &b.soup
	if n := len(s.Corners); n+3 > cap(s.Corners) {
		if n+3 > b.limit {
			return tooMany(line, b.limit)
		}
		b.grow(done)
	}
	s.Corners = append(s.Corners, p, q, r)
	s.Source.Lines = append(s.Source.Lines, uint32(line))
	return nil
}

// grow makes room for as many triangles as the rest of the file will hold if it goes on
// as it began. Doubling would touch, copy and drop half of the memory again, and the
// first touch of fresh memory costs more than the reading.
func (b *builder) grow(done int64) {
	have := len(b.soup.Corners) / 3
	want := 256
	if have == 0 {
		b.start = done
	} else {
		rate := float64(have) / float64(max(done-b.start, 1))
		more := int(min(rate*float64(b.size-done)*1.02, float64(7*have))) + 64
		want = have + max(more, have/2)
	}
	want = min(want, b.limit/3)
	corners := make([]mesh.Point, have*3, want*3)
	lines := make([]uint32, have, want)
	copy(corners, b.soup.Corners)
	copy(lines, b.soup.Source.Lines)
	b.soup.Corners, b.soup.Source.Lines = corners, lines
}

func tooMany(line, limit int) *Error {
	return atLine(line, cureSmaller, "the model has more than %d triangles, the most that can be read", limit/3)
}

// finite tells whether no coordinate is infinite or not a number: x-x is 0 for all
// other numbers, and the sum keeps any other outcome.
func finite(p mesh.Point) bool {
	return (p[0]-p[0])+(p[1]-p[1])+(p[2]-p[2]) == 0
}

// scaled returns p in mm. The only rounding to float32 is here.
func scaled(p mesh.Point, scale float64) mesh.Point {
	for k, x := range p {
		p[k] = float32(float64(x) * scale)
	}
	return p
}

// one wraps the only model of a file.
func one(kind string, soup *mesh.Soup, notes []string) []Part {
	return []Part{{Kind: kind, Soup: soup, Notes: notes}}
}

// notFinite describes a coordinate that is no place in space.
func notFinite(x float64) string {
	if math.IsNaN(x) {
		return "not a number"
	}
	return "infinite, or too large to be a length"
}
