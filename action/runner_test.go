// Package action_test runs what the action's steps say the way a workflow's runner
// does: with inputs as variables, and with files for outputs and the summary.
package action_test

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// definition is action.yml, as far as it is run here.
type definition struct {
	Inputs map[string]struct {
		Description string
		Default     *string
	}
	Outputs map[string]struct{ Description, Value string }
	Runs    struct {
		Using string
		Steps []struct {
			ID, If, Uses, Shell, Run string
			Env, With                map[string]string
		}
	}
}

func readDefinition(t *testing.T) definition {
	t.Helper()
	text, err := os.ReadFile("action.yml")
	require.NoError(t, err)
	var d definition
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	require.NoError(t, decoder.Decode(&d))
	require.Equal(t, "composite", d.Runs.Using)
	return d
}

// script is the step that runs the script.
func (d *definition) script(t *testing.T) (env map[string]string, run string) {
	t.Helper()
	for _, step := range d.Runs.Steps {
		if step.ID == "check" {
			require.Equal(t, "bash", step.Shell)
			return step.Env, step.Run
		}
	}
	require.Fail(t, "no step runs the script")
	return nil, ""
}

// input finds an expression that stands for an input.
var input = regexp.MustCompile(`^\$\{\{ inputs\.([a-z-]+) \}\}$`)

// ran is what a run left behind.
type ran struct {
	code            int
	log, complaints string
	commands        []string // what a runner would have obeyed
	outputs         map[string]string
	summary         string
}

// runAction runs the script step of the action in a workspace, with the inputs given
// and the defaults of the rest.
func runAction(t *testing.T, workspace string, inputs map[string]string) ran {
	t.Helper()
	d := readDefinition(t)
	here, err := filepath.Abs(".")
	require.NoError(t, err)
	files := t.TempDir()
	output, summary := filepath.Join(files, "output"), filepath.Join(files, "summary")
	env := append(os.Environ(), "GITHUB_ACTIONS=true", "GITHUB_ACTION_PATH="+here, "GITHUB_WORKSPACE="+workspace,
		"GITHUB_OUTPUT="+output, "GITHUB_STEP_SUMMARY="+summary, "RUNNER_TEMP="+t.TempDir(),
		"GOCACHE="+goCache(t), "XDG_CACHE_HOME="+t.TempDir()) // no result waits from other runs, but what is built does
	variables, script := d.script(t)
	for name, value := range variables {
		m := input.FindStringSubmatch(value)
		require.NotNil(t, m, value)
		text, given := inputs[m[1]]
		if !given {
			text = *d.Inputs[m[1]].Default
		}
		env = append(env, name+"="+text)
	}
	var stdout, stderr bytes.Buffer
	// The flags that runners give bash for a step with "shell: bash".
	c := exec.Command("bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", script)
	c.Dir, c.Env, c.Stdout, c.Stderr = workspace, env, &stdout, &stderr
	var exit *exec.ExitError
	if err := c.Run(); err != nil && !errors.As(err, &exit) {
		require.NoError(t, err)
	}
	r := ran{code: c.ProcessState.ExitCode(), log: stdout.String(), complaints: stderr.String(), outputs: map[string]string{}}
	r.commands = obeyed(r.log)
	for line := range strings.Lines(read(t, output)) {
		name, value, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "=")
		require.True(t, ok, line)
		r.outputs[name] = value
	}
	r.summary = read(t, summary)
	return r
}

// goCache is where the go tool keeps what it built.
func goCache(t *testing.T) string {
	t.Helper()
	out, err := exec.Command("go", "env", "GOCACHE").Output()
	require.NoError(t, err)
	return strings.TrimSpace(string(out))
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

// obeyed lists the lines of a log that a runner takes for commands: those that begin
// with two colons, but none between a stop and its token.
func obeyed(log string) []string {
	var commands []string
	token := ""
	for line := range strings.Lines(log) {
		line = strings.TrimSpace(line)
		switch stop, ok := strings.CutPrefix(line, "::stop-commands::"); {
		case token != "":
			if line == "::"+token+"::" {
				token = ""
			}
		case ok:
			token = stop
		case strings.HasPrefix(line, "::"):
			commands = append(commands, line)
		}
	}
	return commands
}

func TestObeyed(t *testing.T) {
	assert.Equal(t, []string{"::a::1", "::b::2"}, obeyed("::a::1\nplain\n::stop-commands::xyz\n::evil::\n::xy::\n::xyz::\n ::b::2\n"))
}

// shelf makes a workspace with the models named; each value is a solid.
func shelf(t *testing.T, models map[string]*mesh.Triangles) string {
	t.Helper()
	dir := t.TempDir()
	for name, solid := range models {
		var b bytes.Buffer
		require.NoError(t, shapes.WriteBinarySTL(&b, solid, "test"))
		write(t, dir, name, b.String())
	}
	return dir
}

func write(t *testing.T, dir, name, text string) {
	t.Helper()
	path := filepath.Join(dir, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
}
