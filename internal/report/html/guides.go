package html

import (
	"strconv"
	"strings"

	"printlint/internal/draw"
)

// guideLines are the guides of a picture as a drawing has them.
type guideLines struct {
	Corner [2]string // where the axes meet
	Axes   []axis
	Bar    [3]string // left end, right end and height
	Length string
	Arrow  string // a path; empty where nothing turns
	Head   string // of the arrow
	Feet   []foot
}

type axis struct{ Name, X, Y, TextX, TextY string }

type foot struct{ Outline, Plumb, X, Y string }

// newGuides lays out the guides of a picture.
func newGuides(e *draw.Encoded) *guideLines {
	const rim = 34.0
	g := &guideLines{Corner: [2]string{tenth(rim), tenth(float64(e.Height) - rim)}, Length: strconv.FormatFloat(e.Bar, 'f', -1, 64) + " mm"}
	for i, a := range e.Axes {
		g.Axes = append(g.Axes, axis{"xyz"[i : i+1], tenth(a[0]), tenth(a[1]), tenth(1.3 * a[0]), tenth(1.3*a[1] + 4)})
	}
	long := e.Bar * e.Scale
	g.Bar = [3]string{tenth(float64(e.Width) - 14 - long), tenth(float64(e.Width) - 14), tenth(float64(e.Height) - 12)}
	if n := len(e.Arrow); n > 1 {
		g.Arrow = line(e.Arrow[:n-1])
		g.Head = head(e.Arrow[n-2], e.Arrow[n-1])
	}
	for _, f := range e.Feet {
		own := foot{Plumb: line([][2]float64{f.Weight, f.Below}), X: tenth(f.Below[0]), Y: tenth(f.Below[1])}
		if len(f.Outline) > 2 {
			own.Outline = line(f.Outline) + "Z"
		}
		g.Feet = append(g.Feet, own)
	}
	return g
}

// line writes points as a path.
func line(points [][2]float64) string {
	var b strings.Builder
	for i, p := range points {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		b.WriteString(letter + tenth(p[0]) + " " + tenth(p[1]))
	}
	return b.String()
}

// head is the head of an arrow that ends at a point, coming from another.
func head(from, to [2]float64) string {
	x, y := to[0]-from[0], to[1]-from[1]
	long := max(abs(x)+abs(y), 1e-9)
	x, y = 14*x/long, 14*y/long
	return line([][2]float64{{to[0] + x, to[1] + y}, {from[0] - y, from[1] + x}, {from[0] + y, from[1] - x}}) + "Z"
}

func abs(x float64) float64 { return max(x, -x) }
