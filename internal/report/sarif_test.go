package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// sarifRunOf writes and reads back the one run.
func sarifRunOf(t *testing.T, format string, r *finding.Report, opt Options) sarifRun {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, format, r, opt))
	var log sarifLog
	require.NoError(t, json.Unmarshal(out.Bytes(), &log))
	require.Len(t, log.Runs, 1)
	return log.Runs[0]
}

// manyFindings is a run with so many findings, each tenth an error.
func manyFindings(n int) *finding.Report {
	m := finding.Model{Path: "many.stl", Kind: "stl", Status: finding.Checked}
	for i := range n {
		f := finding.Finding{Rule: "r", Level: finding.Note, Message: fmt.Sprintf("place %d", i), Triangle: i + 1,
			Bytes: &finding.Bytes{Offset: int64(84 + 50*i), Length: 50}, Fingerprint: fmt.Sprintf("%016x", i), Values: finding.Values{}, Limits: finding.Values{}}
		if i%10 == 0 {
			f.Level = finding.Error
		}
		m.Findings = append(m.Findings, f)
	}
	r := &finding.Report{Tool: finding.Tool{Name: "printlint", Version: "1"}, Models: []finding.Model{m}}
	r.Summary = finding.Summary{Models: 1, Error: (n + 9) / 10, Note: n - (n+9)/10}
	return r
}

// TestSARIFRegions holds 3.30.1: lines for text, bytes for binary files, never both.
func TestSARIFRegions(t *testing.T) {
	text, binary, whole := 0, 0, 0
	for _, res := range sarifRunOf(t, "sarif", gateSample(), Options{}).Results {
		switch region := res.Locations[0].Physical.Region; {
		case region == nil:
			whole++
		case region.StartLine > 0:
			text++
			assert.Nil(t, region.ByteOffset)
		default:
			binary++
			assert.EqualValues(t, 50, *region.ByteLength)
		}
	}
	assert.Equal(t, []int{5, 2, 3}, []int{text, binary, whole})
}

// TestSARIFReferences holds that every index leads to what it names.
func TestSARIFReferences(t *testing.T) {
	for name, r := range sarifCases() {
		for _, format := range []string{"sarif", "code-scanning"} {
			run := sarifRunOf(t, format, r, Options{})
			for _, res := range run.Results {
				assert.Equal(t, res.RuleID, run.Tool.Driver.Rules[res.RuleIndex].ID, name)
				at := res.Locations[0].Physical.Artifact
				_, err := url.Parse(at.URI)
				assert.NoError(t, err)
				if format == "sarif" {
					assert.Equal(t, run.Artifacts[*at.Index].Location.URI, at.URI)
				}
			}
			for i, a := range run.Artifacts {
				if a.ParentIndex != nil {
					assert.Less(t, *a.ParentIndex, i, "a container comes before what is in it")
					assert.True(t, strings.HasPrefix(a.Location.URI, "/"), a.Location.URI)
				}
			}
		}
	}
}

// TestSARIFNesting holds where the parts of containers stand, and whose hash is whose.
func TestSARIFNesting(t *testing.T) {
	run := sarifRunOf(t, "sarif", gateSample(), Options{})
	tree := map[string]string{}
	for _, a := range run.Artifacts {
		parent, hash := "", ""
		if a.ParentIndex != nil {
			parent = run.Artifacts[*a.ParentIndex].Location.URI
		}
		if a.Hashes != nil {
			hash = a.Hashes["sha-256"]
		}
		tree[a.Location.URI] = parent + " " + hash
	}
	assert.Equal(t, "packs/spring.zip aa", tree["/models/clip.stl"])
	assert.Equal(t, "packs/spring.zip bb", tree["/plate.3mf"], "a 3MF is read and hashed whole")
	assert.Equal(t, "/plate.3mf ", tree["/3D/plate.model"])
	assert.Equal(t, " ", tree["packs/spring.zip"])
}

func TestNesting(t *testing.T) {
	for path, want := range map[string][]string{
		"a.stl":                {"a.stl"},
		"a.zip!/b/c.stl":       {"a.zip", "b/c.stl"},
		"A.ZIP!/b.3MF!/3D/c":   {"A.ZIP", "b.3MF", "3D/c"},
		"odd!/a.stl":           {"odd!/a.stl"},
		"odd!/a.zip!/x!/b.stl": {"odd!/a.zip", "x!/b.stl"},
		"x.amf!/x.amf":         {"x.amf", "x.amf"},
		"a.zip!/":              {"a.zip", ""},
		"":                     {""},
	} {
		assert.Equal(t, want, nesting(path), path)
	}
}

