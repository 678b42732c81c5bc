package hang

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// daub fills a grid with a few overlapping shapes of each kind, as ledges, rings and
// rooms are made of them, and some with single cells all over. Anchors reach the rim.
func daub(r *rand.Rand) *patchGrid {
	f := &patchGrid{anchorSteps: 1 + r.IntN(3)}
	f.resize(5+r.IntN(60), 5+r.IntN(60))
	for range 1 + r.IntN(12) {
		kind := [4]uint8{unsupported, unsupported, anchorCell, empty}[r.IntN(4)]
		x, y := float64(r.IntN(f.cols)), float64(r.IntN(f.rows))
		turn, long, wide := r.Float64()*math.Pi, 1+r.Float64()*30, 1+r.Float64()*12
		round := r.IntN(3) == 0
		for i := range f.kind {
			dx, dy := float64(i%f.cols)-x, float64(i/f.cols)-y
			u, v := math.Abs(dx*math.Cos(turn)+dy*math.Sin(turn))/long, math.Abs(dy*math.Cos(turn)-dx*math.Sin(turn))/wide
			if max(u, v) <= 1 && (!round || math.Hypot(u, v) <= 1) {
				f.kind[i] = kind
			}
		}
	}
	if noise := r.IntN(3); noise > 0 {
		for range len(f.kind) / (20 * noise) {
			f.kind[r.IntN(len(f.kind))] = [3]uint8{empty, unsupported, anchorCell}[r.IntN(3)]
		}
	}
	if r.IntN(2) == 0 { // a slope, as steep as one layer a cell or less
		along, across := r.Float64()-.5, r.Float64()-.5
		for i := range f.low {
			f.low[i] = int32(1000 + along*float64(i%f.cols) + across*float64(i/f.cols))
		}
	}
	if r.IntN(2) == 0 { // steps
		f.stepCells = [maxAge + 1]int{2: 4, 3: 6, 4: 9}
		for range 1 + r.IntN(3) {
			from, deep, up := r.IntN(f.cols), 2+r.IntN(8), int32(1+r.IntN(4))
			for i := range f.low {
				if x := i % f.cols; x >= from && x < from+deep {
					f.low[i] += up
				}
			}
		}
	}
	for i := range f.kind {
		x, y := i%f.cols, i/f.cols
		if f.kind[i] == unsupported && (x == 0 || y == 0 || x == f.cols-1 || y == f.rows-1) {
			f.kind[i] = empty // nothing hangs at the rim of a grid
		}
	}
	return f
}

// twin is a plain grid of the same cells.
func twin(f *patchGrid) *plain {
	return &plain{patchGrid: &patchGrid{cols: f.cols, rows: f.rows, anchorSteps: f.anchorSteps, stepCells: f.stepCells, kind: slices.Clone(f.kind), low: slices.Clone(f.low)}}
}

// One grid is used again and again, as patches do, so that nothing of one patch may
// show in the next.
func TestBridgingAgainstPlain(t *testing.T) {
	r := dice.New(t)
	f := &patchGrid{}
	var layered, short, long, peaked, unbridged int
	for range 1000 {
		next := daub(r)
		f.resize(next.cols, next.rows)
		f.anchorSteps, f.stepCells = next.anchorSteps, next.stepCells
		copy(f.kind, next.kind)
		copy(f.low, next.low)
		p := twin(f)
		f.listCells()
		f.measureDistances(f.cells, anchorCell)
		p.measureFar(func(k uint8) bool { return k == anchorCell })
		for _, i := range beside(f) {
			require.Equal(t, p.far[i], f.far[i])
		}
		directions := f.directions()
		require.Equal(t, p.directions(), directions)
		least, carry := float32(r.IntN(5)), float32(r.IntN(30))
		again := p.bridgeOver(least, carry)
		require.Equal(t, again, f.bridgeOver(least, carry))
		require.Equal(t, p.kind, f.kind)
		for _, i := range f.cells {
			require.Equal(t, p.span[i], f.span[i])
		}
		f.measureDistances(f.left, longBridge)
		p.measureFar(func(k uint8) bool { return k >= longBridge })
		for _, i := range f.left {
			require.Equal(t, p.far[i], f.far[i])
		}
		layered, peaked = layered+count(again), peaked+count(len(directions) > 180/directionStep)
		short, long = short+count(slices.Contains(f.kind, shortBridge)), long+count(slices.Contains(f.kind, longBridge))
		unbridged += count(len(f.left) > 0)
	}
	t.Logf("layered %d, short %d, long %d, with directions of their own %d, not all bridged %d", layered, short, long, peaked, unbridged)
	assert.Greater(t, min(layered, short, long, peaked, unbridged), 50, "every case is met")
}

func count(is bool) int {
	if is {
		return 1
	}
	return 0
}

func TestWhatHangsIsListed(t *testing.T) {
	r := dice.New(t)
	for range 200 {
		f := daub(r)
		f.listCells()
		var want []int32
		for i, k := range f.kind {
			if k == unsupported {
				want = append(want, int32(i))
			}
		}
		require.Equal(t, want, append([]int32(nil), f.cells...))
		require.Equal(t, f.cells, f.left)
		f.measureDistances(f.cells, anchorCell)
		f.bridgeOver(1, float32(r.IntN(20)))
		want = nil
		for i, k := range f.kind {
			if k == unsupported {
				want = append(want, int32(i))
			}
		}
		require.Equal(t, want, append([]int32(nil), f.left...), "what no bridge line crosses stays listed")
	}
}
