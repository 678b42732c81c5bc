package lint

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// TestRandomSharesMerge deals the models of random runs out to random shares and puts
// them together in a random order: the same bytes come out, waivers that no share had a
// use for are told of once, and the exit code is the worst of those of the shares.
func TestRandomSharesMerge(t *testing.T) {
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 2))
		models := randomModels(r)
		shares, stale := deal(r, models, randomUnused(r))
		whole := reportOf(append(slices.Clone(models), configEntries(stale, nil, nil, false)...))
		slices.SortStableFunc(whole.Models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
		r.Shuffle(len(shares), func(i, k int) { shares[i], shares[k] = shares[k], shares[i] })
		names := make([]string, len(shares))
		worst := 0
		for i, s := range shares {
			names[i] = fmt.Sprintf("%d.json", i)
			worst = max(worst, Exit(s, finding.Error))
		}
		merged, failAt, err := Merge(shares, names)
		require.NoError(t, err, "seed %d", seed)
		require.Equal(t, finding.Error, failAt)
		require.Equal(t, bytesOf(t, "json", whole), bytesOf(t, "json", merged), "seed %d", seed)
		require.Equal(t, worst, Exit(merged, failAt), "seed %d", seed)
	}
}

// randomModels are models of distinct files in the order of a run, some with several
// parts, some of which cannot be read.
func randomModels(r *rand.Rand) []finding.Model {
	var models []finding.Model
	for i := range r.IntN(12) {
		path := fmt.Sprintf("%c/%02d.3mf", 'a'+i%3, i)
		for part := range 1 + r.IntN(3) {
			m := finding.Model{
				Path: path, Part: fmt.Sprint(part), Kind: "3mf", Status: finding.Checked,
				Notes: []string{}, Measures: finding.Measures{}, Findings: []finding.Finding{},
			}
			if r.IntN(9) == 0 {
				m.Status, m.Reason = finding.Unreadable, "it is cut short"
			}
			for range findingsOn(r, &m) {
				m.Findings = append(m.Findings, randomFinding(r))
			}
			models = append(models, m)
		}
	}
	slices.SortStableFunc(models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
	return models
}

func randomFinding(r *rand.Rand) finding.Finding {
	f := finding.Finding{
		Rule: "hangs", Level: []finding.Level{finding.Error, finding.Warning, finding.Note}[r.IntN(3)],
		Message: "it hangs", Triangle: 1 + r.IntN(99), Values: finding.Values{}, Limits: finding.Values{},
	}
	if r.IntN(3) == 0 {
		f.Waived = &finding.Waived{Reason: "for show"}
	}
	return f
}

func randomUnused(r *rand.Rand) []finding.Unused {
	var list []finding.Unused
	for i := range r.IntN(5) {
		list = append(list, finding.Unused{
			File: "z.yml", Line: 4 + i, Column: 5, Path: fmt.Sprintf("%d.stl", i), Rule: "hangs", Why: "it matched no finding", Written: true,
		})
	}
	return list
}

// deal shares the models out by file. Each waiver is unused in some of the shares and
// met in some of those; what comes back beside the shares is what should go.
func deal(r *rand.Rand, models []finding.Model, unused []finding.Unused) (shares []*finding.Report, stale []finding.Unused) {
	count := 1 + r.IntN(5)
	to := map[string]int{}
	parts := make([][]finding.Model, count)
	for _, m := range models {
		if _, known := to[m.Path]; !known {
			to[m.Path] = r.IntN(count)
		}
		parts[to[m.Path]] = append(parts[to[m.Path]], m)
	}
	for i := range count {
		s := reportOf(parts[i])
		s.Shard = &finding.Shard{Index: i + 1, Count: count, All: finding.Listing{Digest: "d"}, Unused: []finding.Unused{}}
		shares = append(shares, s)
	}
	for _, u := range unused {
		everywhere, met := true, false
		always := r.IntN(2) == 0
		for _, s := range shares {
			if !always && r.IntN(4) == 0 {
				everywhere = false
				continue
			}
			here := u
			here.Met = r.IntN(2) == 0
			met = met || here.Met
			s.Shard.Unused = append(s.Shard.Unused, here)
		}
		if everywhere && met {
			stale = append(stale, u)
		}
	}
	return shares, stale
}

func reportOf(models []finding.Model) *finding.Report {
	if models == nil {
		models = []finding.Model{}
	}
	return &finding.Report{
		Format: finding.Format, Tool: finding.Tool{Name: finding.ToolName, Version: "1"}, Models: models, Summary: Summarize(models),
		Rules: finding.RuleSet{Digest: "d", Sets: []string{"s"}, Rules: []finding.Rule{}},
	}
}

// TestExitTable holds the exit code against its table: the worst finding that is not
// waived, the level that fails, and whether something could not be read.
func TestExitTable(t *testing.T) {
	levels := []finding.Level{finding.Error, finding.Warning, finding.Note, finding.None}
	for worst, found := range levels {
		for least, failAt := range levels {
			for _, waived := range []bool{false, true} {
				for _, unreadable := range []bool{false, true} {
					m := finding.Model{Status: finding.Checked, Findings: []finding.Finding{{Level: found}, {Level: finding.None}}}
					if waived {
						m.Findings[0].Waived = &finding.Waived{Reason: "for show"}
					}
					models := []finding.Model{m}
					if unreadable {
						models = append(models, finding.Model{Status: finding.Unreadable})
					}
					want := ExitClean
					if !waived && worst <= least && worst < 3 && least < 3 {
						want = ExitFindings
					}
					if unreadable {
						want = ExitTrouble
					}
					assert.Equal(t, want, Exit(reportOf(models), failAt), "%s at %s, waived %v, unreadable %v", found, failAt, waived, unreadable)
				}
			}
		}
	}
}

// findingsOn is how many findings a model gets: none where it could not be read.
func findingsOn(r *rand.Rand, m *finding.Model) int {
	if m.Status == finding.Unreadable {
		return 0
	}
	return r.IntN(3)
}
