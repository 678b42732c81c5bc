package words

import (
	"cmp"
	"slices"

	"printlint/internal/finding"
)

// Share is what one rule found at one level in a whole run.
type Share struct {
	Rule           string
	Level          finding.Level
	Models, Places int
}

// Shares sums up a run by rule and level: the worst level first, then the rule that is
// found on most models.
func Shares(r *finding.Report) []Share {
	var list []Share
	at := map[[2]string]int{}
	for i := range r.Models {
		for _, groups := range Grouped(&r.Models[i]) {
			f := groups[0].Finding
			k, known := at[[2]string{f.Rule, string(f.Level)}]
			if !known {
				k = len(list)
				at[[2]string{f.Rule, string(f.Level)}] = k
				list = append(list, Share{Rule: f.Rule, Level: f.Level})
			}
			if r.Models[i].Kind != finding.KindConfig {
				list[k].Models++
			}
			list[k].Places += Places(groups)
		}
	}
	slices.SortFunc(list, func(a, b Share) int {
		return cmp.Or(cmp.Compare(a.Level.Rank(), b.Level.Rank()), cmp.Compare(b.Models, a.Models),
			cmp.Compare(b.Places, a.Places), cmp.Compare(a.Rule, b.Rule))
	})
	return list
}
