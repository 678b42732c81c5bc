package html

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// TestScriptIsMadeFromItsSources holds that the bundle was built after the last change:
// its first line names the hash of what it was made from.
func TestScriptIsMadeFromItsSources(t *testing.T) {
	build, err := os.ReadFile("web/build.mjs")
	require.NoError(t, err)
	list := regexp.MustCompile(`const sources = \[(.*?)\]`).FindSubmatch(build)
	require.NotNil(t, list)
	sum := sha256.New()
	names := regexp.MustCompile(`'([^']+)'`).FindAllSubmatch(list[1], -1)
	require.Greater(t, len(names), 4)
	for _, n := range names {
		text, err := os.ReadFile("web/" + string(n[1]))
		require.NoError(t, err)
		sum.Write(text)
	}
	assert.Contains(t, scriptText, "made from "+hex.EncodeToString(sum.Sum(nil)), "build it anew, see web/build.mjs")
	assert.Contains(t, scriptText, "Permission is hereby granted", "the licence of what it holds stays with it")
	assert.Less(t, len(scriptText), 60_000)
	entries, err := os.ReadDir("web")
	require.NoError(t, err)
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".js") {
			assert.Contains(t, string(list[1]), "'"+e.Name()+"'", "left out of the hash")
		}
	}
}

func TestVerdict(t *testing.T) {
	for want, s := range map[string]map[string]int{
		"No model was judged.":                         {"left": 3},
		"The model prints as it lies.":                 {"fine": 1},
		"All 3 models print as they lie.":              {"fine": 3},
		"The model would fail as it lies.":             {"fail": 1},
		"The model needs a look before it is printed.": {"look": 1},
		"None of 4 models prints as it lies.":          {"look": 1, "fail": 2, "unread": 1},
		"1 of 4 models prints as it lies.":             {"fine": 1, "fail": 3, "left": 2},
		"12 of 40 models print as they lie.":           {"fine": 12, "look": 28},
	} {
		assert.Equal(t, want, verdict(s, 0, 0))
		assert.Equal(t, want, verdict(s, 1, 0))
	}
	for want, s := range map[string]map[string]int{
		"The model prints as it lies on every machine.":           {"fine": 1},
		"All 3 models print as they lie on every machine.":        {"fine": 3},
		"The model would fail as it lies on one machine or more.": {"fail": 1},
		"The model needs a look before it is printed.":            {"look": 1},
		"None of 4 models prints as it lies on every machine.":    {"fail": 4},
		"12 of 40 models print as they lie on every machine.":     {"fine": 12, "fail": 28},
		"1 of 2 models prints as it lies on every machine.":       {"fine": 1, "fail": 1},
		"No model was judged.":                                    {},
	} {
		assert.Equal(t, want, verdict(s, 2, 0))
	}
	assert.Equal(t, "The model prints as it lies, only because errors were accepted.", verdict(map[string]int{"fine": 1}, 1, 1))
	assert.Equal(t, "All 9 models print as they lie on every machine, 4 only because errors were accepted.", verdict(map[string]int{"fine": 9}, 4, 4))
	assert.Equal(t, "3 of 9 models print as they lie, only because errors were accepted.", verdict(map[string]int{"fine": 3, "fail": 6}, 1, 3))
}

func TestSentences(t *testing.T) {
	for in, want := range map[string]string{"": "", "lay it flat": "Lay it flat.", "Done.": "Done.", "really?": "Really?", "(a)": "(a)."} {
		assert.Equal(t, want, sentence(in))
	}
}

// TestQuoted holds that a shell takes a name as one word, and not as a flag.
func TestQuoted(t *testing.T) {
	for in, want := range map[string]string{
		"a/b-c_1.stl": "a/b-c_1.stl", "a b": "'a b'", "it's": `'it'\''s'`, "$(rm)": "'$(rm)'", "-q": "./-q", "": "''", "ä.stl": "'ä.stl'",
	} {
		assert.Equal(t, want, quoted(in))
	}
}

func TestTitles(t *testing.T) {
	for in, want := range map[string]string{"tools/fence-hook.stl": "Fence hook", "S02.stl": "S02", ".stl": ".stl", "a/big__lid.3mf": "Big lid", "--.stl": "--.stl"} {
		assert.Equal(t, want, titled(&finding.Model{Path: in}))
	}
}

