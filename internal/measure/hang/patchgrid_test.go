package hang

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// draw makes a grid from a picture: '#' carries, 'o' hangs, '.' is empty. The
// picture must leave a margin of one cell.
func draw(rows ...string) *patchGrid {
	f := &patchGrid{anchorSteps: 1}
	f.resize(len(rows[0]), len(rows))
	for y, row := range rows {
		for x, c := range row {
			switch c {
			case '#':
				f.kind[y*f.cols+x] = anchorCell
			case 'o':
				f.kind[y*f.cols+x] = unsupported
			}
		}
	}
	f.listCells()
	f.measureDistances(f.cells, anchorCell)
	return f
}

// picture is the inverse of draw after bridging: 's' is a long bridge line, 'b' a short one.
func (f *patchGrid) picture() []string {
	rows := make([]string, f.rows)
	for y := range rows {
		b := make([]byte, f.cols)
		for x := range b {
			b[x] = ".ost#b"[f.kind[y*f.cols+x]]
		}
		rows[y] = string(b)
	}
	return rows
}

// scatter fills a grid at random.
func scatter(r *rand.Rand, cols, rows int) *patchGrid {
	f := &patchGrid{anchorSteps: 1}
	f.resize(cols, rows)
	for y := 1; y < rows-1; y++ {
		for x := 1; x < cols-1; x++ {
			switch v := r.IntN(10); {
			case v < 6:
				f.kind[y*cols+x] = unsupported
			case v < 7:
				f.kind[y*cols+x] = anchorCell
			}
		}
	}
	return f
}

// beside lists the cells that hang and the four beside each: where distances are known.
func beside(f *patchGrid) (list []int) {
	for _, c := range f.cells {
		i := int(c)
		list = append(list, i, i-1, i+1, i-f.cols, i+f.cols)
	}
	return list
}

func TestDistancesAgainstBruteForce(t *testing.T) {
	r := dice.New(t)
	for range 200 {
		f := scatter(r, 3+r.IntN(30), 3+r.IntN(30))
		f.listCells()
		f.measureDistances(f.cells, anchorCell)
		for _, i := range beside(f) {
			want := math.Inf(1)
			for j, k := range f.kind {
				if k == anchorCell {
					want = min(want, math.Hypot(float64(i%f.cols-j%f.cols), float64(i/f.cols-j/f.cols)))
				}
			}
			if math.IsInf(want, 1) {
				require.Equal(t, float32(unreached), f.far[i])
			} else {
				require.InDelta(t, want, float64(f.far[i]), 1e-4)
			}
		}
	}
}

func TestWideAgainstRelaxation(t *testing.T) {
	r := dice.New(t)
	for range 300 {
		f := scatter(r, 4+r.IntN(12), 4+r.IntN(12))
		before := append([]uint8(nil), f.kind...)
		steps := r.IntN(5)
		reached := make([]bool, len(f.kind))
		for i, k := range f.kind {
			reached[i] = k == anchorCell
		}
		for range steps {
			next := append([]bool(nil), reached...)
			for i, k := range f.kind {
				for j := range f.kind {
					near := max(i%f.cols-j%f.cols, j%f.cols-i%f.cols, i/f.cols-j/f.cols, j/f.cols-i/f.cols) <= 1
					if k == unsupported && reached[j] && near {
						next[i] = true
					}
				}
			}
			reached = next
		}
		want := false
		for i, k := range f.kind {
			want = want || k == unsupported && !reached[i]
		}
		assert.Equal(t, want, f.wide(steps))
		assert.Equal(t, before, f.kind, "looking changes nothing")
	}
}

// Each cell lies on exactly one line of a direction, whatever the direction: a grid
// that hangs everywhere between anchors all round is crossed once a cell.
func TestLinesTileTheField(t *testing.T) {
	for deg := 0.0; deg < 180; deg += 7.3 {
		f := &patchGrid{anchorSteps: 1}
		f.resize(23, 17)
		for i := range f.kind {
			x, y := i%f.cols, i/f.cols
			f.kind[i] = unsupported
			if x == 0 || y == 0 || x == f.cols-1 || y == f.rows-1 {
				f.kind[i] = anchorCell
			}
		}
		count := make([]int, len(f.kind))
		f.listCells()
		f.listEntries()
		f.eachBridgeLine(deg, func(c *bridgeLine) {
			for _, at := range c.steps {
				count[c.base+at]++
			}
		})
		for i, k := range f.kind {
			want := 0
			if k == unsupported {
				want = 1
			}
			require.Equal(t, want, count[i], "direction %g, cell %d", deg, i)
		}
	}
}

