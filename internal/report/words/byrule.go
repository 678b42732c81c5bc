package words

import (
	"cmp"
	"slices"
	"strconv"

	"printlint/internal/finding"
)

// Share is what one rule found at one level in a whole run.
type Share struct {
	Rule           string
	Level          finding.Level
	Models, Places int
}

// On says on how many models it was found: on none where it is about a configuration.
func (s *Share) On() string {
	if s.Models == 0 {
		return "-"
	}
	return strconv.Itoa(s.Models)
}

// Shares sums up a run by rule and level: the worst level first, then the rule that is
// found on most models. It is empty where one model alone has findings, which says it all.
func Shares(r *finding.Report) []Share {
	var list []Share
	models := 0
	at := map[[2]string]int{}
	for i := range r.Models {
		lists := Grouped(&r.Models[i])
		if len(lists) > 0 {
			models++
		}
		counted := map[int]bool{} // what is new and what is not are lists of their own
		for _, groups := range lists {
			f := groups[0].Finding
			k, known := at[[2]string{f.Rule, string(f.Level)}]
			if !known {
				k = len(list)
				at[[2]string{f.Rule, string(f.Level)}] = k
				list = append(list, Share{Rule: f.Rule, Level: f.Level})
			}
			if r.Models[i].OfModel() && !counted[k] {
				list[k].Models++
				counted[k] = true
			}
			list[k].Places += Places(groups)
		}
	}
	if models < 2 {
		return nil
	}
	slices.SortFunc(list, func(a, b Share) int {
		return cmp.Or(cmp.Compare(a.Level.Rank(), b.Level.Rank()), cmp.Compare(b.Models, a.Models),
			cmp.Compare(b.Places, a.Places), cmp.Compare(a.Rule, b.Rule))
	})
	return list
}
