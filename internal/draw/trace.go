package draw

import (
	"image"
	"math"
)

// outline is a closed line through corners of cells, right-hand side inside.
type outline [][2]int32

// trace returns the outlines of the cells of a window that satisfy a test, holes
// running the other way round, in a fixed order. Coordinates are corners of cells
// within the window.
func trace(w image.Rectangle, in func(x, y int) bool) []outline {
	t := &tracer{cols: w.Max.X - w.Min.X, rows: w.Max.Y - w.Min.Y}
	t.set = make([]bool, (t.cols+2)*(t.rows+2))
	for y := range t.rows {
		for x := range t.cols {
			t.set[(y+1)*(t.cols+2)+x+1] = in(w.Min.X+x, w.Min.Y+y)
		}
	}
	t.seen = make([]bool, len(t.set))
	var list []outline
	for y := 0; y <= t.rows; y++ {
		for x := range t.cols {
			// An edge that runs right along the lower side of a set cell starts an outline.
			if t.at(x, y) && !t.at(x, y-1) && !t.seen[t.index(x, y)] {
				list = append(list, t.follow(x, y))
			}
		}
	}
	return list
}

type tracer struct {
	cols, rows int
	set        []bool
	seen       []bool // cells whose lower side is done
}

func (t *tracer) index(x, y int) int { return (y+1)*(t.cols+2) + x + 1 }

func (t *tracer) at(x, y int) bool { return t.set[t.index(x, y)] }

// The directions of an edge between cells: right, up, left, down, and for each the
// cell to its left and to its right just ahead, from the corner it starts at.
var ahead = [4]struct{ dx, dy, lx, ly, rx, ry int }{
	{1, 0, 0, 0, 0, -1},
	{0, 1, -1, 0, 0, 0},
	{-1, 0, -1, -1, -1, 0},
	{0, -1, 0, -1, -1, -1},
}

// follow walks one outline with the set cells on the left. Where two cells touch at a
// corner only, it keeps to its own.
func (t *tracer) follow(x0, y0 int) outline {
	var list outline
	x, y, d := x0, y0, 0
	for {
		if d == 0 {
			t.seen[t.index(x, y)] = true
		}
		step := &ahead[d]
		x, y = x+step.dx, y+step.dy
		turned := d
		for _, n := range [3]int{(d + 1) & 3, d, (d + 3) & 3} {
			a := &ahead[n]
			if t.at(x+a.lx, y+a.ly) && !t.at(x+a.rx, y+a.ry) {
				turned = n
				break
			}
		}
		if turned != d {
			list = append(list, [2]int32{int32(x), int32(y)})
		}
		if d = turned; x == x0 && y == y0 && d == 0 {
			return list
		}
	}
}

// slack is how far, in cells, a line may cut the corners of the cells it follows: a
// little more than one turns the steps of any slanted edge into a line.
const slack = 1.05

// simplify drops the corners of an outline that lie within slack of the line between
// those kept (U. Ramer 1972, D. Douglas and T. Peucker 1973; from memory).
func (o outline) simplify() outline {
	if len(o) < 5 {
		return o
	}
	keep := make([]bool, len(o)+1)
	// The corner farthest from the first splits the ring in two lines.
	far := 0
	for i := range o {
		if gap2(o[i], o[0]) > gap2(o[far], o[0]) {
			far = i
		}
	}
	keep[0], keep[far] = true, true
	ring := append(append(outline{}, o...), o[0])
	thin(ring, 0, far, keep)
	thin(ring, far, len(ring)-1, keep)
	var out outline
	for i := range o {
		if keep[i] {
			out = append(out, o[i])
		}
	}
	if len(out) < 3 {
		return o
	}
	return out
}

// thin keeps the farthest corner between two, and goes on from it, while it is too far.
func thin(o outline, from, to int, keep []bool) {
	best, most := -1, slack
	for i := from + 1; i < to; i++ {
		if d := offLine(o[i], o[from], o[to]); d > most {
			best, most = i, d
		}
	}
	if best >= 0 {
		keep[best] = true
		thin(o, from, best, keep)
		thin(o, best, to, keep)
	}
}

// offLine is the distance of p from the line through a and b.
func offLine(p, a, b [2]int32) float64 {
	dx, dy := float64(b[0]-a[0]), float64(b[1]-a[1])
	px, py := float64(p[0]-a[0]), float64(p[1]-a[1])
	l := length(dx, dy)
	if l == 0 {
		return length(px, py)
	}
	return math.Abs(float64(dx*py)-float64(dy*px)) / l
}

func gap2(a, b [2]int32) int64 {
	dx, dy := int64(a[0]-b[0]), int64(a[1]-b[1])
	return dx*dx + dy*dy
}
