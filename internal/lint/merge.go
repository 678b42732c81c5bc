package lint

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"printlint/internal/finding"
)

// Merge makes one report of the shares of a run, the same as that run in one piece would
// have made, and the level it fails at. A single report that is no share stays as it is,
// and fails where it did. The names are for complaints, one for each report.
func Merge(reports []*finding.Report, names []string) (*finding.Report, finding.Level, error) {
	if len(reports) == 1 && reports[0].Shard == nil {
		r := reports[0]
		for i := range r.Models {
			giveUnits(&r.Models[i], r.Rules.Rules)
		}
		return r, cmp.Or(r.Rules.FailAt, finding.Error), fits(r, names[0])
	}
	if err := complete(reports, names); err != nil {
		return nil, "", err
	}
	first := reports[0]
	out := &finding.Report{Format: first.Format, Tool: first.Tool, Rules: first.Rules}
	var remarks, idle []Remark
	seconds := 0.0
	for _, r := range reports {
		seconds += r.Summary.Seconds
		for i := range r.Models {
			m := &r.Models[i]
			if m.Kind != KindConfig {
				giveUnits(m, out.Rules.Rules)
				out.Models = append(out.Models, *m)
				continue
			}
			for _, text := range m.Notes {
				remarks = append(remarks, Remark{m.Path, text})
			}
			for k := range m.Findings {
				if f := &m.Findings[k]; f.Rule == finding.RuleNested {
					idle = append(idle, Remark{m.Path, f.Message})
				}
			}
		}
	}
	out.Models = append(out.Models, configEntries(unusedByAll(reports), remarks, idle)...)
	slices.SortStableFunc(out.Models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
	if out.Models == nil {
		out.Models = []finding.Model{}
	}
	out.Summary = Summarize(out.Models)
	out.Summary.Seconds = finding.Round(seconds)
	return out, first.Shard.FailAt, nil
}

// fits refuses what this program did not write.
func fits(r *finding.Report, name string) error {
	switch {
	case r.Format != finding.Format || r.Tool.Name != Tool:
		return fmt.Errorf("%s is no JSON report of %s", name, Tool)
	case r.Shard != nil && (r.Shard.Count < 1 || r.Shard.Index < 1 || r.Shard.Index > r.Shard.Count):
		return fmt.Errorf("%s is share %d of %d, which cannot be", name, r.Shard.Index, r.Shard.Count)
	}
	return nil
}

// complete holds that the reports are all shares of one run, each once.
func complete(reports []*finding.Report, names []string) error {
	if len(reports) == 0 {
		return errors.New("there is nothing to merge")
	}
	first := reports[0]
	from := map[int]string{}
	for i, r := range reports {
		if err := fits(r, names[i]); err != nil {
			return err
		}
		if r.Shard == nil {
			return fmt.Errorf("%s is a report of its own and no share of a run; make shares with check --shard", names[i])
		}
		if differ := differs(first, r); differ != "" {
			return fmt.Errorf("%s and %s are not of one run: %s differ", names[0], names[i], differ)
		}
		if other, twice := from[r.Shard.Index]; twice {
			return fmt.Errorf("%s and %s are both share %d of %d", other, names[i], r.Shard.Index, r.Shard.Count)
		}
		from[r.Shard.Index] = names[i]
	}
	for k := 1; k <= first.Shard.Count; k++ {
		if _, there := from[k]; !there {
			return fmt.Errorf("share %d of %d is missing; without it nothing can be said of the whole", k, first.Shard.Count)
		}
	}
	return nil
}

// differs says in what two shares differ that must be the same, or nothing.
func differs(a, b *finding.Report) string {
	switch {
	case a.Tool != b.Tool:
		return "the versions of the program"
	case a.Rules.Digest != b.Rules.Digest || a.Rules.From != b.Rules.From || !slices.Equal(a.Rules.Sets, b.Rules.Sets):
		return "the rules"
	case a.Shard.Count != b.Shard.Count:
		return "the numbers of shares"
	case a.Shard.FailAt != b.Shard.FailAt:
		return "the levels that fail"
	}
	return ""
}

// unusedByAll lists what no share had a use for, and at least one met.
func unusedByAll(reports []*finding.Report) []finding.Unused {
	type place struct {
		file         string
		line, column int
	}
	count, met := map[place]int{}, map[place]bool{}
	at := func(u *finding.Unused) place { return place{u.File, u.Line, u.Column} }
	for _, r := range reports {
		for i := range r.Shard.Unused {
			u := &r.Shard.Unused[i]
			count[at(u)]++
			met[at(u)] = met[at(u)] || u.Met
		}
	}
	var list []finding.Unused
	for _, u := range reports[0].Shard.Unused {
		if p := at(&u); count[p] == len(reports) && met[p] {
			list = append(list, u)
		}
	}
	return list
}
