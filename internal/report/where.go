package report

import (
	"fmt"
	"math"
	"strconv"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// where writes a point of a model in mm, and, in front of that, as the file itself counts
// it where that is another unit: that is what the program shows which it was drawn in.
func where(m *finding.Model, at [3]float64) string {
	inMM := "(" + Point(at) + ") mm"
	unit, ok := catalog.Spelled(m.Unit)
	if !ok || unit.Unit != catalog.MM || unit.Factor == 1 {
		return inMM
	}
	// A hundredth of a millimetre, as Point has it, and a digit more for units not in tens.
	digits := max(0, 2+int(math.Ceil(math.Log10(unit.Factor))))
	text := ""
	for i, x := range at {
		if i > 0 {
			text += ", "
		}
		text += unpadded(strconv.FormatFloat(x/unit.Factor, 'f', digits, 64))
	}
	return fmt.Sprintf("(%s) %s = %s", text, m.Unit, inMM)
}