// TestSARIFSuppressions holds 3.27.23: in all results or in none.
func TestSARIFSuppressions(t *testing.T) {
	with := sarifRunOf(t, "sarif", gateSample(), Options{}).Results
	suppressed := 0
	for _, res := range with {
		require.NotNil(t, res.Suppressions)
		suppressed += len(*res.Suppressions)
	}
	assert.Equal(t, 1, suppressed)
	r := gateSample()
	r.Models[2].Findings = nil
	for _, res := range sarifRunOf(t, "sarif", r, Options{}).Results {
		assert.Nil(t, res.Suppressions)
	}
	for _, res := range sarifRunOf(t, "code-scanning", gateSample(), Options{}).Results {
		assert.NotContains(t, res.Locations[0].Physical.Artifact.URI, "parts/good.stl", "what is waived raises no alert")
	}
}

// TestSARIFBaseline holds 3.27.24: in all results once findings were accepted as they
// were, else in none.
func TestSARIFBaseline(t *testing.T) {
	for _, res := range sarifRunOf(t, "sarif", gateSample(), Options{}).Results {
		assert.Empty(t, res.Baseline, "a waiver is no baseline")
	}
	r := gateSample()
	r.Models[3].Findings[1].Waived = finding.Accepted("accepted.yml")
	states := map[string]int{}
	for _, res := range sarifRunOf(t, "sarif", r, Options{}).Results {
		states[res.Baseline]++
		assert.Equal(t, res.Baseline == "unchanged", len(*res.Suppressions) == 1)
	}
	assert.Equal(t, map[string]int{"new": 8, "unchanged": 2}, states)
}

// TestSARIFInvocation holds that the run tells how it ended.
func TestSARIFInvocation(t *testing.T) {
	for exit, good := range []bool{true, true, false} {
		inv := sarifRunOf(t, "sarif", gateSample(), Options{Exit: exit}).Invocations[0]
		assert.Equal(t, exit, inv.ExitCode)
		assert.Equal(t, good, inv.Successful)
		assert.NotEmpty(t, inv.ExitDescription)
	}
	levels := map[string]int{}
	for _, n := range sarifRunOf(t, "sarif", gateSample(), Options{}).Invocations[0].Notifications {
		levels[n.Level]++
	}
	assert.Equal(t, map[string]int{"error": 4, "note": 2}, levels)
	said := sarifRunOf(t, "sarif", gateSample(), Options{}).Invocations[0].Configuration
	require.Len(t, said, 1, "which rules hold is about the configuration")
	assert.Contains(t, said[0].Message.Text, "the rules here are others")
}

// TestSARIFUndecided holds that what nobody could decide is open, and no failure.
func TestSARIFUndecided(t *testing.T) {
	open := map[string]int{}
	for _, res := range sarifRunOf(t, "sarif", gateSample(), Options{}).Results {
		if res.Kind != "fail" {
			open[res.RuleID+" "+res.Kind+" "+res.Level]++
		}
	}
	assert.Equal(t, map[string]int{"undecided open none": 2}, open)
	for _, res := range sarifRunOf(t, "code-scanning", gateSample(), Options{}).Results {
		assert.Equal(t, "fail", res.Kind)
		assert.NotEqual(t, "none", res.Level, "code scanning would show nothing")
	}
}

// TestCodeScanningDemands holds what the documentation of code scanning asks for of
// every result and every rule.
func TestCodeScanningDemands(t *testing.T) {
	run := sarifRunOf(t, "code-scanning", gateSample(), Options{})
	unreadable := 0
	for _, res := range run.Results {
		region := res.Locations[0].Physical.Region
		assert.Positive(t, region.StartLine)
		assert.Positive(t, region.StartColumn)
		assert.GreaterOrEqual(t, region.EndLine, region.StartLine)
		assert.Greater(t, region.EndColumn, region.StartColumn)
		assert.NotContains(t, res.Locations[0].Physical.Artifact.URI, "!", "a file that is there")
		assert.NotEmpty(t, res.Message.Text)
		if res.RuleID == unreadableRule {
			unreadable++
		}
	}
	assert.Equal(t, 2, unreadable)
	require.NotEmpty(t, run.Tool.Driver.Rules)
	for _, rule := range run.Tool.Driver.Rules {
		assert.LessOrEqual(t, len(rule.ID), longestName)
		for _, text := range []string{rule.Short.Text, rule.Full.Text, rule.Help.Text} {
			assert.NotEmpty(t, text, rule.ID)
		}
		assert.LessOrEqual(t, len(rule.Full.Text), longestDescription)
	}
}

