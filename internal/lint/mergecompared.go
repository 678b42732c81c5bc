package lint

import (
	"cmp"
	"slices"
	"strings"

	"printlint/internal/finding"
)

// mergeCompared is the comparison of all shares of a run; nil where they did not compare.
func mergeCompared(reports []*finding.Report) *finding.Comparison {
	first := reports[0].Compared
	if first == nil {
		return nil
	}
	out := &finding.Comparison{Rev: first.Rev, Commit: first.Commit, FailOn: first.FailOn, Models: []finding.Model{}, Lost: []string{}}
	for _, r := range reports {
		for i := range r.Compared.Models {
			giveUnits(&r.Compared.Models[i], r.Rules.Rules)
		}
		out.New, out.Same, out.Gone = out.New+r.Compared.New, out.Same+r.Compared.Same, out.Gone+r.Compared.Gone
		out.Models, out.Lost = append(out.Models, r.Compared.Models...), append(out.Lost, r.Compared.Lost...)
	}
	slices.SortStableFunc(out.Models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
	slices.SortStableFunc(out.Lost, strings.Compare)
	return out
}

// sameComparison says that two shares compare with one revision, and close the gate alike.
func sameComparison(a, b *finding.Comparison) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Rev == b.Rev && a.Commit == b.Commit && a.FailOn == b.FailOn
}
