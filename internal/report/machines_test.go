package report

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// machines are so many printers, the second of them with a name that is hard to show.
func machines(n int) (list []finding.Machine) {
	for i := range n {
		list = append(list, finding.Machine{Name: fmt.Sprintf("bench-%d", i+1), File: fmt.Sprintf("machines/bench-%d.yml", i+1), Material: "pla",
			Nozzle: 0.4, Line: 0.45, Layer: 0.2, Bed: [3]float64{220, 220, 250}})
	}
	if n > 1 {
		list[1] = finding.Machine{Name: "mini|<2>\x1b[31m", File: "machines/mini-2.yml", Material: "petg", Nozzle: 0.25, Line: 0.28, Layer: 0.1, Bed: [3]float64{120, 120, 120}}
	}
	return list
}

// onMachines is a run for so many machines, with a model of each kind: clean everywhere,
// failing on one, failing everywhere, with a warning, undecided on one, undecided, unreadable,
// skipped, accepted, and a configuration.
func onMachines(n int) *finding.Report {
	r := &finding.Report{
		Format: finding.Format, Tool: finding.Tool{Name: "printlint", Version: "1"}, Machines: machines(n), Where: &finding.FailWhere{Policy: finding.FailOnAny},
		Rules: finding.RuleSet{Digest: "abc", Sets: []string{"standard"}, Rules: []finding.Rule{
			{ID: "max-bridge-length", Level: finding.Error, Measure: "bridge", Because: "It sags.", Do: "turn it", Limits: []string{"span 15 mm"}},
			{ID: "thin-strip", Level: finding.Warning, Measure: "wall", Because: "It is thin.", Do: "make it thicker", Limits: []string{}},
		}},
	}
	last := r.Machines[n-1].Name
	bridge := finding.Finding{Rule: "max-bridge-length", Level: finding.Error, Message: "bridge of 34.0 mm over air; 18 mm is the most here", Says: []string{"span"},
		Advice: "turn it over, or let it have support there", Triangle: 3, At: [3]float64{1, 2, 3}, Fingerprint: "00112233aabbccdd",
		Values: finding.Values{{Name: "span", Unit: "mm", Value: 34}}, Limits: finding.Values{{Name: "span", Unit: "mm", Value: 18}}}
	wide := bridge
	wide.Message, wide.Fingerprint = "bridge of 50.0 mm over air; 18 mm is the most here", "00112233aabbccde"
	here := bridge
	if n > 1 {
		here.On = []string{last}
	}
	strip := finding.Finding{Rule: "thin-strip", Level: finding.Warning, Message: "a strip of wall, 3.0 mm wide, is only 0.3 mm thick; a line is 0.45 mm wide", Fingerprint: "8899aabbccddeeff", Triangle: 4, Values: finding.Values{}, Limits: finding.Values{}}
	accepted := here
	accepted.Waived = &finding.Waived{Kind: finding.ByWaiver, File: ".printlint.yml", Reason: "printed many times"}

	model := func(name string, found ...finding.Finding) *finding.Model {
		r.Models = append(r.Models, finding.Model{Path: "parts/" + name, Kind: "stl", Status: finding.Checked, Triangles: 12, Findings: found})
		m := &r.Models[len(r.Models)-1]
		for i := range r.Machines {
			on := finding.OnMachine{Machine: r.Machines[i].Name}
			for k := range found {
				if f := &found[k]; f.Counts() && (len(f.On) == 0 || slices.Contains(f.On, on.Machine)) {
					if on.Words == "" {
						on.Words = f.Message
					}
					on.Findings.Add(f.Level)
				}
			}
			if on.Findings.Error > 0 {
				on.Advice = &finding.Advice{Words: "turn it over: then it prints without a finding"}
			}
			m.Machines = append(m.Machines, on)
		}
		return m
	}
	r.Models = append(r.Models, finding.Model{Path: ".printlint.yml", Kind: finding.KindConfig, Status: finding.Checked, Findings: []finding.Finding{}})
	model("clean.stl")
	model("gallows <b>|\u202e.stl", here)
	everywhere := model("rack.stl", wide)
	if n > 1 {
		everywhere.Machines[n-1].Advice = &finding.Advice{Words: "put support under it"}
	}
	model("thin.stl", strip)
	r.Models = slices.Insert(r.Models, 1, finding.Model{Path: "parts/accepted.stl"})
	r.Models[1] = *model("accepted.stl", accepted)
	r.Models = r.Models[:len(r.Models)-1]
	odd := model("open.stl")
	odd.Status, odd.Reason = finding.Undecided, "surface is open; close it"
	odd.Machines[n-1].Undecided = "more work than --work allows; give it more"
	whole := model("worse.stl")
	whole.Status, whole.Reason = finding.Undecided, "it has curves, which are not read"
	torn := model("torn.stl")
	torn.Status, torn.Reason = finding.Unreadable, "the file ends within triangle 3; export it again"
	for i := range torn.Machines {
		torn.Machines[i].Undecided = torn.Reason
	}
	old := model("old.stl")
	old.Status, old.Reason, old.Machines = finding.Skipped, "excluded", nil
	r.Summary = finding.Summary{Models: 8, Fail: 2, Look: 1, Clean: 2, Error: 2, Warning: 1, Waived: 1, Undecided: 2, Unreadable: 1}
	return r
}

