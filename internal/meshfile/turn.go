package meshfile

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"slices"
	"strings"

	"printlint/internal/mesh"
)

// turner takes the coordinates of one file, in its own unit, from how it lies to how it
// shall lie.
type turner struct {
	corners  []mesh.Point // of the model, in mm
	rotation [9]float64
	shift    mesh.Vec
}

// rewriters write the bytes of a file again with its coordinates turned, by kind.
var rewriters = map[string]func(data []byte, t *turner) ([]byte, error){
	"stl": turnSTL, "stl-ascii": turnTextSTL, "obj": turnOBJ, "ply": turnPLY, "ply-ascii": turnPLY, "3mf": turn3MF,
}

// Turns says that files of a kind can be written again turned.
func Turns(kind string) bool { return rewriters[kind] != nil }

// WriteTurned writes a file that holds one model once more, turned by a rotation given row
// by row, so that its lowest point lies at z = 0 and its middle stays where it was in x and
// y. Format and unit stay, and everything in the file that is no coordinate or normal. The
// error is an *Error where the file cannot be written so.
func WriteTurned(w io.Writer, name string, in Input, rotation [9]float64) error {
	parts, err := Read(name, in, Options{})
	if err != nil {
		return err
	}
	const elsewhere = "write it to another folder with advise --write"
	models := 0
	for i := range parts {
		if parts[i].Skip == "" {
			models++
		}
	}
	switch {
	case models != 1:
		return inFile(elsewhere, "the file holds %d models, and each may need another turn", models)
	case len(parts) > 1:
		return inFile(elsewhere, "the file also holds a part that is no model, such as support, which would not fit the turned model")
	}
	p := &parts[0]
	if err := p.Load(); err != nil {
		return err
	}
	switch {
	case !Turns(p.Kind):
		return inFile(elsewhere, "a file of the kind %s cannot be written again as it was", strings.ToUpper(p.Kind))
	case slices.ContainsFunc(p.Notes, func(n string) bool { return strings.HasPrefix(n, movedWords) }):
		return &Error{Problem: movedWords, Cure: "move it to the origin and export it again"}
	}
	data := make([]byte, in.Size())
	if err := readFull(in, data, 0); err != nil {
		return err
	}
	out, err := rewriters[p.Kind](data, &turner{corners: p.Triangles.Corners, rotation: rotation})
	if err != nil {
		return err
	}
	_, err = w.Write(out)
	return err
}

// settle finds the shift behind the rotation, in units of the file; factor is how many of
// them are one mm.
func (t *turner) settle(factor float64) {
	before, after := mesh.EmptyBox(), mesh.EmptyBox()
	for _, c := range t.corners {
		v := mesh.Of64(c)
		before.Include(v)
		after.Include(mesh.Turn(&t.rotation, v))
	}
	t.shift = mesh.Vec{
		X: factor * (before.Min.X + before.Max.X - after.Min.X - after.Max.X) / 2,
		Y: factor * (before.Min.Y + before.Max.Y - after.Min.Y - after.Max.Y) / 2,
		Z: factor * -after.Min.Z,
	}
}

// turnSTL turns the 50 bytes of each triangle: normal, three corners, and two bytes that stay.
func turnSTL(data []byte, t *turner) ([]byte, error) {
	t.settle(1)
	out := bytes.Clone(data)
	for i := range stlCount(data) {
		record := out[stlHeader+stlTriangle*i:]
		for k := range 4 {
			turnFloats(record[12*k:], t, k == 0)
		}
	}
	return out, nil
}

// turnFloats turns three little-endian numbers of single precision in their place.
func turnFloats(b []byte, t *turner, normal bool) {
	get := func(k int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[4*k:]))) }
	v := t.of(mesh.Vec{X: get(0), Y: get(1), Z: get(2)}, normal)
	for k, x := range [3]float64{v.X, v.Y, v.Z} {
		binary.LittleEndian.PutUint32(b[4*k:], math.Float32bits(float32(x)+0)) // + 0 makes -0 0
	}
}

// of turns a normal or a point.
func (t *turner) of(v mesh.Vec, normal bool) mesh.Vec {
	if v = mesh.Turn(&t.rotation, v); normal {
		return v
	}
	return v.Add(t.shift)
}
