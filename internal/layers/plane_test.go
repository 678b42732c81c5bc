package layers

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twin is a plane as a table of booleans: slow, and plain to see right.
type twin [][]bool

func newTwin(g *Grid) twin {
	t := make(twin, g.Rows)
	for i := range t {
		t[i] = make([]bool, g.Words*64)
	}
	return t
}

func (t twin) each(f func(col, row int) bool) twin {
	n := make(twin, len(t))
	for row := range t {
		n[row] = make([]bool, len(t[row]))
		for col := range t[row] {
			n[row][col] = f(col, row)
		}
	}
	return n
}

func (t twin) at(col, row int) bool {
	return row >= 0 && row < len(t) && col >= 0 && col < len(t[row]) && t[row][col]
}

func same(t *testing.T, want twin, got *Plane, what string) {
	t.Helper()
	for row := range want {
		for col := range want[row] {
			if want[row][col] != got.Get(col, row) {
				require.Equal(t, want[row][col], got.Get(col, row), "%s: cell %d, %d", what, col, row)
			}
		}
	}
}

// random fills some stretches of a plane and its twin.
func random(r *rand.Rand, g *Grid) (*Plane, twin) {
	p, t := NewPlane(g), newTwin(g)
	for range 1 + r.IntN(12) {
		row, from := r.IntN(g.Rows), r.IntN(g.Words*64)
		to := from + r.IntN(g.Words*64-from+1)
		p.Fill(row, from, to)
		for col := from; col < to; col++ {
			t[row][col] = true
		}
	}
	return p, t
}

// round grows a twin over room, over corners in odd steps only.
func (t twin) round(room twin, from, to int) twin {
	for n := from; n < to; n++ {
		prev := t
		t = t.each(func(x, y int) bool {
			near := prev.at(x-1, y) || prev.at(x+1, y) || prev.at(x, y-1) || prev.at(x, y+1)
			if n%2 == 1 {
				near = near || prev.at(x-1, y-1) || prev.at(x+1, y-1) || prev.at(x-1, y+1) || prev.at(x+1, y+1)
			}
			return prev[y][x] || near && room[y][x]
		})
	}
	return t
}

func TestPlaneAgainstTwin(t *testing.T) {
	const seed = 11
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for _, words := range []int{1, 2, 3} {
		g := &Grid{Rows: 9, Cols: words * 64, Words: words}
		out, scratch := NewPlane(g), NewPlane(g)
		for range 300 {
			a, ta := random(r, g)
			b, tb := random(r, g)
			c, tc := random(r, g)
			same(t, ta, a, "fill")
			out.SetDifference(a, b)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] && !tb[y][x] }), out, "difference")
			out.SetFresh(a, b, c)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] && !tb[y][x] && tc[y][x] }), out, "fresh")
			grown := func(t twin) twin {
				return t.each(func(x, y int) bool {
					for dy := -1; dy <= 1; dy++ {
						for dx := -1; dx <= 1; dx++ {
							if t.at(x+dx, y+dy) {
								return true
							}
						}
					}
					return false
				})
			}
			out.SetRows(a, 2, 6)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] && y >= 2 && y < 6 }), out, "rows")
			out.SetWithout(a, 1, 8, b, c)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] && y >= 1 && y < 8 && !tb[y][x] && !tc[y][x] }), out, "without")
			out.SetUnion(2, 7, []*Plane{a, b, c})
			same(t, ta.each(func(x, y int) bool { return y >= 2 && y < 7 && (ta[y][x] || tb[y][x] || tc[y][x]) }), out, "union")
			out.SetRows(a, 0, g.Rows)
			out.And(b)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] && tb[y][x] }), out, "and")
			out.SetRows(a, 0, g.Rows)
			out.AndNot(b)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] && !tb[y][x] }), out, "and not")
			out.SetRows(a, 0, g.Rows)
			out.Or(b)
			same(t, ta.each(func(x, y int) bool { return ta[y][x] || tb[y][x] }), out, "or")
			out.SetRows(a, 0, g.Rows)
			out.GrowWithin(b, scratch, 2)
			step := ta
			for range 2 {
				next := grown(step)
				prev := step
				step = ta.each(func(x, y int) bool { return prev[y][x] || next[y][x] && tb[y][x] })
			}
			same(t, step, out, "grown within")
			assert.True(t, scratch.Empty(), "scratch is left empty")
			out.SetRows(a, 0, g.Rows)
			out.GrowRound(b, scratch, 1, 6)
			same(t, ta.round(tb, 1, 6), out, "grown round")
			assert.True(t, scratch.Empty(), "scratch is left empty")
			out.SetBeyond(a, b, 2, 7)
			near := grown(tb)
			same(t, ta.each(func(x, y int) bool { return y >= 2 && y < 7 && ta[y][x] && !near[y][x] }), out, "beyond")
			low, high := out.changedFrom(a)
			for y := range g.Rows {
				if y < low || y >= high {
					assert.Equal(t, a.Row(y), out.Row(y), "row %d lies outside of what changed, [%d, %d)", y, low, high)
				}
			}
		}
	}
}

