package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/report"
)

// example is a block of commands on a page, which says where it can be run and how it
// ends.
type example struct {
	page, scene, text string
	exits             int
}

// wordsOnly are the pages that show no commands, since they are for looking things up.
var wordsOnly = map[string]bool{"words.md": true, "reference.md": true}

// examples are the blocks of shell commands on every page. A block without the words
// that say how to run it fails: nothing is shown that nobody has tried.
func examples(t *testing.T) []example {
	t.Helper()
	pages, err := filepath.Glob("../../docs/*.md")
	require.NoError(t, err)
	require.NotEmpty(t, pages)
	block := regexp.MustCompile("(?s)(?:<!-- run in: ([a-z-]+), exits (\\d) -->\n)?```sh\n(.*?)```")
	var list []example
	for _, page := range pages {
		text, err := os.ReadFile(page)
		require.NoError(t, err)
		found := block.FindAllStringSubmatch(string(text), -1)
		assert.Equal(t, wordsOnly[filepath.Base(page)], len(found) == 0, "%s shows no commands, or is listed as if", page)
		for _, m := range found {
			require.NotEmpty(t, m[1], "%s does not say how to run:\n%s", page, m[3])
			code, err := strconv.Atoi(m[2])
			require.NoError(t, err)
			list = append(list, example{filepath.Base(page), m[1], m[3], code})
		}
	}
	return list
}

// scenes make the places in which the blocks of a page are run, one after the other.
var scenes = map[string]func(*testing.T) string{
	"pull-request": pullRequestScene,
	"audit":        auditScene,
	"strangers":    strangersScene,
	"hook":         hookScene,
	"shelf":        shelfScene,
	"own-rules":    ownRulesScene,
	"shares":       sharesScene,
	"printer":      printerScene,
	"several":      severalScene,
}

// TestDocsNameEveryFormat holds the table of report formats to those that there are.
func TestDocsNameEveryFormat(t *testing.T) {
	page, err := os.ReadFile("../../docs/pull-request.md")
	require.NoError(t, err)
	for _, name := range report.Formats() {
		if !strings.Contains(string(page), "\n| `"+name+"` | ") {
			t.Errorf("docs/pull-request.md does not say in its table of reports what the format %s is for", name)
		}
	}
}

// TestDocsTellHowLongThePlatesTake holds the plates, pieces and minutes of docs/your-printer.md to
// what the program makes.
func TestDocsTellHowLongThePlatesTake(t *testing.T) {
	page, err := os.ReadFile("../../docs/your-printer.md")
	require.NoError(t, err)
	text := strings.Join(strings.Fields(string(page)), " ")
	plate := regexp.MustCompile(`plate-\d\.stl: (\d+ pieces), about (\S+) g and (\d+) min`)
	counts := map[int]string{2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
	dir := t.TempDir()
	for nozzle, says := range map[string]string{"0.25": "a %s mm nozzle gets %s plates and %d minutes", "0.4": "", "0.6": "a %s mm nozzle %s and %d", "0.8": "a %s mm nozzle %s and %d"} {
		made := must(t, dir, "printf 'version: 1\\nprocess: {nozzle: "+nozzle+" mm, bed: [220 mm, 220 mm, 250 mm]}\\n' > c.yml && printlint coupon --config c.yml --out "+nozzle)
		plates, minutes := plate.FindAllStringSubmatch(made, -1), 0
		require.NotEmpty(t, plates)
		for _, p := range plates {
			n, err := strconv.Atoi(p[3])
			require.NoError(t, err)
			minutes += n
			if says == "" {
				grams, err := strconv.ParseFloat(p[2], 64)
				require.NoError(t, err)
				assert.Contains(t, text, fmt.Sprintf("one of %s, %.0f g and %s minutes", p[1], grams, p[3]))
			}
		}
		if says != "" {
			assert.Contains(t, text, fmt.Sprintf(says, nozzle, counts[len(plates)], minutes))
		}
	}
}

// TestDocsRun runs what the pages show, and holds how each block ends.
func TestDocsRun(t *testing.T) {
	list := examples(t)
	for scene, build := range scenes {
		t.Run(scene, func(t *testing.T) {
			dir, ran := build(t), 0
			for _, e := range list {
				if e.scene != scene {
					continue
				}
				ran++
				code, out := shell(t, dir, e.text)
				require.Equal(t, e.exits, code, "%s:\n%s\n%s", e.page, e.text, out)
			}
			assert.Positive(t, ran, "no block is run in this scene")
		})
	}
	for _, e := range list {
		assert.Contains(t, scenes, e.scene, e.page)
	}
}

// shell runs commands, stopping at the first that fails.
func shell(t *testing.T, dir, text string) (code int, out string) {
	t.Helper()
	c := exec.Command("bash", "-euo", "pipefail", "-c", text)
	c.Dir = dir
	c.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL=/dev/null", "GIT_CONFIG_SYSTEM=/dev/null", "HOME="+dir,
		"GIT_AUTHOR_NAME=a", "GIT_AUTHOR_EMAIL=a@example.com", "GIT_COMMITTER_NAME=a", "GIT_COMMITTER_EMAIL=a@example.com")
	text2, err := c.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		require.NoError(t, err)
	}
	return c.ProcessState.ExitCode(), string(text2)
}

// must is shell for what has to work.
func must(t *testing.T, dir, text string) string {
	t.Helper()
	code, out := shell(t, dir, text)
	require.Zero(t, code, "%s\n%s", text, out)
	return out
}

// TestAuditOfAPack holds what the reports of an audit say of all 300 models.
func TestAuditOfAPack(t *testing.T) {
	dir := auditScene(t)
	for _, e := range examples(t) {
		if e.scene == "audit" {
			code, out := shell(t, dir, e.text)
			require.Equal(t, e.exits, code, out)
			break
		}
	}
	summary, err := os.ReadFile(filepath.Join(dir, "audit.md"))
	require.NoError(t, err)
	assert.Contains(t, string(summary), "\n300 models: 11 would fail, 289 fine; ")
	sarif, err := os.ReadFile(filepath.Join(dir, "audit.sarif"))
	require.NoError(t, err)
	assert.Equal(t, 300, strings.Count(string(sarif), `"roles": ["analysisTarget"]`))
}