// changed is such a run compared with what was there before.
func changed(r *finding.Report) *finding.Report {
	var gone finding.Finding
	for i := range r.Models {
		for k := range r.Models[i].Findings {
			f := &r.Models[i].Findings[k]
			f.Change = finding.Same
			if len(f.On) > 0 && f.Waived == nil {
				gone = *f
				f.Change, gone.Change = finding.New, finding.Gone
			}
		}
	}
	r.Compared = &finding.Comparison{Rev: "origin/main", Commit: "0123456789abcdef", FailOn: finding.FailOnNew, New: 1, Same: 2, Gone: 1,
		Models: []finding.Model{{Path: "parts/before.stl", Kind: "stl", Status: finding.Checked, Findings: []finding.Finding{gone}}}}
	return r
}

// bare is what of a page is the same in all of them: its style, its script, and the policy
// that knows them.
var bare = regexp.MustCompile(`(?s)<style>.*?</style>|<script>.*?</script>|<svg width="0".*?</svg>|<meta [^>]*>`)

// TestMachinesGolden compares what each format writes of a run for several machines with
// what is kept, and fails on kept files that no case produced.
func TestMachinesGolden(t *testing.T) {
	kept, err := filepath.Glob("testdata/machines/*")
	require.NoError(t, err)
	for name, r := range map[string]*finding.Report{"one": onMachines(1), "four": onMachines(4), "ten": onMachines(10), "changed": changed(onMachines(4))} {
		for ending, format := range map[string]string{"sarif": "sarif", "scanning.sarif": "code-scanning", "xml": "junit", "txt": "github", "md": "markdown", "html": "html"} {
			if name == "ten" && strings.Contains(ending, "sarif") {
				continue // as with four
			}
			var out bytes.Buffer
			require.NoError(t, Write(&out, format, r, Options{FailAt: finding.Error, Exit: 2}))
			text := bare.ReplaceAllString(out.String(), "")
			path := filepath.Join("testdata/machines", name+"."+ending)
			if *update {
				require.NoError(t, os.MkdirAll("testdata/machines", 0o777))
				require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err, renew)
			assert.Equal(t, string(want), text, "%s: %s", path, renew)
			kept = slices.DeleteFunc(kept, func(k string) bool { return k == path })
		}
	}
	assert.Empty(t, kept, "golden files that no case produces")
}

// TestMachinesAreHarmless holds what harmless_test.go holds, where the names of machines and
// what is said of them try everything.
func TestMachinesAreHarmless(t *testing.T) {
	r := hostileReport()
	r.Machines = []finding.Machine{{Name: payload, File: payload, Material: payload}, {Name: "mini"}}
	r.Where = &finding.FailWhere{Policy: finding.FailOnNamed, Names: []string{payload}}
	m := &r.Models[0]
	for i := range m.Findings {
		m.Findings[i].On = []string{payload}
	}
	m.Machines = []finding.OnMachine{
		{Machine: payload, Findings: finding.LevelCount{Error: 1}, Words: payload, Advice: &finding.Advice{Words: payload}},
		{Machine: "mini", Undecided: payload},
	}
	for _, format := range Formats() {
		text := textOf(t, format, r, Options{Exit: 1})
		for _, line := range strings.Split(text, "\n") {
			assert.Equal(t, -1, strings.IndexFunc(strings.TrimLeft(line, "\t"), words.Hidden), "%s: %q", format, line)
			if format != "github" {
				assert.False(t, strings.HasPrefix(strings.TrimSpace(line), "::"), "%s: %q", format, line)
			}
		}
		if check := harmless[format]; check != nil && format != "github" {
			check(t, text)
		}
	}
}

// TestMatrixLeavesRoom holds that the table of very many models leaves room for findings in
// the summary, and says what it leaves out.
func TestMatrixLeavesRoom(t *testing.T) {
	r := shelf(6000)
	r.Machines = machines(10)
	text := markdownOf(t, r, Options{Exit: 2})
	assert.LessOrEqual(t, len(text), maxSummary)
	table, rest, found := strings.Cut(text, "\n### By rule")
	require.True(t, found)
	assert.Regexp(t, `and \d+ more models; the summary is full`, table)
	assert.Greater(t, len(rest), maxSummary/2)
}

// TestNoMachineNoWord holds that a run that knows only one machine is written as it ever was.
func TestNoMachineNoWord(t *testing.T) {
	var all string
	for _, format := range Formats() {
		all += strings.ToLower(textOf(t, format, onMachines(4), Options{Exit: 1}))
	}
	for _, format := range Formats() {
		text := bare.ReplaceAllString(textOf(t, format, gateSample(), Options{Exit: 1}), "")
		for _, word := range []string{"on machine", "on every machine", "on each machine", "which machine", `"machines"`, "matrix", "data-machines"} {
			assert.NotContains(t, strings.ToLower(text), word, format)
			assert.Contains(t, all, word, "the words that this looks for are those of today")
		}
	}
}
