package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// TestFoldersInReports holds how each format tells of a folder: by its path, and not as a model.
func TestFoldersInReports(t *testing.T) {
	r := &finding.Report{
		Format: finding.Format, Tool: finding.Tool{Name: "printlint", Version: "1"}, FailAt: finding.Error,
		Rules:   finding.RuleSet{Sets: []string{"standard"}, Rules: []finding.Rule{{ID: "no-images", Level: finding.Error, Measure: "folder", Per: "folder", Because: "b"}}},
		Summary: finding.Summary{Error: 1},
		Models: []finding.Model{{Path: "parts/clips", Kind: finding.KindFolder, Status: finding.Checked, Notes: []string{}, Findings: []finding.Finding{{
			Rule: "no-images", Level: finding.Error, Message: "images in it: x.png", Fingerprint: "00112233aabbccdd",
			Values: finding.Values{{Name: `holds("*.png")`, Value: 1}}, Limits: finding.Values{},
		}}}},
	}
	written := func(format string) string {
		var b bytes.Buffer
		require.NoError(t, Write(&b, format, r, Options{FailAt: finding.Error, Exit: 1}))
		return b.String()
	}
	assert.Contains(t, written("text"), "parts/clips: error: images in it: x.png [no-images]\n")
	assert.Contains(t, written("json"), `"kind": "folder"`)
	assert.Contains(t, written("junit"), `<testsuite name="parts/clips" tests="1" failures="1"`)
	assert.Contains(t, written("markdown"), "| error | the folder | images in it: x.png |")
	assert.Contains(t, written("github"), "::error file=parts/clips,title=no-images::images in it: x.png")
	page := written("html")
	assert.Contains(t, page, "a folder with models")
	assert.NotContains(t, page, "printlint draw parts/clips")
	for _, format := range []string{"sarif", "code-scanning"} {
		text := written(format)
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		require.NoError(t, err)
		require.NoError(t, officialSchema(t).Validate(doc))
		assert.Contains(t, text, `"roles": ["directory"]`, format)
		assert.Contains(t, text, "over each folder that holds models", format)
	}
}
