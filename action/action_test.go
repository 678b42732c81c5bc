package action_test

import (
	"encoding/json"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestDefinition holds that every input reaches the script, and that the script writes
// every output, and no other.
func TestDefinition(t *testing.T) {
	d, script := readDefinition(t), read(t, "check.sh")
	variables, run := d.script(t)
	passed := map[string]bool{}
	for _, step := range d.Runs.Steps {
		assert.NotContains(t, step.With["path"], "inputs.", "a stranger's words name no file")
	}
	for name, value := range variables {
		m := input.FindStringSubmatch(value)
		require.NotNil(t, m, value)
		passed[m[1]] = true
		assert.Contains(t, script, "${"+name+":-}")
	}
	require.NotEmpty(t, d.Inputs)
	for name, in := range d.Inputs {
		assert.True(t, passed[name], "input %s is not passed on", name)
		assert.NotEmpty(t, in.Description, name)
		assert.NotNil(t, in.Default, name)
	}
	assert.Len(t, passed, len(d.Inputs))
	assert.NotContains(t, run, "${{", "an expression in the text of a script runs what a stranger wrote")
	written := map[string]bool{}
	for _, m := range regexp.MustCompile(`printf '([a-z-]+)=`).FindAllStringSubmatch(script, -1) {
		written[m[1]] = true
	}
	for name, out := range d.Outputs {
		assert.True(t, written[name], "output %s is not written", name)
		assert.Equal(t, "${{ steps.check.outputs."+name+" }}", out.Value)
		assert.NotEmpty(t, out.Description, name)
	}
	assert.Len(t, written, len(d.Outputs))
}

// TestFindings runs it over a good and a bad model: a failed step with everything that
// a reader of the pull request gets.
func TestFindings(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"parts/cube.stl": shapes.Cube(20), "parts/t.stl": shapes.T()})
	r := runAction(t, workspace, nil)
	require.Equal(t, 1, r.code, r.complaints)
	assert.Contains(t, r.log, "\nprintlint: rules: the built-in set standard; no .printlint.yml at or above the models\n")
	assert.Empty(t, r.complaints)
	assert.Contains(t, r.log, "\nparts/t.stl: advice: ")

	var report finding.Report
	require.NoError(t, json.Unmarshal([]byte(read(t, r.outputs["json"])), &report))
	s := report.Summary
	require.Positive(t, s.Error)
	for name, n := range map[string]int{
		"exit-code": 1, "models": s.Models, "errors": s.Error, "warnings": s.Warning, "notes": s.Note, "waived": s.Waived, "undecided": s.Undecided, "unreadable": s.Unreadable,
	} {
		assert.Equal(t, strconv.Itoa(n), r.outputs[name], name)
	}
	assert.Contains(t, read(t, r.outputs["sarif"]), `"uri": "parts/t.stl"`)

	assert.True(t, strings.HasPrefix(r.summary, "## Models: findings that fail\n"), r.summary)
	assert.Contains(t, r.summary, "**Advice:** ")
	require.NotEmpty(t, r.commands)
	for _, c := range r.commands {
		assert.Regexp(t, `^::(error|warning|notice) file=parts/t\.stl,title=[a-z-]+::`, c)
	}
}

// TestInputs holds what the inputs do: several paths and reports on lines of their own,
// with the blanks and carriage returns that YAML lets in, and a level.
func TestInputs(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"a b/t.stl": shapes.T(), "c/cube.stl": shapes.Cube(20), "left/t.stl": shapes.T()})
	write(t, workspace, "rules/own.yml", "version: 1\nroot: ..\nuse: [relaxed]\n")
	r := runAction(t, workspace, map[string]string{
		"paths": "a b\r\n\n  \nc\n", "reports": "junit=j.xml\r\ntext=out.txt\n", "fail-at": "none", "configuration": "rules/own.yml",
	})
	require.Equal(t, 0, r.code, r.complaints)
	assert.Equal(t, "2", r.outputs["models"])
	assert.NotEqual(t, "0", r.outputs["errors"])
	assert.Contains(t, read(t, r.outputs["json"]), `"relaxed"`)
	assert.Contains(t, read(t, workspace+"/j.xml"), `<testsuite name="a b/t.stl"`)
	assert.Contains(t, read(t, workspace+"/out.txt"), "a b/t.stl")
	assert.True(t, strings.HasPrefix(r.summary, "## Models: findings, none that stops this run\n"), r.summary)
}

