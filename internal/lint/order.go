package lint

import (
	"cmp"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/measure"
)

// hit is a finding with what is needed to place and number it.
type hit struct {
	finding.Finding
	spot spot
	site *measure.Site
	// whole says that it is on the model as a whole, and not on one place of it.
	whole bool
}

// sortEntries puts models in order of their path; the parts of one file stay in the
// order in which they stand there.
func sortEntries(list []entry) {
	slices.SortStableFunc(list, func(a, b entry) int { return cmp.Compare(a.Path, b.Path) })
}

// sortHits puts the findings of one model in their total order: place in the file,
// then rule, then where and how much, so that no two runs disagree.
func sortHits(found []hit) {
	slices.SortStableFunc(found, func(a, b hit) int {
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
