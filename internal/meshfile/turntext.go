package meshfile

import (
	"bytes"
	"strconv"

	"printlint/internal/mesh"
)

// wordWriter goes through a text word by word and writes it again, with some words changed.
type wordWriter struct {
	data []byte
	pos  int // of the next byte to look at
	done int // up to here everything is in out
	out  []byte
	err  error
}

func newWordWriter(data []byte) *wordWriter {
	return &wordWriter{data: data, out: make([]byte, 0, len(data)+len(data)/8)}
}

// next steps to the next word, or, where inLine is said, to the next one in the line; nil
// where there is none. A backslash at the end of a line joins it to the next where joins
// is said.
func (w *wordWriter) next(inLine, joins bool) []byte {
	for w.pos < len(w.data) {
		c := w.data[w.pos]
		switch {
		case joins && c == '\\' && w.pos+1 < len(w.data) && isEnd(w.data[w.pos+1]):
			w.pos += 2
			if w.data[w.pos-1] == '\r' && w.pos < len(w.data) && w.data[w.pos] == '\n' {
				w.pos++
			}
			continue
		case inLine && isEnd(c):
			return nil
		case !isSpace(c):
			start := w.pos
			for w.pos < len(w.data) && !isSpace(w.data[w.pos]) && !(joins && w.data[w.pos] == '\\') {
				w.pos++
			}
			return w.data[start:w.pos]
		}
		w.pos++
	}
	return nil
}

func isEnd(c byte) bool { return c == '\n' || c == '\r' }

// line steps behind the end of the line.
func (w *wordWriter) line() {
	for w.pos < len(w.data) && !isEnd(w.data[w.pos]) {
		w.pos++
	}
}

// replace writes another word for the one that next returned last.
func (w *wordWriter) replace(word []byte, x float64) {
	w.out = append(w.out, w.data[w.done:w.pos-len(word)]...)
	// Twelve digits are more than single precision keeps and fewer than would show the
	// rounding of the turn.
	w.out = strconv.AppendFloat(w.out, x, 'g', 12, 64)
	w.done = w.pos
}

// triple turns the next three words, which are a point or a normal. One that is no number
// is left, with those beside it, where it is part of a normal: readers pass over it.
func (w *wordWriter) triple(t *turner, normal bool, word func() []byte) {
	start := *w
	var x [3]float64
	for k := range x {
		v, ok := parse64(word())
		if !ok {
			if !normal {
				w.err = &Error{Problem: "a coordinate is no number", Cure: cureAgain}
			}
			return
		}
		x[k] = v
	}
	v := t.of(mesh.Vec{X: x[0], Y: x[1], Z: x[2]}, normal)
	w.pos = start.pos
	for _, y := range [3]float64{v.X, v.Y, v.Z} {
		w.replace(word(), y+0)
	}
}

// end is the whole text.
func (w *wordWriter) end() ([]byte, error) { return append(w.out, w.data[w.done:]...), w.err }

// turnTextSTL turns what follows the words normal and vertex. Names of solids stay.
func turnTextSTL(data []byte, t *turner) ([]byte, error) {
	t.settle(1)
	w := newWordWriter(data)
	anywhere := func() []byte { return w.next(false, false) }
	for word := anywhere(); word != nil && w.err == nil; word = anywhere() {
		switch {
		case isWord(word, "solid") || isWord(word, "endsolid"):
			w.name()
		case isWord(word, "normal"):
			w.triple(t, true, anywhere)
		case isWord(word, "vertex"):
			w.triple(t, false, anywhere)
		}
	}
	return w.end()
}

// name steps behind the name of a solid: the rest of the line, but for a facet in it.
func (w *wordWriter) name() {
	for {
		word := w.next(true, false)
		if word == nil {
			return
		}
		if isWord(word, "facet") {
			w.pos -= len(word)
			return
		}
	}
}

// turnOBJ turns the lines of points and normals.
func turnOBJ(data []byte, t *turner) ([]byte, error) {
	t.settle(1)
	w := newWordWriter(data)
	if bytes.HasPrefix(data, []byte(bom)) {
		w.pos = len(bom)
	}
	inLine := func() []byte { return w.next(true, true) }
	for word := w.next(false, true); word != nil && w.err == nil; word = w.next(false, true) {
		switch {
		case word[0] == '#':
			w.line() // no backslash joins a comment to the next line
			continue
		case string(word) == "v":
			w.triple(t, false, inLine)
		case string(word) == "vn":
			w.triple(t, true, inLine)
		}
		for inLine() != nil {
		}
	}
	return w.end()
}
