package report

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// gateRules are rules as a run reports them.
func gateRules() []finding.Rule {
	return []finding.Rule{
		{ID: "max-overhang-angle", Level: finding.Error, Measure: "overhang",
			Because: "Plastic is laid on the layer below. What hangs droops,\nand the print turns to spaghetti from there on up.",
			Do:      "lay the model on another face, or let it have support there",
			Limits:  []string{"angle 45 deg", "reach 2 mm"}, Source: "common practice, no source"},
		{ID: "off", Level: finding.None, Measure: "size", Because: "Switched off here.", Limits: []string{}},
		{ID: "plausible-size", Level: finding.Error, Measure: "size", Because: "Inches read as millimetres come out 25 times too small.", Limits: []string{}},
		{ID: "undecided", Level: finding.Error, Because: "It must not pass for that.", Do: "Repair the surface.", Limits: []string{}},
	}
}

// gateSample is sample with what the formats of a gate treat in their own ways:
// rules, containers, models that cannot be decided, advice, a configuration.
func gateSample() *finding.Report {
	r := sample()
	r.Rules.Rules = gateRules()
	hangs := r.Models[2].Findings[0]
	hangs.Line, hangs.Triangle, hangs.Bytes = 0, 3, &finding.Bytes{Offset: 184, Length: 50}
	inXML := r.Models[2].Findings[1]
	stale := finding.Finding{Rule: "stale-waiver", Level: finding.Warning, Line: 14, Message: "the waiver of min-wall for a.stl should go: it matched no finding",
		Advice: "remove the waiver", Fingerprint: "8899aabbccddeeff", Values: finding.Values{}, Limits: finding.Values{}}
	r.Models[2].Advice = &finding.Advice{Words: "turned 90 deg about x it prints with no finding; bed contact 412 mm2"}
	for i := range r.Models {
		r.Models[i].SHA256 = "5e884898da28047151d0e56f8dc6292773603d0d6aabbd621effd1e69af8be0f"
	}
	r.Models = append([]finding.Model{{Path: ".printlint.yml", Kind: finding.KindConfig, Status: finding.Checked,
		Notes: []string{"the rules here are others; those of origin/main hold for this check"}, Findings: []finding.Finding{stale}}}, r.Models...)
	r.Models = append(r.Models,
		finding.Model{Path: "packs/spring.zip!/models/clip.stl", Kind: "stl", SHA256: "aa", Status: finding.Undecided, Reason: "overhang could not be measured: the surface is open; repair it", Triangles: 12, Findings: []finding.Finding{hangs}},
		finding.Model{Path: "packs/spring.zip!/plate.3mf!/3D/plate.model", Part: "lid", Kind: "3mf", SHA256: "bb", Status: finding.Undecided, Reason: "it has curves, which are not read; export it as triangles", Triangles: 12, Findings: []finding.Finding{inXML}},
		finding.Model{Path: "packs/spring.zip!/torn.stl", Status: finding.Unreadable, Reason: "the file ends within triangle 3; export it again", Findings: []finding.Finding{}},
	)
	r.Summary = finding.Summary{Models: 8, Fail: 2, Clean: 2, Noted: 1, Error: 4, Warning: 3, Note: 1, Waived: 1, Undecided: 2, Unreadable: 2}
	return r
}

// TestGateGolden compares the formats that services read with what is kept, and fails
// on kept files that no format produced.
func TestGateGolden(t *testing.T) {
	kept, err := filepath.Glob("testdata/gate/*")
	require.NoError(t, err)
	seen := []string{"text", "json", "html"} // by TestGolden, and by the tests of the page
	for name, format := range map[string]string{
		"report.sarif": "sarif", "code-scanning.sarif": "code-scanning", "junit.xml": "junit",
		"annotations.txt": "github", "summary.md": "markdown",
	} {
		seen = append(seen, format)
		var out bytes.Buffer
		require.NoError(t, Write(&out, format, gateSample(), Options{FailAt: finding.Error, Exit: 2}))
		path := filepath.Join("testdata/gate", name)
		if *update {
			require.NoError(t, os.MkdirAll("testdata/gate", 0o777))
			require.NoError(t, os.WriteFile(path, out.Bytes(), 0o666))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err, renew)
		assert.Equal(t, string(want), out.String(), "%s: %s", name, renew)
		kept = slices.DeleteFunc(kept, func(k string) bool { return k == path })
	}
	assert.ElementsMatch(t, Formats(), seen, "a format without a golden file: name one here, run with -update and read it")
	assert.Empty(t, kept, "golden files that no case produces")
}
