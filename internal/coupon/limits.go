package coupon

import (
	"fmt"

	"printlint/internal/catalog"
)

// mark is what a step was found to be.
type mark int

const (
	clean mark = iota
	held
	marks
)

// markNames are what the marks are called in a file of answers.
var markNames = [marks]string{"clean", "held"}

// limit is a figure of the process that a mark in a row measures, and how it is written.
type limit struct {
	mark  mark
	name  string // as in lean.holds
	write func(r *Row, value float64, process catalog.Process) string
}

// asks says whether the row asks for a mark.
func (r *Row) asks(m mark) bool { return m == held || r.Clean != "" }

// exact is the figure of the step itself.
func exact(r *Row, value float64, _ catalog.Process) string {
	return catalog.FormatLimit(value, r.Unit)
}

// spared is a twentieth less, which the facets of a round wall take off its thickness.
func spared(_ *Row, value float64, _ catalog.Process) string {
	return fmt.Sprintf("%.6g mm   # a twentieth less than %s mm, which the facets of a round wall take off", 0.95*value, plainly(value))
}

// slenderness is how many times as tall as thick a column is.
func slenderness(_ *Row, value float64, p catalog.Process) string {
	return fmt.Sprintf("%.4g", tall(p.Line)/value)
}
