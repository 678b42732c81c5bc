package html

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// written collects the pages of a folder by their names. Of the models only some have their
// pages written, the others are like these.
func written(t *testing.T, r *finding.Report, o Options) map[string]string {
	t.Helper()
	pages := map[string]string{}
	require.NoError(t, WriteFolder(func(name string, to func(io.Writer) error) error {
		var b bytes.Buffer
		require.NotContains(t, pages, name)
		var err error
		if len(pages) < 20 || name == "m1.html" || name == "m2300.html" {
			err = to(&b)
		}
		pages[name] = b.String()
		return err
	}, r, o))
	return pages
}

// manyModels are models of which every other one has an error.
func manyModels(n int) *finding.Report {
	r := &finding.Report{}
	for i := range n {
		m := finding.Model{Path: fmt.Sprintf("shelf/box-%05d.stl", i), Kind: "stl", Status: finding.Checked}
		if i%2 == 1 {
			m.Findings = []finding.Finding{{Rule: "hangs", Level: finding.Error, Message: "it hangs", Triangle: 1}}
		}
		r.Models = append(r.Models, m)
	}
	return r
}

var (
	links = regexp.MustCompile(`href="([^"#]+\.html)`)
	rows  = regexp.MustCompile(`<tr id="row-`)
)

// TestListOfVeryManyModels holds that a long list goes on in further pages, which a browser
// can open, that each model has one row, and that every link leads to a page.
func TestListOfVeryManyModels(t *testing.T) {
	const models = 2*maxRows + 300
	pictures := func(i int) *draw.Pictures {
		if i > 1 {
			return nil
		}
		return &draw.Pictures{Lying: &draw.Encoded{Width: 640, Height: 480}}
	}
	pages := written(t, manyModels(models), Options{Pictures: pictures, Drawn: 2})
	all := 0
	for name, text := range pages {
		all += len(rows.FindAllString(text, -1))
		assert.Less(t, len(text), 2_000_000, name)
		for _, to := range links.FindAllStringSubmatch(text, -1) {
			assert.Contains(t, pages, to[1], "%s leads to it", name)
		}
	}
	assert.Equal(t, models, all)
	for k, name := range []string{"index.html", "list-2.html", "list-3.html"} {
		assert.Contains(t, pages[name], fmt.Sprintf("Models %d to %d of %d, the worst first.", k*maxRows+1, min(models, (k+1)*maxRows), models))
		assert.Contains(t, pages[name], scriptText[:200])
	}
	assert.Len(t, pages, 3+models/2+1, "one of which nothing is to be said has no page, but for the one that was drawn")
	assert.Contains(t, pages["m1.html"], "<image")
	assert.NotContains(t, pages, "m3.html")
	assert.Contains(t, pages["m4.html"], "of 2300 models the report draws only the 2 worst")
	assert.NotContains(t, pages["m4.html"], "In the pictures")
	assert.Less(t, len(pages["m4.html"]), 40_000, "there is nothing for the script to do")
	assert.NotContains(t, pages["m2.html"], "No picture")
	assert.Equal(t, 1, strings.Count(pages["m2300.html"], `href="list-2.html"`), "back to its own part of the list")
}

// TestListOfSomeModels holds that each model of a list that one page holds has a page.
func TestListOfSomeModels(t *testing.T) {
	pages := written(t, manyModels(7), Options{})
	assert.Len(t, pages, 8)
	assert.NotContains(t, pages["index.html"], "the worst first. Search")
}