// TestClean holds that a shelf without a finding passes and says so.
func TestClean(t *testing.T) {
	r := runAction(t, shelf(t, map[string]*mesh.Triangles{"cube.stl": shapes.Cube(20)}), nil)
	assert.Equal(t, 0, r.code, r.complaints)
	assert.Empty(t, r.commands)
	assert.True(t, strings.HasPrefix(r.summary, "## Models: fine\n"), r.summary)
	assert.Contains(t, r.summary, "says nothing about strength")
}

// TestNothingJudged holds that a run without a report fails loudly, in the log, beside
// the code and in the summary, and hands on no old file.
func TestNothingJudged(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"cube.stl": shapes.Cube(20)})
	write(t, workspace, ".printlint.yml", "version: 1\nrules: {max-overhang-angel: {level: error}}\nfail-at: \"100%\"\n")
	r := runAction(t, workspace, nil)
	assert.Equal(t, 2, r.code)
	assert.Equal(t, map[string]string{"exit-code": "2"}, r.outputs)
	require.Len(t, r.commands, 1)
	assert.Regexp(t, `^::error title=printlint::\.printlint\.yml:2:\d+: error: .*max-overhang-angel.*%0A\.printlint\.yml:3:\d+: .*100%25`, r.commands[0])
	assert.True(t, strings.HasPrefix(r.summary, "## Models: nothing was judged\n\n    .printlint.yml:2:"), r.summary)
	assert.Contains(t, r.log, "\n.printlint.yml:2:")
}

// TestUnreadable holds that a torn model ends in 2 with a report all the same.
func TestUnreadable(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"cube.stl": shapes.Cube(20)})
	write(t, workspace, "torn.stl", "solid torn\nfacet normal 0 0 1\n")
	r := runAction(t, workspace, nil)
	assert.Equal(t, 2, r.code)
	assert.Equal(t, "1", r.outputs["unreadable"])
	require.Len(t, r.commands, 1)
	assert.Contains(t, r.commands[0], "::error file=torn.stl,")
	assert.Contains(t, r.summary, "### Could not be judged")
}

// TestNamesGiveNoCommands holds that a model named like a command is a model: nothing
// in the log is obeyed but the annotations that were meant.
func TestNamesGiveNoCommands(t *testing.T) {
	evil := "::error file=x::gotcha.stl"
	workspace := shelf(t, map[string]*mesh.Triangles{evil: shapes.T(), "<script>|`x`.stl": shapes.T(), "new\nline::notice::.stl": shapes.T()})
	r := runAction(t, workspace, nil)
	require.Equal(t, 1, r.code, r.complaints)
	require.NotEmpty(t, r.commands)
	for _, c := range r.commands {
		assert.Regexp(t, `^::(error|warning|notice) file=[^:,]*\.stl,title=[a-z-]+::`, c)
	}
	assert.NotContains(t, r.summary, "<script>")
	assert.Equal(t, "3", r.outputs["models"])
}

// TestComplaintsAreNotObeyed holds that a complaint which begins with a name is no command either,
// wherever the runner reads it.
func TestComplaintsAreNotObeyed(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"cube.stl": shapes.Cube(20)})
	write(t, workspace, "::warning::mine/c.yml", "version: 1\nuse: [standart]\n")
	r := runAction(t, workspace, map[string]string{"configuration": "::warning::mine/c.yml"})
	assert.Equal(t, 2, r.code)
	assert.Contains(t, r.log, "standart")
	assert.Empty(t, obeyed(r.complaints))
	require.Len(t, r.commands, 1, "%s", r.log)
	assert.True(t, strings.HasPrefix(r.commands[0], "::error title=printlint::"), r.commands[0])
}