func TestRunsAgainstTwin(t *testing.T) {
	const seed = 12
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	g := &Grid{Rows: 8, Cols: 128, Words: 2}
	for range 300 {
		p, tw := random(r, g)
		runs := p.AppendRuns(nil)
		back, count := newTwin(g), 0
		for i, run := range runs {
			assert.Less(t, run.From, run.To)
			if i > 0 && runs[i-1].Row == run.Row {
				assert.Less(t, runs[i-1].To, run.From, "runs in a row lie apart and in order")
			}
			for col := run.From; col < run.To; col++ {
				back[run.Row][col] = true
				count++
			}
		}
		same(t, back, p, "runs")
		assert.Equal(t, count, p.Count())
		assert.Equal(t, count == 0, p.Empty())
		from, to := r.IntN(60), 61+r.IntN(60)
		in := 0
		for col := from; col < to; col++ {
			if tw[3][col] {
				in++
			}
		}
		assert.Equal(t, in, p.CountIn(3, from, to))
		sets, n, holes := Label(runs, nil)
		assert.Equal(t, pieces(tw), n, "connected pieces, corners included")
		assert.Equal(t, holesOf(tw), holes, "empty cells shut in sideways")
		for i := range sets {
			assert.LessOrEqual(t, sets.Root(int32(i)), int32(i))
		}
	}
}

// pieces counts connected pieces by flooding.
func pieces(t twin) int {
	seen, n := t.each(func(int, int) bool { return false }), 0
	var flood func(x, y int)
	flood = func(x, y int) {
		if !t.at(x, y) || seen[y][x] {
			return
		}
		seen[y][x] = true
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				flood(x+dx, y+dy)
			}
		}
	}
	for y := range t {
		for x := range t[y] {
			if t[y][x] && !seen[y][x] {
				n++
				flood(x, y)
			}
		}
	}
	return n
}

// holesOf counts, by flooding sideways only, the bodies of empty cells that do not reach
// what lies around the plane.
func holesOf(t twin) int {
	rows, cols := len(t)+2, len(t[0])+2
	seen, n := make([]bool, rows*cols), -1 // what lies around is none
	for at := range seen {
		if !seen[at] && !t.at(at%cols-1, at/cols-1) {
			n++
			flood([]int{at}, func(x, y int) bool {
				if x < 0 || y < 0 || x >= cols || y >= rows || seen[y*cols+x] || t.at(x-1, y-1) {
					return false
				}
				seen[y*cols+x] = true
				return true
			}, cols)
		}
	}
	return n
}

// flood asks take for cells and goes on sideways from those it takes.
func flood(queue []int, take func(x, y int) bool, cols int) {
	for len(queue) > 0 {
		at := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if x, y := at%cols, at/cols; take(x, y) {
			queue = append(queue, y*cols+max(x-1, 0), y*cols+min(x+1, cols-1), (y+1)*cols+x)
			if y > 0 {
				queue = append(queue, (y-1)*cols+x)
			}
		}
	}
}

func TestNearRunsAgainstPairs(t *testing.T) {
	const seed = 13
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	g := &Grid{Rows: 8, Cols: 128, Words: 2}
	for range 300 {
		p, _ := random(r, g)
		q, _ := random(r, g)
		as, bs := p.AppendRuns(nil), q.AppendRuns(nil)
		for d := range int32(3) {
			got := map[[2]int]int{}
			EachNear(as, bs, d, func(a, b int) { got[[2]int{a, b}]++ })
			want := map[[2]int]int{}
			for i, a := range as {
				for j, b := range bs {
					if max(a.Row-b.Row, b.Row-a.Row) <= d && a.From < b.To+d && b.From < a.To+d {
						want[[2]int{i, j}] = 1
					}
				}
			}
			assert.Equal(t, want, got)
		}
	}
}
