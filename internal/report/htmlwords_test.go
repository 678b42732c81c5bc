package report

import (
	"bytes"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// wordsOf is what a page says, without its tags.
func wordsOf(page string) string {
	page = page[strings.Index(page, "<body>"):]
	page = regexp.MustCompile(`(?s)<(style|script|svg)[ >].*?</(style|script|svg)>`).ReplaceAllString(page, " ")
	page = regexp.MustCompile(`<[^>]*>`).ReplaceAllString(page, " ")
	return strings.Join(strings.Fields(html.UnescapeString(page)), " ")
}

// TestPageSaysEverything holds that the page has all that the report has, with pictures
// and without.
func TestPageSaysEverything(t *testing.T) {
	r := sample()
	r.Rules.Rules = []finding.Rule{{ID: "max-overhang-angle", Because: "plastic falls", Source: "a book"}}
	r.Models[2].Advice = &finding.Advice{
		Words: "turned 180 deg about x it prints with no finding; bed contact 412 mm2",
		Poses: []finding.Pose{{Words: "turn it on its head", Base: 412, Height: 40, Grams: 12, Minutes: 50, Costs: []string{"its top is flattened"}},
			{Words: "as it lies", Findings: finding.LevelCount{Error: 1, Warning: 1}, Support: &finding.SupportTotal{Grams: 3, Minutes: 9}}},
		Support: &finding.Support{Kind: "grid", SupportTotal: finding.SupportTotal{Grams: 3, Minutes: 9, Contact: 40, Cost: 0.12},
			Sites: []finding.SupportSite{{At: [3]float64{1, 2, 3}, Kind: "grid", Stands: "bed", Drop: 30, Area: 40, Why: "it is broad", Risk: "a thin fin", Reach: "a tool reaches it"}}},
	}
	for _, opt := range []Options{{}, {Pictures: drawn(r)}} {
		text := wordsOf(pageOf(t, r, opt))
		for _, want := range []string{
			"2 of 5 models print as they lie, 1 only because errors were accepted.", "2 would fail", "1 could not be judged", "1 skipped",
			"Hook parts/hook.stl", "Would fail as it lies. Turned 180 deg about x", "Underside leans error max-overhang-angle Why? Do: Lay the model on another face",
			"Underside leans 90 deg from vertical", "At (24, 5.12, 0) mm, line 212.", "Angle 90° limit 45°", "Reach 20.0 mm limit 2 mm",
			"Why these places matter", "Plastic falls.", "A book.",
			"Accepted because: printed many times, until 2030-01-31", "The file ends within triangle 3; export it again.",
			"Excluded by models.exclude", "“lid”", "24 bytes follow the last triangle",
			"But: Its top is flattened.", "1 error, 1 warning", "Support for the first way up", "costs 0.12",
			"Risk: A thin fin. A tool reaches it.", "Before you print this model", "Lay it so: turn it on its head.", "printlint explain max-overhang-angle",
			"Before you print", "qualified person", "ventilate", "eye protection", "unattended",
		} {
			assert.Contains(t, text, want)
		}
	}
}

// TestWorstComesFirst holds the order of the list.
func TestWorstComesFirst(t *testing.T) {
	r := sample()
	text := pageOf(t, r, Options{})
	var order []string
	for _, m := range regexp.MustCompile(`(?s)<article id="[^"]+" class="model (\w+)[^"]*"[^>]*>.*?<code>(.*?)</code>`).FindAllStringSubmatch(text, -1) {
		order = append(order, m[1]+" "+m[2])
	}
	require.Len(t, order, 6)
	assert.Contains(t, order[0], "unread parts/broken.stl")
	assert.Contains(t, order[1], "fail parts/hook.stl")
	assert.Contains(t, order[2], "fail parts/plate.3mf")
	assert.Contains(t, order[3], "fine parts/tiny")
	assert.Contains(t, order[4], "fine parts/good.stl")
	assert.Contains(t, order[5], "left parts/old.stl")
}

// TestPicturesWithoutPlace holds that a badge for a finding that is not shown is left out.
func TestPicturesWithoutPlace(t *testing.T) {
	r := sample()
	text := pageOf(t, r, Options{Pictures: func(i int) *draw.Pictures {
		if i != 2 {
			return nil
		}
		return &draw.Pictures{Lying: &draw.Encoded{Width: 9, Height: 9, Badges: []draw.Badge{{Number: 99}, {Number: 1}}}, Layers: []draw.LayerView{{Number: 99, SVG: "<lost/>"}}}
	}})
	assert.NotContains(t, text, "<lost/>")
	assert.Equal(t, 1, strings.Count(text, `aria-label="finding `))
}

// TestMarkdownNamesPicturesFromItsFolder holds that a report which is written elsewhere
// still finds the pictures.
func TestMarkdownNamesPicturesFromItsFolder(t *testing.T) {
	for folder, want := range map[string]string{"": "shots/a.png", ".": "shots/a.png", "shots": "a.png", "out/today": "../../shots/a.png", "..": "report/shots/a.png"} {
		text := textOf(t, "markdown", sample(), Options{Folder: folder, Pictures: func(i int) *draw.Pictures {
			return []*draw.Pictures{nil, nil, {File: "shots/a.png"}, nil, nil, nil}[i]
		}})
		assert.Contains(t, text, "]("+want+")", folder)
	}
}

// TestMarkdownShowsPictures holds that the summary points at pictures that were saved,
// in an address no name can break out of, and says the same without them.
func TestMarkdownShowsPictures(t *testing.T) {
	r := sample()
	var plain, shown bytes.Buffer
	require.NoError(t, Write(&plain, "markdown", r, Options{}))
	require.NoError(t, Write(&shown, "markdown", r, Options{Pictures: func(i int) *draw.Pictures {
		return []*draw.Pictures{nil, nil, {File: "shots/a b)](x).png"}, nil, {}, nil}[i]
	}}))
	assert.NotContains(t, plain.String(), "![")
	assert.Equal(t, 1, strings.Count(shown.String(), "!["))
	line := regexp.MustCompile(`(?m)^!\[[^\]]*\]\(([^ ()]*)\)$`).FindStringSubmatch(shown.String())
	require.NotNil(t, line, shown.String())
	assert.True(t, strings.HasPrefix(line[1], "shots/a%20b"), line[1])
	assert.Equal(t, plain.String(), strings.Replace(shown.String(), line[0]+"\n\n", "", 1))
}
