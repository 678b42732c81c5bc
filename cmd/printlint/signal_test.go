package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// trianglesFile is a model of random triangles in a cube of 50 mm, which lie through each
// other and cost more than any real part.
func trianglesFile(t *testing.T, n int) string {
	t.Helper()
	r := rand.New(rand.NewPCG(dice.Seed(t), 1))
	triangles := new(mesh.Triangles)
	for range 3 * n {
		triangles.Corners = append(triangles.Corners, mesh.Point{50 * r.Float32(), 50 * r.Float32(), 50 * r.Float32()})
	}
	var b bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&b, triangles, "soup"))
	path := filepath.Join(t.TempDir(), "soup.stl")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o666))
	return path
}

// TestSignalEndsTheProcess holds that the first signal ends a run within a second, on any
// model: the process has no more than that to be busy with.
func TestSignalEndsTheProcess(t *testing.T) {
	program, err := exec.LookPath("printlint")
	require.NoError(t, err)
	triangles := trianglesFile(t, 4000)
	for _, args := range [][]string{
		{"check", "--time-limit", "0", "--cache", "off", triangles},
		{"advise", "--time-limit", "0", triangles},
		{"measure", "--time-limit", "0", triangles},
	} {
		for _, signal := range []os.Signal{syscall.SIGTERM, os.Interrupt} {
			var out, complaints bytes.Buffer
			run := exec.Command(program, args...)
			run.Stdout, run.Stderr = &out, &complaints
			require.NoError(t, run.Start())
			ended := make(chan error, 1)
			go func() { ended <- run.Wait() }()
			select {
			case <-ended:
				// What was made cheap or is undecided at once needs no signal.
				assert.Equal(t, 2, run.ProcessState.ExitCode(), "%q: %s", args, out.String())
				continue
			case <-time.After(time.Second):
			}
			require.NoError(t, run.Process.Signal(signal))
			asked := time.Now()
			select {
			case <-ended:
			case <-time.After(20 * time.Second):
				_ = run.Process.Kill()
				t.Fatalf("%q did not hear %v", args, signal)
			}
			// A second by the clock of an idle machine; the one of tests is busy.
			assert.Less(t, time.Since(asked), 3*time.Second, "%q", args)
			assert.Equal(t, 2, run.ProcessState.ExitCode(), "%q", args)
			assert.Regexp(t, `^(printlint: rules: .*\n)?printlint: stopped before the end; nothing was judged\n$`, complaints.String(), "%q", args)
			assert.Empty(t, out.String(), "%q", args)
		}
	}
}

// TestLimitEndsTheProcess holds that a model which costs more than its limit is undecided
// and the others are judged.
func TestLimitEndsTheProcess(t *testing.T) {
	program, err := exec.LookPath("printlint")
	require.NoError(t, err)
	triangles := trianglesFile(t, 4000)
	cube, err := os.Create(filepath.Join(filepath.Dir(triangles), "cube.stl"))
	require.NoError(t, err)
	require.NoError(t, shapes.WriteBinarySTL(cube, shapes.Cube(20), "cube"))
	require.NoError(t, cube.Close())
	run := exec.Command(program, "check", "--time-limit", "1s", "--cache", "off", "--fail-at", "none", triangles, cube.Name())
	var out bytes.Buffer
	run.Stdout = &out
	_ = run.Run()
	assert.Equal(t, 2, run.ProcessState.ExitCode())
	assert.Contains(t, out.String(), "soup.stl: error: undecided: ")
	assert.Contains(t, out.String(), " 1 undecided")
	assert.Contains(t, out.String(), "2 models: 1 fine")
}
