package coupon

import (
	"math"

	"printlint/internal/mesh"
)

// numerals are drawn in cells, top row first; all are five cells high. No two cells meet in
// a corner alone, so that each numeral is one body with a wall of one cell everywhere.
var numerals = map[rune][5]string{
	'0': {"###", "#.#", "#.#", "#.#", "###"},
	'1': {"##.", ".#.", ".#.", ".#.", "###"},
	'2': {"###", "..#", "###", "#..", "###"},
	'3': {"###", "..#", "###", "..#", "###"},
	'4': {"#.#", "#.#", "###", "..#", "..#"},
	'5': {"###", "#..", "###", "..#", "###"},
	'6': {"###", "#..", "###", "#.#", "###"},
	'7': {"###", "..#", "..#", "..#", "..#"},
	'8': {"###", "#.#", "###", "#.#", "###"},
	'9': {"###", "#.#", "###", "..#", "###"},
	'.': {".", ".", ".", ".", "#"},
}

const (
	numeralHigh = 5 // cells
	// strokes is how many lines of plastic a cell is wide. Judgement: two lines, and a
	// quarter of one so that rounding never leaves room for one only.
	strokes = 2.25
	// raised is how many layers a numeral stands out; two are the least that shows, one
	// more is judgement.
	raised = 3
)

// stroke is the width of the lines that numerals are drawn with.
func stroke(line float64) float64 { return strokes * line }

// labelled puts the number on the plate, from x on, and returns where the free room begins.
// The numerals stand on the plate and not on what is tried, so that they can be read on a
// piece that failed.
func (b *builder) labelled(text string, x float64) float64 {
	cell := stroke(b.line)
	x += cell
	y := (b.broad - numeralHigh*cell) / 2
	for _, r := range text {
		rows := numerals[r]
		b.numeral(rows, x, y, cell)
		x += float64(len(rows[0])+1) * cell
	}
	return x
}

// numeral adds one of them, rooted in the plate.
func (b *builder) numeral(rows [5]string, x, y, cell float64) {
	low, top := b.floor/2, b.floor+raised*b.layer
	filled := func(i, j int) bool {
		return j >= 0 && j < numeralHigh && i >= 0 && i < len(rows[0]) && rows[numeralHigh-1-j][i] == '#'
	}
	for j := range numeralHigh {
		for i := range len(rows[0]) {
			if !filled(i, j) {
				continue
			}
			x0, y0 := x+float64(i)*cell, y+float64(j)*cell
			x1, y1 := x+float64(i+1)*cell, y+float64(j+1)*cell
			b.quad(mesh.Vec{X: x0, Y: y0, Z: top}, mesh.Vec{X: x1, Y: y0, Z: top}, mesh.Vec{X: x1, Y: y1, Z: top}, mesh.Vec{X: x0, Y: y1, Z: top})
			b.quad(mesh.Vec{X: x0, Y: y0, Z: low}, mesh.Vec{X: x0, Y: y1, Z: low}, mesh.Vec{X: x1, Y: y1, Z: low}, mesh.Vec{X: x1, Y: y0, Z: low})
			for _, s := range []struct {
				shut           bool
				ax, ay, bx, by float64
			}{{filled(i, j-1), x0, y0, x1, y0}, {filled(i+1, j), x1, y0, x1, y1}, {filled(i, j+1), x1, y1, x0, y1}, {filled(i-1, j), x0, y1, x0, y0}} {
				if !s.shut {
					b.quad(mesh.Vec{X: s.ax, Y: s.ay, Z: low}, mesh.Vec{X: s.bx, Y: s.by, Z: low}, mesh.Vec{X: s.bx, Y: s.by, Z: top}, mesh.Vec{X: s.ax, Y: s.ay, Z: top})
				}
			}
			b.volume += cell * cell * raised * b.layer
		}
	}
}

// quad adds a flat face of four corners.
func (b *builder) quad(p, q, r, s mesh.Vec) {
	b.triangle(p, q, r)
	b.triangle(p, r, s)
}

// lift is the height of whole layers that comes to at least z.
func lift(z, layer float64) float64 { return math.Ceil(z/layer-1e-9) * layer }
