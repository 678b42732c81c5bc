package lint

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/report"
	"printlint/internal/shapes"
)

// The configuration of sharded runs: a waiver that is used in one share and met in
// another, one that is stale, one for a model that is gone, one that is past its day.
const shardRules = hangRules + `
waivers:
  - {path: "**", rule: floats, reason: only the hook floats}
  - {path: "c/*", rule: hangs, reason: it was worse once}
  - {path: "gone.stl", rule: hangs, reason: gone}
  - {path: "d/*", rule: hangs, reason: past, until: 2020-01-01}
`

// shares runs every share of a run on its own and reads each report back, as from a file.
func shares(t *testing.T, text string, files []collection.File, count int, opt Options) (list []*finding.Report, names []string) {
	t.Helper()
	for k := 1; k <= count; k++ {
		opt.FailAt = finding.Warning
		opt.Shard = &finding.Shard{Index: k, Count: count, All: ListingOf(files)}
		opt.Around.All = files
		opt.Remarks = []Remark{{"rules.yml", "a remark"}}
		r := check(t, load(t, text), opt, collection.Shard(files, k, count)...)
		var b bytes.Buffer
		require.NoError(t, report.Write(&b, "json", r, report.Options{}))
		var back finding.Report
		require.NoError(t, json.Unmarshal(b.Bytes(), &back))
		list, names = append(list, &back), append(names, fmt.Sprintf("%d.json", k))
	}
	return list, names
}

// TestMergedIsAsInOnePiece holds the same bytes in every format, whatever the number of
// shares and whether the run is whole.
func TestMergedIsAsInOnePiece(t *testing.T) {
	files := append(mixed(t)[:7], shelfOf(t)[3:]...)
	for whole, depth := range map[bool]advise.Depth{true: advise.None, false: advise.Short} {
		opt := Options{Whole: whole, FailAt: finding.Warning, Advice: advise.Options{Depth: depth}, Remarks: []Remark{{"rules.yml", "a remark"}}}
		one := check(t, load(t, shardRules), opt, files...)
		for _, count := range []int{1, 3, 40} {
			list, names := shares(t, shardRules, files, count, opt)
			for _, r := range list {
				for i := range r.Models {
					assert.False(t, r.Models[i].Kind == KindConfig && len(r.Models[i].Findings) > 0, "no share says what should go")
				}
			}
			merged, failAt, err := Merge(list, names)
			require.NoError(t, err)
			assert.Equal(t, finding.Warning, failAt)
			for _, format := range report.Formats() {
				assert.Equal(t, bytesOf(t, format, one), bytesOf(t, format, merged), "%s of %d shares, whole %v", format, count, whole)
			}
		}
		stale := 0
		for i := range one.Models {
			for _, f := range one.Models[i].Findings {
				if f.Rule == RuleStale {
					stale++
				}
			}
		}
		assert.Equal(t, map[bool]int{true: 3, false: 2}[whole], stale, "the hook uses the first; one is past; one model is gone")
	}
}

func TestMergedAcceptedFindings(t *testing.T) {
	files := []collection.File{model(t, "a/t.stl", shapes.T()), model(t, "b/hook.stl", shapes.Hook()), model(t, "c/cube.stl", shapes.Cube(10))}
	was := acceptedText(t, hangRules, append(files, model(t, "d/gone.stl", shapes.T()))...)
	files[0] = model(t, "a/t.stl", shapes.Cube(12)) // mended
	files[2] = model(t, "c/moved.stl", shapes.Hook())
	opt := Options{Whole: true}
	one := check(t, loadWith(t, was), opt, files...)
	for _, count := range []int{1, 3} {
		var list []*finding.Report
		for k := 1; k <= count; k++ {
			opt.Shard = &finding.Shard{Index: k, Count: count, All: ListingOf(files)}
			opt.Around.All = files
			list = append(list, check(t, loadWith(t, was), opt, collection.Shard(files, k, count)...))
		}
		merged, _, err := Merge(list, make([]string, count))
		require.NoError(t, err)
		assert.Equal(t, bytesOf(t, "json", one), bytesOf(t, "json", merged))
	}
	assert.Contains(t, bytesOf(t, "text", one), "2 accepted findings of hangs on a/t.stl should go: they matched no finding")
	assert.Contains(t, bytesOf(t, "text", one), "2 accepted findings of hangs on d/gone.stl should go")
}

