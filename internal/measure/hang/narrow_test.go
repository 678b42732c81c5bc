package hang

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/dice"
)

// strip draws a strip of cells that begins at a wall and, where both is true, ends at one too. A cell next to the
// walls carries, and is as narrow as the strip.
func strip(f *patchGrid, turn, wide, long, aside float64, both bool) {
	const margin = 20.0
	sin, cos := math.Sincos(turn)
	f.resize(int(long*math.Abs(cos)+2*margin), int(long*math.Abs(sin)+2*margin))
	f.anchorSteps = 3
	x0 := margin
	if cos < 0 {
		x0 = float64(f.cols) - margin
	}
	for i := range f.kind {
		x, y := float64(i%f.cols)+.5-x0, float64(i/f.cols)+.5-margin
		along, across := float64(x*cos)+float64(y*sin), float64(y*cos)-float64(x*sin)-aside
		wall := math.Abs(across) < margin/2 && (along < 0 && along > -margin/2 || both && along > long && along < long+margin/2)
		switch narrow := math.Abs(across) <= wide/2 && along >= 0 && along <= long; {
		case wall, narrow && (along < 4 || both && along > long-4):
			f.kind[i] = anchorCell
		case narrow:
			f.kind[i], f.low[i] = unsupported, 1
		}
	}
	f.listCells()
	f.measureDistances(f.cells, thinAnchor)
}

// farLeft lays bridge lines over a grid, widened where it is narrow, and returns how far what is left lies from
// what holds it.
func farLeft(f *patchGrid) (most float32) {
	if f.widen(2) {
		f.measureDistances(f.cells, thinAnchor)
		f.bridgeOver(2, 100)
		f.narrow(2)
	} else {
		f.bridgeOver(2, 100)
	}
	f.measureDistances(f.left, longBridge)
	for _, at := range f.left {
		most = max(most, f.far[at])
	}
	return most
}

// The first layer of a bar with a sharp lower edge is a strip of a cell or two, in which no straight row of
// cells stays where it lies askew. It is a bridge all the same, in whatever direction, if both ends are held.
func TestStripOfACellIsBridged(t *testing.T) {
	r := dice.New(t)
	f := &patchGrid{}
	for range 400 {
		turn, wide, long, aside := r.Float64()*math.Pi, 1+2*r.Float64(), 30+270*r.Float64(), r.Float64()
		strip(f, turn, wide, long, aside, true)
		cells := len(f.cells)
		assert.LessOrEqual(t, farLeft(f), float32(2), "turned %v, %v wide, %v long, %v aside", turn, wide, long, aside)
		assert.Len(t, f.cells, cells, "what was added for the bridge lines is gone")
		strip(f, turn, wide, long, aside, false)
		assert.Greater(t, farLeft(f), float32(long-10), "held at one end: turned %v, %v wide, %v long, %v aside", turn, wide, long, aside)
	}
}

// What is clearly wider stays as it is.
func TestOnlyNarrowStripsAreWidened(t *testing.T) {
	f := &patchGrid{}
	for _, turn := range []float64{0, 0.3, math.Pi / 4, 1.2} {
		strip(f, turn, 1, 100, 0.2, true)
		assert.True(t, f.widen(2), "turned %v", turn)
		strip(f, turn, 6, 100, 0.2, true)
		cells := len(f.cells)
		assert.False(t, f.widen(2), "turned %v", turn)
		assert.Len(t, f.cells, cells)
		assert.Empty(t, f.beside)
	}
}

// The direction of an open edge is that of its cells, or of both sides of an arm, one of which is longer. Around a
// hole they lie along no line.
func TestStraightEdges(t *testing.T) {
	r := dice.New(t)
	f := &patchGrid{}
	f.resize(400, 400)
	edge := func(at func(i float64) (x, y float64), n int) (list []int32) {
		for i := range n {
			x, y := at(float64(i))
			list = append(list, int32(math.Round(y))*400+int32(math.Round(x)))
		}
		return list
	}
	for range 200 {
		turn, wide := r.Float64()*math.Pi, 5+20*r.Float64()
		sin, cos := math.Sincos(turn)
		line := func(aside float64) func(i float64) (x, y float64) {
			return func(i float64) (x, y float64) {
				return 200 + float64((i-60)*cos) - float64(aside*sin), 200 + float64((i-60)*sin) + float64(aside*cos)
			}
		}
		for _, list := range [][]int32{edge(line(0), 80), append(edge(line(0), 80), edge(line(wide), 110)...)} {
			deg, ok := f.straight(list)
			off := math.Abs(deg - turn*180/math.Pi)
			assert.True(t, ok, "turned %v, %v wide", turn, wide)
			assert.LessOrEqual(t, min(off, 180-off), 0.6, "turned %v, %v wide", turn, wide)
		}
		short, ok := f.straight(append(edge(line(0), 30), edge(line(40), 36)...))
		off := math.Abs(short - turn*180/math.Pi)
		assert.True(t, ok, "sides shorter than the arm is wide, turned %v", turn)
		assert.LessOrEqual(t, min(off, 180-off), 1.5, "sides shorter than the arm is wide, turned %v", turn)
		around := 40 + 60*r.Float64() // a smaller one is as good as straight
		rim := func(i float64) (x, y float64) {
			s, c := math.Sincos(turn + i/around)
			return 200 + float64(around*c), 200 + float64(around*s)
		}
		_, ok = f.straight(edge(rim, int(2*around)))
		assert.False(t, ok, "a third of a circle of %v cells, turned %v", around, turn)
	}
	_, ok := f.straight([]int32{1, 2, 3})
	assert.False(t, ok, "too short to tell")
}
