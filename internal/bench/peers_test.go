package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// script runs a script of peers and returns its exit code and what it said on standard
// error.
func script(t *testing.T, env []string, args ...string) (int, string) {
	t.Helper()
	c := exec.Command("bash", args...)
	c.Dir = "peers"
	c.Env = append(os.Environ(), env...)
	var got bytes.Buffer
	c.Stderr = &got
	err := c.Run()
	if err != nil {
		var exit *exec.ExitError
		require.ErrorAs(t, err, &exit)
	}
	return c.ProcessState.ExitCode(), got.String()
}

func TestScriptsRefuse(t *testing.T) {
	folder := t.TempDir()
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"build.sh"}, "usage: build.sh FOLDER"},
		{[]string{"run.sh"}, "usage: run.sh FOLDER [ROUNDS]"},
		{[]string{"run.sh", folder, "0"}, "usage: run.sh FOLDER [ROUNDS]"},
		{[]string{"run.sh", folder, "few"}, "usage: run.sh FOLDER [ROUNDS]"},
		{[]string{"run.sh", folder, "1", "more"}, "usage: run.sh FOLDER [ROUNDS]"},
		{[]string{"build.sh", "."}, "lies in the repository"},
		{[]string{"build.sh", "../../.."}, "lies in the repository"},
		{[]string{"run.sh", "built/here"}, "lies in the repository"},
	} {
		code, got := script(t, nil, c.args...)
		assert.Equal(t, 2, code, c.args)
		assert.Contains(t, got, c.says, c.args)
	}
	assert.NoDirExists(t, filepath.Join("peers", "built"))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Empty(t, left, "what is refused leaves nothing behind")
}

// TestMissingLibrariesAreNamed builds with a compiler that finds no header.
func TestMissingLibrariesAreNamed(t *testing.T) {
	folder := t.TempDir()
	code, got := script(t, []string{"CXX=false"}, "build.sh", folder)
	assert.Equal(t, 2, code)
	for _, program := range programs(t) {
		assert.Contains(t, got, program+": left out, <")
	}
	assert.Contains(t, got, "is missing: apt-get install libcgal-dev libpolyclipping-dev\n")
	assert.Contains(t, got, "nothing was built")

	code, got = script(t, []string{"CXX=no-such-compiler"}, "build.sh", folder)
	assert.Equal(t, 2, code)
	assert.Contains(t, got, "no C++ compiler no-such-compiler")
}

// TestEveryPeerIsBuiltAndTimed holds that the programs, the list of them, and what is
// timed side by side name the same, and kernels and meshes that there are.
func TestEveryPeerIsBuiltAndTimed(t *testing.T) {
	timed, meshes, own := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, row := range listed(t, "pairings") {
		note(own, row[0])
		note(timed, row[1])
		note(meshes, row[2])
	}
	built := programs(t)
	assert.Len(t, timed, len(built))
	for _, program := range built {
		assert.True(t, timed[program], "%s is never timed", program)
		assert.FileExists(t, filepath.Join("peers", program+".cpp"))
	}
	sources, err := filepath.Glob(filepath.Join("peers", "*.cpp"))
	require.NoError(t, err)
	assert.Len(t, sources, len(built), "a program is never built")
	assert.Len(t, own, len(kernels), "a kernel is never timed")
	for _, k := range kernels {
		assert.True(t, own[k.name], "%s is never timed", k.name)
	}
	for _, s := range set {
		delete(meshes, s.name)
	}
	assert.Empty(t, meshes, "meshes that are not in the set")
}

func note(seen map[string]bool, names string) {
	for _, name := range strings.Split(names, ",") {
		seen[name] = true
	}
}

// listed returns the rows of a list in common.sh, word by word.
func listed(t *testing.T, list string) [][]string {
	t.Helper()
	c := exec.Command("bash", "-c", ". ./common.sh; "+list)
	c.Dir = "peers"
	out, err := c.Output()
	require.NoError(t, err)
	var rows [][]string
	for _, row := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		words := strings.Fields(row)
		require.GreaterOrEqual(t, len(words), 3, row)
		rows = append(rows, words)
	}
	return rows
}

func programs(t *testing.T) []string {
	var names []string
	for _, row := range listed(t, "peers") {
		names = append(names, row[0])
	}
	return names
}
