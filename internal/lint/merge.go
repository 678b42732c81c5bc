package lint

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/finding"
)

// Merge makes one report of the shares of a run, the same as that run in one piece would
// have made, and the level it fails at. A single report that is no share stays as it is; shares
// are left without their models.
// The names are for complaints, one for each report.
func Merge(reports []*finding.Report, names []string) (*finding.Report, finding.Level, error) {
	if len(reports) == 1 && reports[0].Shard == nil {
		r := reports[0]
		for i := range r.Models {
			giveUnits(&r.Models[i], r.Rules.Rules)
		}
		r.Compared = mergeCompared(reports)
		return r, failAt(r), fits(r, names[0])
	}
	if err := complete(reports, names); err != nil {
		return nil, "", err
	}
	first := reports[0]
	out := &finding.Report{Format: first.Format, Tool: first.Tool, Rules: first.Rules, FailAt: first.FailAt, Machines: first.Machines, Where: first.Where}
	out.Compared = mergeCompared(reports)
	var remarks []Remark
	var idle []Idle
	seconds, count := 0.0, 0
	for _, r := range reports {
		count += len(r.Models)
	}
	out.Models = make([]finding.Model, 0, count)
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
					idle = append(idle, Idle{Remark{m.Path, f.Message}, f.Change == finding.Same})
				}
			}
		}
		r.Models = nil // two lists of a large shelf are one too many
	}
	out.Models = append(out.Models, configEntries(unusedByAll(reports), remarks, idle, out.Compared != nil)...)
	slices.SortStableFunc(out.Models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
	countChanges(out)
	out.Summary = Summarize(out.Models)
	out.Summary.Seconds = finding.Round(seconds)
	return out, failAt(out), nil
}

// failAt is the level that a report fails at; one that does not say so fails at error.
func failAt(r *finding.Report) finding.Level { return cmp.Or(r.FailAt, finding.Error) }

// fits refuses what this program did not write.
func fits(r *finding.Report, name string) error {
	switch {
	case r.Format != finding.Format || r.Tool.Name != finding.ToolName:
		return fmt.Errorf("%s is no JSON report of %s", name, finding.ToolName)
	case r.Shard != nil && (r.Shard.Count < 1 || r.Shard.Index < 1 || r.Shard.Index > r.Shard.Count):
		return fmt.Errorf("%s is share %d of %d, which cannot be", name, r.Shard.Index, r.Shard.Count)
	}
	return nil
}

// complete holds that the reports are all shares of one run, each once, and that together
// they hold every file of it, each once.
func complete(reports []*finding.Report, names []string) error {
	if len(reports) == 0 {
		return errors.New("there is nothing to merge")
	}
	first := reports[0]
	from, files := map[int]string{}, 0
	for i, r := range reports {
		if err := fits(r, names[i]); err != nil {
			return err
		}
		if r.Shard == nil {
			return fmt.Errorf("%s is a report of its own and no share of a run; make shares with check --shard", names[i])
		}
		if r.Shard.All.Digest == "" {
			return fmt.Errorf("%s does not say which files the run was about; make it anew with check --shard", names[i])
		}
		if differ := differs(first, r); differ != "" {
			return fmt.Errorf("%s and %s are not of one run: %s", names[0], names[i], differ)
		}
		if other, twice := from[r.Shard.Index]; twice {
			return fmt.Errorf("%s and %s are both share %d of %d", other, names[i], r.Shard.Index, r.Shard.Count)
		}
		from[r.Shard.Index] = names[i]
		files += r.Shard.Files
	}
	for k := 1; k <= first.Shard.Count; k++ {
		if _, there := from[k]; !there {
			return fmt.Errorf("share %d of %d is missing; without it nothing can be said of the whole", k, first.Shard.Count)
		}
	}
	if err := apart(reports, names); err != nil {
		return err
	}
	if all := first.Shard.All.Files; files != all {
		return fmt.Errorf("the shares hold %d files, the run had %d; run check --shard anew for all of them", files, all)
	}
	for i, r := range reports {
		if err := whole(r, names[i]); err != nil {
			return err
		}
	}
	return nil
}

// whole holds that a report lists what its summary counts.
func whole(r *finding.Report, name string) error {
	listed := Summarize(r.Models)
	if listed.Seconds = r.Summary.Seconds; listed != r.Summary {
		return fmt.Errorf("%s does not list what its summary counts; it was cut or edited, make it anew", name)
	}
	return nil
}

// apart holds that no model is in two shares.
func apart(reports []*finding.Report, names []string) error {
	from := map[string]int{}
	for i, r := range reports {
		for k := range r.Models {
			m := &r.Models[k]
			if m.Kind == KindConfig {
				continue
			}
			if other, known := from[m.Path]; known && other != i {
				return fmt.Errorf("%s is in %s and in %s; run check --shard anew for all shares", m.Path, names[other], names[i])
			}
			from[m.Path] = i
		}
	}
	return nil
}

// differs says in what two shares differ that must be the same, or nothing.
func differs(a, b *finding.Report) string {
	was, is := &a.Shard.Asked, &b.Shard.Asked
	switch {
	case a.Tool != b.Tool:
		return "the versions of the program differ"
	case a.Shard.Count != b.Shard.Count:
		return "the numbers of shares differ"
	case was.Config != is.Config:
		return two("the configurations differ", was.Config, is.Config)
	case was.RulesFrom != is.RulesFrom:
		return two("--rules-from differs", was.RulesFrom, is.RulesFrom)
	case a.Rules.Digest != b.Rules.Digest || a.Rules.From != b.Rules.From || !slices.Equal(a.Rules.Sets, b.Rules.Sets):
		return "the rules differ"
	case !slices.Equal(a.Machines, b.Machines):
		return two("the machines differ", machineNames(a), machineNames(b))
	case !sameComparison(a.Compared, b.Compared):
		return "one compares with another revision than the other, or fails on other findings"
	case a.FailAt != b.FailAt:
		return "the levels that fail differ"
	case !slices.Equal(was.Paths, is.Paths):
		return two("the paths asked for differ", strings.Join(was.Paths, " "), strings.Join(is.Paths, " "))
	case was.Changed != is.Changed:
		return two("--changed differs", was.Changed, is.Changed)
	case was.Staged != is.Staged:
		return "one is of what is staged, the other is not"
	case a.Shard.All.Files != b.Shard.All.Files:
		return fmt.Sprintf("they were made from different lists of files, of %d and of %d; the models must not change between shares", a.Shard.All.Files, b.Shard.All.Files)
	case a.Shard.All != b.Shard.All:
		return fmt.Sprintf("they were made from different lists of %d files: a name or a size differs; the models must not change between shares", a.Shard.All.Files)
	}
	return ""
}

func machineNames(r *finding.Report) string {
	var names []string
	for _, m := range r.Machines {
		names = append(names, m.Name)
	}
	return strings.Join(names, ", ")
}

// two says how what differs does.
func two(what, a, b string) string {
	return fmt.Sprintf("%s, %s and %s", what, cmp.Or(a, "none"), cmp.Or(b, "none"))
}

// ListingOf stands for the files of a run before it is shared.
func ListingOf(files []collection.File) finding.Listing {
	h := sha256.New()
	for i := range files {
		fmt.Fprintf(h, "%q %d %q\n", files[i].Rules, files[i].Size, files[i].Skip)
	}
	return finding.Listing{Files: len(files), Digest: hex.EncodeToString(h.Sum(nil))}
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
