package verdict

import (
	"cmp"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/measure"
)

// Hit is a finding with the site it is about. Its location is not rounded yet.
type Hit struct {
	finding.Finding
	// Carried says that it would be worse, but that support is meant to stand below it.
	Carried bool
	Site    *measure.Site // of the results that were judged; nil where there is none
	// was is its place among the hits of a union before they were sorted.
	was int
}

// Carry makes a note of a hit that support ends, where a model is meant to be printed with it.
func (h *Hit) Carry() {
	h.Level, h.Carried = finding.Note, true
	h.Message += "; it is meant to be printed with support"
}

// sortHits puts the findings of one model in their total order: place in the file,
// then rule, then where and how much, so that no two runs disagree.
func sortHits(found []Hit) {
	slices.SortStableFunc(found, func(a, b Hit) int {
		return cmp.Or(
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Triangle, b.Triangle),
			cmp.Compare(a.Rule, b.Rule),
			slices.Compare(a.At[:], b.At[:]),
			compareValues(a.Values, b.Values),
			cmp.Compare(a.Message, b.Message),
		)
	})
}

func compareValues(a, b finding.Values) int {
	return slices.CompareFunc(a, b, func(x, y finding.Named) int {
		return cmp.Compare(finding.Round(x.Value), finding.Round(y.Value))
	})
}