func TestBridgeLineNeedsALineToAnchorOn(t *testing.T) {
	f := draw(
		".......",
		".#ooo##",
		".......")
	f.anchorSteps = 2
	assert.False(t, f.bridgeOver(1, 10), "no later round")
	assert.Equal(t, ".#ooo##", f.picture()[1], "one cell of anchor is not enough at the left")
	f = draw(
		"........",
		"##ooo##.",
		"........")
	f.anchorSteps = 2
	f.bridgeOver(1, 10)
	assert.Equal(t, "##bbb##.", f.picture()[1])
	assert.Equal(t, float32(3), f.span[1*8+3])
}

// Two anchors at the ends of one side: the strip between them is crossed first, and
// only if it is short enough to carry does the rest follow.
func TestShortBridgesCarry(t *testing.T) {
	deck := func() *patchGrid {
		return draw(
			"..........",
			".#oooooo#.",
			".oooooooo.",
			".#oooooo#.",
			"..........")
	}
	f := deck()
	assert.True(t, f.bridgeOver(1, 7), "the middle rests on the strips")
	assert.Equal(t, []string{".#bbbbbb#.", ".bbbbbbbb.", ".#bbbbbb#."}, f.picture()[1:4])
	f = deck()
	f.bridgeOver(1, 2)
	assert.Equal(t, ".#ssssss#.", f.picture()[1], "long bridges cross but carry nothing")
}

// A piece takes one direction for its long bridge lines: that which leaves least of it,
// and among equals the one whose longest bridge line is shortest.
func TestLongBridgesTakeOneDirection(t *testing.T) {
	f := draw(
		"..............",
		".############.",
		".#oooooooooo#.",
		".#oooooooooo#.",
		".#oooooooooo#.",
		".#oooooooooo#.",
		".############.",
		"..............")
	f.bridgeOver(1, 3)
	for i, k := range f.kind {
		if k == longBridge {
			assert.LessOrEqual(t, f.span[i], float32(6), "across, or at most on a slant, never along")
		}
		assert.NotEqual(t, uint8(unsupported), k)
	}
}

func TestDirectionsStandOut(t *testing.T) {
	var votes [180]float64
	assert.Empty(t, strongest(votes))
	for i := range votes {
		votes[i] = 5
	}
	assert.Empty(t, strongest(votes), "a round patch climbs everywhere alike")
	votes[37], votes[38], votes[127] = 300, 300, 200
	list := strongest(votes)
	require.Len(t, list, 2)
	assert.InDelta(t, 37.5, list[0], 0.6)
	assert.InDelta(t, 127, list[1], 0.5)
	assert.True(t, listed([]float64{179.5}, 0.4), "half a turn is none")
}

func TestCoarseGridKeepsItsSeamOfAnchors(t *testing.T) {
	f := draw(
		"........",
		"........",
		"..####..",
		".#oooo#.",
		".#oooo#.",
		"..####..",
		"........",
		"........")
	f.coarsen(2)
	assert.Equal(t, []string{"....", "####", "####", "...."}, f.picture())
}

// A line between two anchors is a bridge where it is laid in one layer; where its ends hang
// layers apart, the second is laid when the first has long begun.
func TestBridgeLinesAreLaidInOneLayer(t *testing.T) {
	for rise, bridged := range []bool{true, true, false, false} {
		f := draw(
			"............",
			".##oooooo##.",
			".##oooooo##.",
			"............",
		)
		for _, i := range f.cells {
			f.low[i] = int32(7 + rise*((int(i)%f.cols-3)/3))
		}
		f.bridgeOver(1, 20)
		if bridged {
			assert.Empty(t, f.left, "%d layers", rise)
		} else {
			assert.Len(t, f.left, 12, "%d layers", rise)
		}
	}
}

func TestThinAnchorsAreMarked(t *testing.T) {
	f := draw(
		"...............",
		".###oooooooo##.",
		".###oooooooo##.",
		".###oooooooo##.",
		"...............",
	)
	f.markThin(3)
	assert.Equal(t, ".###oooooooott.", f.picture()[2])
	f.low[2*f.cols+4] = 5
	f.coarsen(2)
	assert.Equal(t, []string{"##oooot", "##oooot"}, f.picture())
	assert.EqualValues(t, 0, f.low[2], "the lowest of its cells that hang")
}