func TestCommonFolder(t *testing.T) {
	for _, c := range []struct {
		want  string
		names []string
	}{
		{"", nil}, {"", []string{"a/b/c.stl"}}, {"a/", []string{"a/b.stl", "a/c.stl"}}, {"a/b/", []string{"a/b/c.stl", "a/b/d/e.stl"}},
		{"", []string{"a/b.stl", "c.stl"}}, {"", []string{"ab/x.stl", "abc/x.stl"}}, {"../x/", []string{"../x/ab.stl", "../x/abc.stl"}},
	} {
		var models []*model
		for _, n := range c.names {
			models = append(models, &model{Model: &finding.Model{Path: n}})
		}
		assert.Equal(t, c.want, commonFolder(models), "%v", c.names)
	}
}

// TestBars holds where a value and its limit are drawn, and where nothing can be.
func TestBars(t *testing.T) {
	assert.Equal(t, &bar{"90.0", "10.0"}, newBar(20, 2))
	assert.Equal(t, &bar{"45.0", "91.0"}, newBar(1, 2))
	for _, none := range [][2]float64{{-1, 2}, {1, -2}, {0, 0}, {math.Inf(1), 2}, {math.NaN(), 2}, {2, math.NaN()}, {1e300, 1}} {
		assert.Nil(t, newBar(none[0], none[1]), "%v", none)
	}
}

func TestBadgesHaveShapes(t *testing.T) {
	drawn := func(b badge) string {
		var out strings.Builder
		require.NoError(t, pageTemplate.ExecuteTemplate(&out, "badge", b))
		return out.String()
	}
	assert.Contains(t, drawn(badgeOf(finding.Error, 7)), "<path")
	assert.Contains(t, drawn(badgeOf(finding.Error, 7)), ">7</text>")
	assert.Contains(t, drawn(badgeOf(finding.Warning, 0)), "<rect")
	assert.NotContains(t, drawn(badgeOf(finding.Warning, 0)), "<text")
	assert.Contains(t, drawn(badgeOf(finding.Note, 120)), `font-size="10"`)
	assert.Contains(t, drawn(badgeOf(`"><script>`, 1)), `class="badge none"`)
	assert.Contains(t, drawn(clean), `class="badge clean"`)
	assert.Empty(t, drawn(badge{}))
}

// TestCuresDoNotContradict holds that what the advised turn or the planned support cures is
// not asked for again in the list of what to do, and that the page says so at the finding.
func TestCuresDoNotContradict(t *testing.T) {
	found := []finding.Finding{{Rule: "hangs", Level: finding.Error, Advice: "turn it"}}
	turned := [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}
	for name, c := range map[string]struct {
		pose        finding.Pose
		cured, held bool
		asked       bool
	}{
		"turned away":   {finding.Pose{Matrix: turned}, true, false, false},
		"stays, turned": {finding.Pose{Matrix: turned, Left: []finding.RuleCount{{Rule: "hangs", Level: finding.Error}}}, false, false, true},
		"held":          {finding.Pose{Matrix: asItLies, Left: []finding.RuleCount{{Rule: "hangs", Level: finding.Error, Cured: true}}}, false, true, false},
		"turned, held":  {finding.Pose{Matrix: turned, Left: []finding.RuleCount{{Rule: "hangs", Level: finding.Error, Cured: true}}}, false, true, false},
		"not held":      {finding.Pose{Matrix: asItLies, Left: []finding.RuleCount{{Rule: "hangs", Level: finding.Error}}}, false, false, true},
	} {
		p := &model{Model: &finding.Model{Findings: found, Advice: &finding.Advice{Poses: []finding.Pose{c.pose}}}}
		p.gather(&Options{}, nil)
		p.todo()
		require.Len(t, p.Rules, 1, name)
		assert.Equal(t, [2]bool{c.cured, c.held}, [2]bool{p.Rules[0].Cured, p.Rules[0].Held}, name)
		assert.Equal(t, c.asked, strings.Contains(strings.Join(p.Todo, "\n"), "Turn it."), name)
	}
}

// TestHeadingsAreInWords holds that a rule is named by what it finds, and not by the number of
// one place.
func TestHeadingsAreInWords(t *testing.T) {
	models := []*model{
		{Rules: []*rule{{Name: "flat-base", Title: "Only 0.1 mm² lies flat on the bed"}}},
		{Rules: []*rule{{Name: "max-bridge-length", Title: "Bridge"}, {Name: "flat-base", Title: "Other"}}},
	}
	assert.Equal(t, "Too little lies flat on the bed", title("flat-base", models))
	assert.Equal(t, "Bridge", title("max-bridge-length", models))
	assert.Equal(t, "Not found", title("not-found", models))
}
