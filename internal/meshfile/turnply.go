package meshfile

import (
	"bytes"
	"encoding/binary"
	"math"

	"printlint/internal/mesh"
)

// plyPlaces are where in the rows of an element points and normals stand, by axis; -1 where
// they do not.
type plyPlaces struct{ point, normal [3]int }

func placesOf(e *plyElement) plyPlaces {
	if e.name != "vertex" {
		return plyPlaces{[3]int{-1, -1, -1}, [3]int{-1, -1, -1}}
	}
	at := func(prefix string) [3]int {
		return [3]int{e.find(false, prefix+"x"), e.find(false, prefix+"y"), e.find(false, prefix+"z")}
	}
	return plyPlaces{at(""), at("n")}
}

// turnPLY turns points and normals, in text as in binary files.
func turnPLY(data []byte, t *turner) ([]byte, error) {
	t.settle(1)
	r := &plyReader{text: newText(bytes.NewReader(data), Options{Scale: 1})}
	if r.header(); r.err != nil {
		return nil, r.err
	}
	for i := range r.elements {
		e := &r.elements[i]
		for _, k := range placesOf(e).point {
			if k >= 0 && !e.properties[k].kind.point {
				return nil, &Error{Problem: "its points are whole numbers, which a turn would round", Cure: "export the model again with coordinates of the type float"}
			}
		}
	}
	if r.order == nil {
		return r.turnText(data, t)
	}
	out := bytes.Clone(data)
	offset := int(r.done())
	for i := range r.elements {
		e := &r.elements[i]
		if offset = r.turnRows(out, offset, e, t); offset < 0 {
			return nil, &Error{Problem: "the file ends in its rows", Cure: cureAgain}
		}
	}
	return out, nil
}

// turnRows turns the binary rows of an element, and returns where they end; -1 where the
// file ends first.
func (r *plyReader) turnRows(data []byte, offset int, e *plyElement, t *turner) int {
	places := placesOf(e)
	at := make([]int, len(e.properties))
	for range e.rows {
		for k := range e.properties {
			p := &e.properties[k]
			at[k] = offset
			size := int(p.kind.size)
			if p.list {
				if offset+int(p.count.size) > len(data) {
					return -1
				}
				count := int(p.count.value(data[offset:], r.order))
				offset += int(p.count.size)
				size *= count
			}
			if offset += size; size < 0 || offset > len(data) {
				return -1
			}
		}
		r.turnRow(data, at, e, places.point, t, false)
		r.turnRow(data, at, e, places.normal, t, true)
	}
	return offset
}

// turnRow turns three numbers of a row, which begin at the given bytes.
func (r *plyReader) turnRow(data []byte, at []int, e *plyElement, places [3]int, t *turner, normal bool) {
	var x [3]float64
	for axis, k := range places {
		if k < 0 || !e.properties[k].kind.point {
			return
		}
		x[axis] = e.properties[k].kind.value(data[at[k]:], r.order)
	}
	v := t.of(mesh.Vec{X: x[0], Y: x[1], Z: x[2]}, normal)
	for axis, y := range [3]float64{v.X, v.Y, v.Z} {
		put(data[at[places[axis]]:], e.properties[places[axis]].kind, r.order, y)
	}
}

// put writes a number with a point.
func put(b []byte, kind plyType, order binary.ByteOrder, x float64) {
	if kind.size == 8 {
		order.PutUint64(b, math.Float64bits(x+0))
		return
	}
	order.PutUint32(b, math.Float32bits(float32(x)+0))
}

// turnText turns the rows of a text file.
func (r *plyReader) turnText(data []byte, t *turner) ([]byte, error) {
	w := newWordWriter(data)
	w.pos = int(r.done())
	next := func() []byte { return w.next(false, false) }
	for i := range r.elements {
		e := &r.elements[i]
		places := placesOf(e)
		for range e.rows {
			if !w.turnRow(e, places, t, next) {
				return nil, &Error{Problem: "the file ends in its rows", Cure: cureAgain}
			}
		}
	}
	return w.end()
}

// turnRow reads a row twice: for its numbers, and to write them turned. It is false where
// the file ends first.
func (w *wordWriter) turnRow(e *plyElement, places plyPlaces, t *turner, next func() []byte) bool {
	values := make([]float64, len(e.properties))
	start := w.pos
	if !w.row(e, next, func(k int, word []byte) { values[k], _ = parse64(word) }) {
		return false
	}
	turned := make(map[int]float64, 6)
	for normal, axes := range [2][3]int{places.point, places.normal} {
		if axes[0] < 0 || axes[1] < 0 || axes[2] < 0 {
			continue
		}
		v := t.of(mesh.Vec{X: values[axes[0]], Y: values[axes[1]], Z: values[axes[2]]}, normal == 1)
		turned[axes[0]], turned[axes[1]], turned[axes[2]] = v.X, v.Y, v.Z
	}
	if len(turned) == 0 {
		return true
	}
	w.pos = start
	return w.row(e, next, func(k int, word []byte) {
		if x, ok := turned[k]; ok {
			w.replace(word, x+0)
		}
	})
}

// row goes through the words of a row and hands on those that are no list.
func (w *wordWriter) row(e *plyElement, next func() []byte, each func(k int, word []byte)) bool {
	for k := range e.properties {
		word := next()
		if word == nil {
			return false
		}
		if !e.properties[k].list {
			each(k, word)
			continue
		}
		n, ok := parseIndex(word)
		for ; ok && n > 0; n-- {
			if next() == nil {
				return false
			}
		}
	}
	return true
}
