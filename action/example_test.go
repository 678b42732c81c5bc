package action_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rhysd/actionlint"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// yamlBlocks are the examples of workflows on the page on pull requests, in their order. One
// more is a line for a configuration.
func yamlBlocks(t *testing.T) []string {
	t.Helper()
	var blocks []string
	for _, m := range regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(read(t, "../docs/pull-request.md"), -1) {
		if m[1] != "fail-on: new\n" {
			blocks = append(blocks, m[1])
		}
	}
	require.Len(t, blocks, 3)
	return blocks
}

// workflows are the example as it is, with the upload that the page adds to it, and with
// the steps that fetch only what changed.
func workflows(t *testing.T) map[string]string {
	blocks := yamlBlocks(t)
	plain := strings.Replace(blocks[0], "OWNER/printlint/action@REVISION", "./action", 1)
	with := strings.Replace(plain, "uses: ./action\n", "uses: ./action\n        id: printlint\n", 1) + blocks[1]
	with = strings.Replace(with, "contents: read\n", "contents: read\n  security-events: write\n", 1)
	require.NotEqual(t, plain, blocks[0])
	require.Equal(t, 2, strings.Count(with, "steps.printlint.outputs.sarif }}")+strings.Count(with, "id: printlint"))
	job, _, found := strings.Cut(plain, "      - uses:")
	require.True(t, found)
	return map[string]string{"plain": plain, "with alerts": with, "only what changed": job + blocks[2]}
}

// lintWorkflow lints a workflow in a project that holds the action, so that its inputs and
// outputs are checked as well.
func lintWorkflow(t *testing.T, text string) []*actionlint.Error {
	t.Helper()
	root := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(root, ".git"), 0o777))
	write(t, root, "action/action.yml", read(t, "action.yml"))
	write(t, root, ".github/workflows/models.yml", text)
	project, err := actionlint.NewProject(root)
	require.NoError(t, err)
	linter, err := actionlint.NewLinter(&bytes.Buffer{}, &actionlint.LinterOptions{})
	require.NoError(t, err)
	errs, err := linter.Lint(filepath.Join(root, ".github/workflows/models.yml"), []byte(text), project)
	require.NoError(t, err)
	return errs
}

// TestExampleWorkflow holds what people copy from the page against a public linter of
// workflows.
func TestExampleWorkflow(t *testing.T) {
	for name, text := range workflows(t) {
		assert.Empty(t, lintWorkflow(t, text), name)
	}
}

// TestMatrixWorkflow holds the workflow of the page on audits the same way.
func TestMatrixWorkflow(t *testing.T) {
	block := regexp.MustCompile("(?s)```yaml\n(name: audit\n.*?)```").FindStringSubmatch(read(t, "../docs/audit.md"))
	require.NotNil(t, block)
	assert.Empty(t, lintWorkflow(t, block[1]))
	assert.NotEmpty(t, lintWorkflow(t, strings.Replace(block[1], "matrix.share", "matrix.shard", 1)))
	assert.NotEmpty(t, lintWorkflow(t, strings.Replace(block[1], "needs: share", "needs: shares", 1)))
}

// TestTheWorkflowLinterSees guards the guard: wrong inputs, outputs and keys are found.
func TestTheWorkflowLinterSees(t *testing.T) {
	text := workflows(t)["with alerts"]
	for right, wrong := range map[string]string{
		"changed-since:": "changed-sinse:", "outputs.sarif }}": "outputs.sariff }}", "runs-on:": "run-on:", "pull_request\n": "pull_requests\n",
	} {
		broken := strings.Replace(text, right, wrong, 1)
		require.NotEqual(t, text, broken)
		assert.NotEmpty(t, lintWorkflow(t, broken), wrong)
	}
}

// TestThePageNamesEveryInput holds the table of inputs and the list of outputs, both ways.
func TestThePageNamesEveryInput(t *testing.T) {
	d, page := readDefinition(t), read(t, "../docs/pull-request.md")
	rows := regexp.MustCompile("(?m)^\\| `([a-z-]+)` \\|").FindAllStringSubmatch(page[:strings.Index(page, "### Alerts")], -1)
	require.Len(t, rows, len(d.Inputs))
	for _, row := range rows {
		assert.Contains(t, d.Inputs, row[1])
	}
	list := regexp.MustCompile(`(?s)The outputs are (.*?)\.\n`).FindStringSubmatch(page)
	require.NotNil(t, list)
	names := regexp.MustCompile("`([a-z-]+)`").FindAllStringSubmatch(list[1], -1)
	assert.Len(t, names, len(d.Outputs))
	for _, n := range names {
		assert.Contains(t, d.Outputs, n[1])
	}
}
