package draw

import (
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// filled says whether the middle of a cell lies inside outlines, by counting the edges to
// its left: the even-odd rule that the drawings are filled by.
func filled(list []outline, x, y float64) bool {
	in := false
	for _, o := range list {
		for i := range o {
			a, b := o[i], o[(i+1)%len(o)]
			ay, by := float64(a[1]), float64(b[1])
			if (ay > y) == (by > y) {
				continue
			}
			at := float64(a[0]) + (y-ay)/(by-ay)*float64(b[0]-a[0])
			if at < x {
				in = !in
			}
		}
	}
	return in
}

// TestTraceFillsTheSameCells traces random cells and fills the outlines again.
func TestTraceFillsTheSameCells(t *testing.T) {
	r := random(t)
	for round := range 300 {
		cols, rows := 1+r.IntN(14), 1+r.IntN(14)
		density := 1 + r.IntN(9)
		set := make([]bool, cols*rows)
		for i := range set {
			set[i] = r.IntN(10) < density
		}
		list := trace(image.Rect(0, 0, cols, rows), func(x, y int) bool { return set[y*cols+x] })
		for y := range rows {
			for x := range cols {
				require.Equal(t, set[y*cols+x], filled(list, float64(x)+0.5, float64(y)+0.5), "round %d, cell %d, %d", round, x, y)
			}
		}
	}
}

// TestTraceGoesRound holds the direction: outlines run with the cells on their left, and
// holes the other way, so that their areas add up.
func TestTraceGoesRound(t *testing.T) {
	ring := func(x, y int) bool { return x < 5 && y < 5 && !(x == 2 && y == 2) }
	list := trace(image.Rect(0, 0, 8, 8), ring)
	require.Len(t, list, 2)
	sum := 0.0
	for _, o := range list {
		sum += area(o)
		assert.Len(t, o, 4, "corners alone")
	}
	assert.Equal(t, 24.0, sum)
}

func area(o outline) float64 {
	sum := 0.0
	for i := range o {
		a, b := o[i], o[(i+1)%len(o)]
		sum += float64(a[0])*float64(b[1]) - float64(b[0])*float64(a[1])
	}
	return sum / 2
}

// TestCellsThatMeetAtACorner are two outlines, not one that crosses itself.
func TestCellsThatMeetAtACorner(t *testing.T) {
	list := trace(image.Rect(0, 0, 2, 2), func(x, y int) bool { return x == y })
	sum := 0.0
	for _, o := range list {
		sum += area(o)
	}
	assert.Equal(t, 2.0, sum)
	assert.True(t, filled(list, 0.5, 0.5) && filled(list, 1.5, 1.5) && !filled(list, 0.5, 1.5))
}

// TestTraceOfAWindow holds that what lies outside of a window is not asked for.
func TestTraceOfAWindow(t *testing.T) {
	list := trace(image.Rect(10, 20, 13, 22), func(x, y int) bool {
		assert.True(t, x >= 10 && x < 13 && y >= 20 && y < 22)
		return true
	})
	require.Len(t, list, 1)
	assert.Equal(t, 6.0, area(list[0]))
	assert.Empty(t, trace(image.Rect(0, 0, 3, 3), func(int, int) bool { return false }))
}

// TestSimplifyStaysClose holds that no dropped corner lies farther than the slack from
// what is left, and that slanted edges become lines.
func TestSimplifyStaysClose(t *testing.T) {
	disc := func(x, y int) bool { return (x-50)*(x-50)+(y-50)*(y-50) < 45*45 }
	wedge := func(x, y int) bool { return 3*y < x }
	for name, in := range map[string]func(x, y int) bool{"disc": disc, "wedge": wedge} {
		list := trace(image.Rect(0, 0, 100, 100), in)
		require.Len(t, list, 1, name)
		short := list[0].simplify()
		assert.Less(t, len(short), len(list[0])/3, name)
		for _, p := range list[0] {
			near := 1e9
			for i := range short {
				near = min(near, toSegment(p, short[i], short[(i+1)%len(short)]))
			}
			assert.LessOrEqual(t, near, slack+1e-9, name)
		}
		assert.InDelta(t, area(list[0]), area(short), 0.05*area(list[0]), name)
	}
	square := outline{{0, 0}, {9, 0}, {9, 9}, {0, 9}}
	assert.Equal(t, square, square.simplify())
	sliver := outline{{0, 0}, {9, 0}, {9, 1}, {5, 1}, {5, 2}, {4, 2}, {4, 1}, {0, 1}}
	assert.GreaterOrEqual(t, len(sliver.simplify()), 3)
}

// toSegment is the distance of a point from a stretch of line.
func toSegment(p, a, b [2]int32) float64 {
	dx, dy := float64(b[0]-a[0]), float64(b[1]-a[1])
	px, py := float64(p[0]-a[0]), float64(p[1]-a[1])
	s := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		s = max(0, min(1, (px*dx+py*dy)/l))
	}
	return length(px-s*dx, py-s*dy)
}
