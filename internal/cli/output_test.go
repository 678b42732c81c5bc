package cli

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demo is the demonstration shelf, seen from this folder.
const demo = "../../testdata/demo"

// clip is one model of it, with no finding.
const clip = demo + "/tools/cable-clip.obj"

// run runs a command line and returns what it wrote.
func run(t *testing.T, env Env, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, complaints bytes.Buffer
	env.Stdout, env.Stderr = &out, &complaints
	code = Run(context.Background(), args, env)
	return code, out.String(), complaints.String()
}

func TestColourChangesNothingElse(t *testing.T) {
	code, plain, _ := run(t, Env{}, "check", demo)
	again, coloured, _ := run(t, Env{Colour: true}, "check", demo)
	assert.Equal(t, code, again)
	assert.NotContains(t, plain, "\x1b")
	require.Contains(t, coloured, "\x1b[31merror\x1b[0m")
	assert.Equal(t, plain, uncoloured.Replace(coloured))
	_, json, _ := run(t, Env{Colour: true}, "check", demo, "--format", "json")
	assert.NotContains(t, json, "\x1b")
}

var uncoloured = strings.NewReplacer("\x1b[31m", "", "\x1b[33m", "", "\x1b[36m", "", "\x1b[0m", "")

func TestNoColourUnderNoColor(t *testing.T) {
	t.Setenv("NO_COLOR", "1")
	assert.False(t, System().Colour)
	t.Setenv("NO_COLOR", "")
	t.Setenv("TERM", "dumb")
	assert.False(t, System().Colour)
}

func TestProgressGoesToStandardErrorOnly(t *testing.T) {
	_, plain, silence := run(t, Env{}, "check", demo)
	assert.Regexp(t, `\Aprintlint: rules: .*\n\z`, silence)
	_, watched, bar := run(t, Env{Progress: true}, "check", demo)
	assert.Equal(t, plain, watched)
	assert.Contains(t, bar, "models")
	_, _, quiet := run(t, Env{Progress: true}, "check", clip, "--quiet")
	assert.Empty(t, quiet)
}

// builtIn is what standard error says of a run without a configuration.
const builtIn = "printlint: rules: the built-in set standard; no .printlint.yml at or above the models\n"

// failing is an output that breaks.
type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestOutputThatBreaks(t *testing.T) {
	for _, args := range [][]string{
		{"help"}, {"version"}, {"schema"}, {"rules"}, {"explain", "overhang"}, {"measure", clip}, {"check", clip}, {"check", "--help"},
	} {
		want, _, usual := run(t, Env{}, args...)
		var complaints bytes.Buffer
		code := Run(context.Background(), args, Env{Stdout: failing{syscall.EPIPE}, Stderr: &complaints})
		assert.Equal(t, want, code, "%q: a closed pipe is no failure", args)
		assert.Equal(t, usual, complaints.String(), "%q", args)
		code = Run(context.Background(), args, Env{Stdout: failing{errors.New("disk full")}, Stderr: &complaints})
		assert.Equal(t, 2, code, "%q: a report that is not written whole is one", args)
		assert.Equal(t, usual+usual+"printlint: disk full\n", complaints.String(), "%q", args)
	}
}

func TestStoppedFromOutside(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, command := range []string{"check", "measure"} {
		var out, complaints bytes.Buffer
		code := Run(ctx, []string{command, clip}, Env{Stdout: &out, Stderr: &complaints})
		assert.Equal(t, 2, code)
		assert.Empty(t, out.String())
		assert.Equal(t, "printlint: rules: "+demo+"/.printlint.yml\nprintlint: stopped before the end; nothing was judged\n", complaints.String())
	}
}