// TestCodeScanningCap holds that the most severe results stay, and that the rest is
// told of.
func TestCodeScanningCap(t *testing.T) {
	run := sarifRunOf(t, "code-scanning", manyFindings(6000), Options{})
	require.Len(t, run.Results, maxResults)
	for i, res := range run.Results[:maxResults-1] {
		assert.Equal(t, i < 600, res.Level == "error")
	}
	assert.Equal(t, leftOutRule, run.Results[maxResults-1].RuleID, "who reads the results is told as well")
	assert.Contains(t, run.Results[maxResults-1].Message.Text, "1001 more results")
	require.Len(t, run.Invocations[0].Notifications, 1)
	assert.Contains(t, run.Invocations[0].Notifications[0].Message.Text, "1001 more results")
	assert.Len(t, sarifRunOf(t, "sarif", manyFindings(6000), Options{}).Results, 6000, "the plain flavour leaves nothing out")
}

// TestCodeScanningKeepsWhatCannotBeJudged holds that models that cannot be judged come
// before any finding and are never left out, however many there are.
func TestCodeScanningKeepsWhatCannotBeJudged(t *testing.T) {
	for _, broken := range []int{3, 5200} {
		r := manyFindings(6000)
		for i := range r.Models[0].Findings {
			r.Models[0].Findings[i].Level = finding.Error
		}
		r.Models = append(r.Models, finding.Model{Path: "open.stl", Status: finding.Undecided, Reason: "it has holes"})
		for i := range broken {
			r.Models = append(r.Models, finding.Model{Path: fmt.Sprintf("broken%d.stl", i), Status: finding.Unreadable, Reason: "it is cut short"})
		}
		run := sarifRunOf(t, "code-scanning", r, Options{Exit: 2})
		unreadable, undecided := 0, 0
		for _, res := range run.Results {
			switch res.RuleID {
			case unreadableRule:
				unreadable++
			case finding.RuleUndecided:
				undecided++
			}
		}
		assert.Equal(t, broken, unreadable)
		assert.Equal(t, 1, undecided)
		assert.Equal(t, leftOutRule, run.Results[len(run.Results)-1].RuleID)
		assert.Len(t, run.Results, max(maxResults, broken+2))
	}
}

// TestCodeScanningTellsResultsApart holds that no two results of one file share what
// services know them by: models of one pack, unreadable ones, stale waivers.
func TestCodeScanningTellsResultsApart(t *testing.T) {
	r := gateSample()
	same := r.Models[len(r.Models)-3] // a model of a pack with findings
	same.Path = "packs/spring.zip!/models/copy.stl"
	torn := r.Models[len(r.Models)-1]
	torn.Path = "packs/spring.zip!/torn2.stl"
	part := torn
	part.Part = "lid"
	r.Models = append(r.Models, same, torn, part, part)
	r.Models[0].Findings = append(r.Models[0].Findings, r.Models[0].Findings[0])
	eachFinding(r, func(_ *finding.Model, f *finding.Finding) { f.Fingerprint = cmp.Or(f.Fingerprint, "0000000000000001") })
	seen := map[string]bool{}
	for _, res := range sarifRunOf(t, "code-scanning", r, Options{}).Results {
		key := res.Locations[0].Physical.Artifact.URI + " " + res.Fingerprints[lineHash]
		assert.Regexp(t, `:\d+$`, res.Fingerprints[lineHash])
		assert.False(t, seen[key], "%s: %s", key, res.Message.Text)
		seen[key] = true
	}
}

func TestCut(t *testing.T) {
	assert.Equal(t, "short", cut("short", 10))
	assert.Equal(t, "one two ...", cut("one two three", 12))
	assert.Equal(t, "ööö ...", cut(strings.Repeat("ö", 20), 11))
}
