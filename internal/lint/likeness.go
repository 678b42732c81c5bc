package lint

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"printlint/internal/alike"
	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/verdict"
)

// sameFile is the likeness of a model whose file holds the same bytes.
func sameFile() finding.Likeness {
	return finding.Likeness{Became: finding.SameShape, Factor: 1, Words: "the same shape, from a file of the same bytes"}
}

// unknownShape says why it could not be told what a shape became.
func unknownShape(why string) finding.Likeness {
	return finding.Likeness{Became: finding.Unknown, Factor: 1, Words: "not known whether it is the same shape: " + why}
}

// likenessOf puts into a report what a shape became.
func likenessOf(r *alike.Result) finding.Likeness {
	l := finding.Likeness{
		Became: finding.OtherShape, Factor: roundFactor(r.Factor), Mirrored: r.Mirrors(), Moved: verdict.Point(r.Shift),
		Within: finding.Round(r.Within), Points: r.Points, Inverted: r.Inverted,
	}
	if r.Same {
		l.Became = finding.SameShape
	}
	angle, axis := turnOf(&r.M)
	l.Turned, l.Axis = finding.Round(angle), verdict.Point(axis)
	l.Words = likenessWords(&l, &r.Placement)
	return l
}

// roundFactor cuts a factor to six digits, or leaves it where it is that of a unit.
func roundFactor(f float64) float64 {
	if u, ok := alike.Unit(f); ok {
		return u
	}
	if !(f > 0) {
		return 1
	}
	step := math.Pow(10, math.Floor(math.Log10(f))-5)
	return math.Round(f/step) * step
}

// turnOf is the turn, in degrees about an axis, that a rotation is; of one that mirrors, what
// is left of it when all three axes are mirrored.
func turnOf(m *[9]float64) (deg float64, axis mesh.Vec) {
	r := *m
	if (&alike.Placement{M: r}).Mirrors() {
		for i := range r {
			r[i] = -r[i]
		}
	}
	cos := (r[0] + r[4] + r[8] - 1) / 2
	skew := mesh.Vec{X: r[7] - r[5], Y: r[2] - r[6], Z: r[3] - r[1]}
	deg = math.Atan2(skew.Len()/2, cos) * 180 / math.Pi
	switch {
	case deg < 1e-4:
		return 0, mesh.Vec{}
	case deg < 179.9:
		return deg, skew.Unit()
	}
	// Half a turn: the axis is the longest column of (r + 1) / 2.
	for k := range 3 {
		column := mesh.Vec{X: r[k], Y: r[3+k], Z: r[6+k]}.Add([3]mesh.Vec{{X: 1}, {Y: 1}, {Z: 1}}[k])
		if column.Len() > axis.Len() {
			axis = column
		}
	}
	return deg, axis.Unit()
}

// likenessWords tells in words what a shape became.
func likenessWords(l *finding.Likeness, at *alike.Placement) string {
	mm := func(x float64) string { return catalog.Format(x, catalog.MM) }
	moved := l.Moved != [3]float64{}
	if l.Became == finding.OtherShape {
		text := "the shape changed"
		if moved {
			text += " and moved by " + vector(l.Moved)
		}
		return text + fmt.Sprintf(": the surfaces lie up to %s apart", mm(l.Within))
	}
	var done []string
	if size := sizeWords(l.Factor); size != "" {
		done = append(done, size)
	}
	switch turn := turnWords(l); {
	case l.Mirrored:
		done = append(done, mirrorWords(at))
	case turn != "":
		done = append(done, turn)
	case moved && l.Factor == 1:
		done = append(done, "moved by "+vector(l.Moved))
	}
	text := "the same shape"
	if len(done) > 0 {
		text += ", " + strings.Join(done, ", ")
	}
	if l.Points > 0 {
		text += fmt.Sprintf("; in other triangles, the same within %s", atMost(l.Within))
	}
	if l.Inverted > 0 {
		text += "; " + counted(l.Inverted, "triangle faces", "triangles face") + " the other way now"
	}
	return text
}

// atMost rounds a small distance up.
func atMost(x float64) string {
	return strings.TrimRight(fmt.Sprintf("%.3f", max(math.Ceil(x*1000)/1000, 0.001)), "0") + " mm"
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func vector(v [3]float64) string {
	var list []string
	for _, x := range v {
		list = append(list, strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64))
	}
	return "(" + strings.Join(list, ", ") + ") mm"
}

// sizeWords says how many times as large or small a shape became; nothing where it did not.
func sizeWords(factor float64) string {
	_, unit := alike.Unit(factor)
	text, times := "%s times as large", factor
	switch {
	case factor == 1:
		return ""
	case factor < 1 && unit:
		text, times = "%s times as small", 1/factor
	}
	text = fmt.Sprintf(text, strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.4f", times), "0"), "."))
	if unit {
		text += ": a unit mistake?"
	}
	return text
}

func turnWords(l *finding.Likeness) string {
	if l.Turned == 0 {
		return ""
	}
	turned, axis := l.Turned, ""
	for k, name := range []string{"x", "y", "z"} {
		if a := l.Axis[k]; math.Abs(a) > 0.9999 {
			if axis = " about the " + name + " axis"; a < 0 {
				turned = -turned
			}
		}
	}
	if axis == "" {
		axis = fmt.Sprintf(" about (%.2f, %.2f, %.2f)", l.Axis[0], l.Axis[1], l.Axis[2])
	}
	return "turned " + catalog.Format(turned, catalog.Deg) + axis
}

// mirrorWords says how a shape was mirrored, if along one axis by name.
func mirrorWords(at *alike.Placement) string {
	for k, name := range []string{"x (left is right)", "y (front is back)", "z (top is bottom)"} {
		off := 0.0
		for i := range 9 {
			want := 0.0
			if i%4 == 0 {
				want = 1
			}
			if i == 4*k {
				want = -1
			}
			off = max(off, math.Abs(at.M[i]-want))
		}
		if off < 1e-4 {
			return "mirrored along " + name
		}
	}
	return "mirrored and turned"
}
