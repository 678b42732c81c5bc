package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// pageOf renders a report as a page.
func pageOf(t *testing.T, r *finding.Report, opt Options) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, "html", r, opt))
	return out.String()
}

// drawn is one of every picture for each model that can have one.
func drawn(r *finding.Report) func(int) *draw.Pictures {
	return func(i int) *draw.Pictures {
		m := &r.Models[i]
		if m.Status != finding.Checked || i%2 == 1 {
			return nil
		}
		p := &draw.Encoded{PNG: []byte("not looked into"), Width: 64, Height: 48, Words: "seen from above"}
		var layers []draw.LayerView
		for k := range words.Shown(m) {
			p.Badges = append(p.Badges, draw.Badge{Number: k + 1, X: 10, Y: 20, AtX: 30, AtY: 40})
			layers = append(layers, draw.LayerView{Number: k + 1, SVG: "<svg></svg>", Words: "layer 1"})
		}
		return &draw.Pictures{Lying: p, Under: p, Advised: p, Layers: layers, Shape: &draw.Shape{Corners: draw.Packed{1, 2}, Tris: draw.Packed{3}, Levels: []uint8{1}, Marks: []draw.Pin{}},
			Slices: &draw.Slices{Wide: 10, High: 5, Heights: []float64{0.1}, Layers: []int{1}, Shows: []int{0}, PNG: [][]byte{{1}}, Marks: []draw.SliceMark{}}}
	}
}

// TestPageIsSelfContained holds that nothing is fetched: no address anywhere that a
// browser would follow by itself, and a policy that forbids it.
func TestPageIsSelfContained(t *testing.T) {
	r := sample()
	text := pageOf(t, r, Options{Pictures: drawn(r)})
	// What the script asks for is seen in the browser: internal/cli holds that it asks for nothing.
	text = regexp.MustCompile(`(?s)<script>.*?</script>`).ReplaceAllString(text, "")
	for _, m := range regexp.MustCompile(`(?:src|href|url\()\s*[="(]+([^"')>]*)`).FindAllStringSubmatch(text, -1) {
		at := m[1]
		assert.True(t, strings.HasPrefix(at, "#") || strings.HasPrefix(at, "data:"), "%q is fetched", m[0])
	}
	for _, word := range []string{"@import", "<iframe", "<object", "<embed", "<base", "<form action", "onclick", "onload", "onerror", "javascript:", " style="} {
		assert.False(t, strings.Contains(text, word), word)
	}
	assert.Contains(t, text, `http-equiv="Content-Security-Policy"`)
	assert.Contains(t, text, "default-src &#39;none&#39;")
}

// TestPolicyNamesWhatThePageHolds holds that the hashes of the policy are those of the
// one style sheet and the one script as they stand in the page.
func TestPolicyNamesWhatThePageHolds(t *testing.T) {
	r := sample()
	text := pageOf(t, r, Options{Pictures: drawn(r)})
	found := regexp.MustCompile(`Content-Security-Policy" content="([^"]*)"`).FindStringSubmatch(text)
	require.NotNil(t, found)
	policy := html.UnescapeString(found[1])
	for _, element := range []string{"style", "script"} {
		found := regexp.MustCompile(`(?s)<`+element+`>(.*?)</`+element+`>`).FindAllStringSubmatch(text, -1)
		require.Len(t, found, 1, element)
		sum := sha256.Sum256([]byte(found[0][1]))
		assert.Contains(t, policy, element+"-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
	}
	assert.NotContains(t, policy, "unsafe")
	// Every other script element is data.
	for _, m := range regexp.MustCompile(`<script[^>]*>`).FindAllString(text, -1) {
		assert.True(t, m == "<script>" || strings.Contains(m, `type="application/json"`), m)
	}
}

// TestNamesStayText puts tags and quotes wherever a stranger's words can stand.
func TestNamesStayText(t *testing.T) {
	r := hostileReport()
	r.Models[0].Findings[0].Values = finding.Values{{Name: payload, Unit: payload, Value: 1}, {Name: "a", Unit: "mm", Value: 2}}
	r.Models[0].Findings[0].Limits = finding.Values{{Name: payload, Unit: payload, Value: 1}, {Name: "a", Unit: "mm", Value: 1}}
	r.Models[0].Advice = &finding.Advice{Words: payload, Poses: []finding.Pose{{Words: payload, Costs: []string{payload}, Support: &finding.SupportTotal{}}},
		Support: &finding.Support{Kind: payload, Sites: []finding.SupportSite{{Kind: payload, Why: payload, Stands: payload, Risk: payload, Reach: payload}}}}
	text := pageOf(t, r, Options{Pictures: drawn(r)})
	// Not NotContains: a failure would print the whole page.
	assert.False(t, strings.Contains(text, "<script>alert"))
	assert.Equal(t, -1, strings.IndexFunc(strings.ReplaceAll(text, "\n", ""), words.Hidden))
	assert.Greater(t, strings.Count(text, "&lt;script&gt;alert(1)"), 15, "the names are there, as text")
	assert.Greater(t, strings.Count(text, `\u003cscript\u003e`), 1, "and in the data")
}

// TestDataCanBeRead holds the data blocks against what the script expects.
func TestDataCanBeRead(t *testing.T) {
	r := sample()
	text := pageOf(t, r, Options{Pictures: drawn(r)})
	blocks := regexp.MustCompile(`(?s)<script type="application/json" id="([^"]+)">(.*?)</script>`).FindAllStringSubmatch(text, -1)
	require.Greater(t, len(blocks), 2)
	for _, b := range blocks {
		var v map[string]any
		require.NoError(t, json.Unmarshal([]byte(b[2]), &v), b[1])
		if strings.HasPrefix(b[1], "slices-") {
			for _, key := range []string{"wide", "high", "heights", "layers", "shows", "png", "marks"} {
				assert.Contains(t, v, key, b[1])
			}
			continue
		}
		if b[1] != "list" {
			for _, key := range []string{"min", "step", "corners", "tris", "levels", "marks"} {
				assert.Contains(t, v, key, b[1])
			}
			continue
		}
		models := v["models"].([]any)
		assert.Len(t, models, len(r.Models))
		for _, m := range models {
			for _, key := range []string{"id", "name", "path", "state", "worst", "errors", "warnings", "notes", "height", "rules"} {
				assert.Contains(t, m, key)
			}
		}
	}
}

// TestEveryPlaceIsNamedOnce holds that no two elements share a name and that every link
// within the page leads somewhere.
func TestEveryPlaceIsNamedOnce(t *testing.T) {
	r := sample()
	text := pageOf(t, r, Options{Pictures: drawn(r)})
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(`\sid="([^"]+)"`).FindAllStringSubmatch(text, -1) {
		assert.False(t, seen[m[1]], "%s twice", m[1])
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`(?:href="#|url\(#|aria-controls="|aria-labelledby=")([^")]+)`).FindAllStringSubmatch(text, -1) {
		assert.True(t, seen[m[1]], "%s leads nowhere", m[0])
	}
}

func TestPageIsTheSameEveryTime(t *testing.T) {
	r := sample()
	first := pageOf(t, r, Options{Pictures: drawn(r)})
	for range 3 {
		assert.Equal(t, first, pageOf(t, r, Options{Pictures: drawn(r)}))
	}
}
