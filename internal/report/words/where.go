package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// Place writes where a model or one of its places stands: the path, and the source
// line in a text file or the triangle's ordinal in a binary one.
func Place(path string, line, triangle int) string {
	if line <= 0 {
		line = triangle
	}
	if line <= 0 {
		return Path(path)
	}
	return fmt.Sprintf("%s:%d", Path(path), line)
}

// Path is Safe for a path that begins a line: a workflow obeys lines that begin with two
// colons, so that a name which does gets a step that changes nothing.
func Path(path string) string {
	if commands(path) {
		path = "./" + path
	}
	return Safe(path)
}

// commands says that a workflow would obey a line which begins so.
func commands(text string) bool {
	trimmed := strings.TrimSpace(text)
	return strings.HasPrefix(trimmed, "::") || strings.HasPrefix(trimmed, "##[")
}

// Where writes a point of a model in mm, and, in front of that, as the file itself counts
// it where that is another unit: that is what the program shows which it was drawn in.
func Where(m *finding.Model, at [3]float64) string {
	inMM := "(" + Point(at) + ") mm"
	unit, ok := catalog.Spelled(m.Unit)
	if !ok || unit.Unit != catalog.MM || unit.Factor == 1 {
		return inMM
	}
	// A hundredth of a millimetre, as Point has it, and a digit more for units not in tens.
	digits := max(0, 2+int(math.Ceil(math.Log10(unit.Factor))))
	for i := range at {
		at[i] /= unit.Factor
	}
	return fmt.Sprintf("(%s) %s = %s", point(at, digits), m.Unit, inMM)
}

// Point writes a place for people: x, y, z in mm, to a hundredth at most.
func Point(p [3]float64) string { return point(p, 2) }

func point(p [3]float64, digits int) string {
	var text [3]string
	for i, x := range p {
		s := strconv.FormatFloat(x, 'f', digits, 64)
		if strings.Contains(s, ".") {
			s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
		}
		if s == "-0" {
			s = "0"
		}
		text[i] = s
	}
	return strings.Join(text[:], ", ")
}
