package house

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/reading"
)

// notProse is what a page holds besides sentences: blocks to copy, tables and remarks for
// tests, headings, and names, which stand for one short word each.
var notProse = []struct {
	what *regexp.Regexp
	to   string
}{
	{regexp.MustCompile("(?ms)^```.*?^```$"), ""},
	{regexp.MustCompile(`(?m)^    \S.*$`), ""},
	{regexp.MustCompile(`(?s)<!--.*?-->`), ""},
	{regexp.MustCompile(`(?m)^(\||#).*$`), ""},
	{regexp.MustCompile("`[^`\n]+`"), "it"},
	{regexp.MustCompile(`\]\([^)]*\)`), ""},
	{regexp.MustCompile(`(?m)^ *([-*]|\d+\.) `), "\n\n"},
}

// prose is the sentences of a page.
func prose(page string) string {
	for _, n := range notProse {
		page = n.what.ReplaceAllString(page, n.to)
	}
	return page
}

// TestPagesAreReadWithEase holds the pages for users to what docs/words.md promises of every
// page: no word that only this program uses, and sentences of grade 9 at most.
func TestPagesAreReadWithEase(t *testing.T) {
	pages, err := filepath.Glob(filepath.Join(root, "docs", "*.md"))
	require.NoError(t, err)
	require.NotEmpty(t, pages)
	for _, path := range append(pages, filepath.Join(root, "README.md")) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		sentences := prose(string(text))
		require.Greater(t, len(strings.Fields(sentences)), 100, path)
		assert.LessOrEqual(t, reading.Grade(sentences), 9.0, path)
		assert.Empty(t, reading.Unwelcome(sentences), path)
	}
}