func TestWhatCannotBeMerged(t *testing.T) {
	files := mixed(t)[:3]
	list, names := shares(t, hangRules, files, 3, Options{})
	merge := func(change func(list []*finding.Report) []*finding.Report) error {
		var copies []*finding.Report
		for _, r := range list {
			c, s := *r, *r.Shard
			c.Shard = &s
			copies = append(copies, &c)
		}
		copies = change(copies)
		_, _, err := Merge(copies, append(names, "4.json")[:len(copies)])
		return err
	}
	for want, change := range map[string]func([]*finding.Report) []*finding.Report{
		"there is nothing to merge": func([]*finding.Report) []*finding.Report { return nil },
		"share 3 of 3 is missing; without it nothing can be said of the whole": func(l []*finding.Report) []*finding.Report { return l[:2] },
		"1.json and 4.json are both share 1 of 3":                              func(l []*finding.Report) []*finding.Report { return append(l, l[0]) },
		"1.json and 2.json are not of one run: the rules differ": func(l []*finding.Report) []*finding.Report {
			l[1].Rules.Digest = "other"
			return l
		},
		"1.json and 3.json are not of one run: the versions of the program differ": func(l []*finding.Report) []*finding.Report {
			l[2].Tool.Version = "9"
			return l
		},
		"1.json and 2.json are not of one run: the numbers of shares differ": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Count = 4
			return l
		},
		"1.json and 2.json are not of one run: the levels that fail differ": func(l []*finding.Report) []*finding.Report {
			l[1].FailAt = finding.None
			return l
		},
		"1.json and 3.json are not of one run: they were made from different lists of files, of 3 and of 4; the models must not change between shares": func(l []*finding.Report) []*finding.Report {
			l[2].Shard.All.Files = 4
			return l
		},
		"1.json and 2.json are not of one run: they were made from different lists of 3 files: a name or a size differs; the models must not change between shares": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.All.Digest = "other"
			return l
		},
		"1.json and 2.json are not of one run: the paths asked for differ, none and b.stl": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Asked.Paths = []string{"b.stl"}
			return l
		},
		"1.json and 2.json are not of one run: --changed differs, none and main": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Asked.Changed = "main"
			return l
		},
		"1.json and 2.json are not of one run: --rules-from differs, none and main": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Asked.RulesFrom = "main"
			return l
		},
		"1.json and 2.json are not of one run: the configurations differ, none and strict.yml": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Asked.Config = "strict.yml"
			return l
		},
		"1.json and 2.json are not of one run: one is of what is staged, the other is not": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Asked.Staged = true
			return l
		},
		"a/broken.stl is in 1.json and in 3.json; run check --shard anew for all shares": func(l []*finding.Report) []*finding.Report {
			l[0].Models = []finding.Model{{Path: "a/broken.stl"}}
			l[1].Models = []finding.Model{{Path: "x.stl"}}
			l[2].Models = []finding.Model{{Path: "a/broken.stl"}}
			return l
		},
		"the shares hold 2 files, the run had 3; run check --shard anew for all of them": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.Files = 0
			return l
		},
		"2.json does not say which files the run was about; make it anew with check --shard": func(l []*finding.Report) []*finding.Report {
			l[1].Shard.All = finding.Listing{}
			return l
		},
		"2.json does not list what its summary counts; it was cut or edited, make it anew": func(l []*finding.Report) []*finding.Report {
			l[1].Models = l[1].Models[:0]
			return l
		},
		"1.json is no JSON report of printlint": func(l []*finding.Report) []*finding.Report { l[0].Format = ""; return l },
		"3.json is share 0 of 3, which cannot be": func(l []*finding.Report) []*finding.Report {
			l[2].Shard.Index = 0
			return l
		},
		"2.json is a report of its own and no share of a run; make shares with check --shard": func(l []*finding.Report) []*finding.Report {
			l[1].Shard = nil
			return l
		},
	} {
		assert.EqualError(t, merge(change), want)
	}
}

func TestOneReportOfItsOwn(t *testing.T) {
	r := check(t, load(t, shardRules), Options{Whole: true, FailAt: finding.Warning}, shelfOf(t)...)
	var back finding.Report
	require.NoError(t, json.Unmarshal([]byte(bytesOf(t, "json", r)), &back))
	merged, failAt, err := Merge([]*finding.Report{&back}, []string{"r.json"})
	require.NoError(t, err)
	assert.Equal(t, finding.Warning, failAt, "as the run did")
	back.FailAt = ""
	_, failAt, err = Merge([]*finding.Report{&back}, []string{"r.json"})
	require.NoError(t, err)
	assert.Equal(t, finding.Error, failAt, "a report of before does not say")
	back.FailAt = finding.Warning
	for _, format := range report.Formats() {
		assert.Equal(t, bytesOf(t, format, r), bytesOf(t, format, merged), format)
	}
}
