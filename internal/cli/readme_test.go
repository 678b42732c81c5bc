package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

// readme is the project's first page.
func readme(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	return string(text)
}

// TestReadmeCommandsRun holds that every printlint command line shown in the README is
// one: it is known, its flags are known, and what it names is there.
func TestReadmeCommandsRun(t *testing.T) {
	lines := regexp.MustCompile(`(?m)^    (?:go run \./cmd/)?printlint (.*)$`).FindAllStringSubmatch(readme(t), -1)
	require.Len(t, lines, 2)
	t.Chdir("../..")
	for _, l := range lines {
		code, out, complaints := run(t, Env{}, strings.Fields(l[1])...)
		assert.Less(t, code, 2, l[1])
		assert.NotEmpty(t, out, l[1])
		assert.Regexp(t, `\A(printlint: rules: .*\n)?\z`, complaints, l[1])
	}
}

// TestReadmeNamesEveryCommand holds the table of commands, both ways.
func TestReadmeNamesEveryCommand(t *testing.T) {
	named := map[string]bool{}
	for _, c := range commands() {
		named[c.name] = true
		assert.Contains(t, readme(t), "| `"+strings.TrimSpace("printlint "+c.name+" "+c.args)+"` |")
	}
	rows := regexp.MustCompile("(?m)^\\| `printlint (\\w+)").FindAllStringSubmatch(readme(t), -1)
	require.Len(t, rows, len(named))
	for _, r := range rows {
		assert.True(t, named[r[1]], r[1])
	}
}

// TestReadmeConfigurationLoads holds that what people copy from the README is right.
func TestReadmeConfigurationLoads(t *testing.T) {
	blocks := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(readme(t), -1)
	require.NotEmpty(t, blocks)
	for _, b := range blocks {
		_, err := ruleset.Load("c.yml", ruleset.Options{
			Catalog: measure.Catalog(),
			Open:    func(string) ([]byte, error) { return []byte(b[1]), nil },
		})
		assert.NoError(t, err)
	}
}

// TestPagesLinkToWhatIsThere follows the relative links of the project's pages.
func TestPagesLinkToWhatIsThere(t *testing.T) {
	pages, err := filepath.Glob("../../*.md")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(pages), 2)
	docs, err := filepath.Glob("../../docs/*.md")
	require.NoError(t, err)
	require.NotEmpty(t, docs)
	pages = append(pages, docs...)
	for _, page := range pages {
		text, err := os.ReadFile(page)
		require.NoError(t, err)
		for _, link := range regexp.MustCompile(`\]\(([^):#]+)\)`).FindAllStringSubmatch(string(text), -1) {
			_, err := os.Stat(filepath.Join(filepath.Dir(page), link[1]))
			assert.NoError(t, err, page)
		}
	}
}
