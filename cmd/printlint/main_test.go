package main

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

var update = flag.Bool("update", false, "write the expected output of the scripts anew")

// demo is the demonstration shelf, seen from this folder.
const demo = "../../testdata/demo"

func TestMain(m *testing.M) {
	testscript.Main(built{m}, map[string]func(){"printlint": main})
}

// built runs the tests with the program that stands in the folder PRINTLINT_BUILT, where
// that is set, in place of the one that is part of the tests: one that counts what is run.
type built struct{ *testing.M }

func (b built) Run() int {
	if folder := os.Getenv("PRINTLINT_BUILT"); folder != "" {
		os.Setenv("PATH", folder+string(filepath.ListSeparator)+os.Getenv("PATH"))
		os.Setenv("GOCOVERDIR", os.Getenv("PRINTLINT_COUNTS")) // go test sets its own, and removes it
	}
	return b.M.Run()
}

// TestScripts runs the command line end to end: whole output compared, exact exit
// codes, each script in a folder of its own with the demonstration shelf in it.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			program, err := exec.LookPath("printlint")
			env.Setenv("PRINTLINT", program) // for scripts in which nothing else is found
			return errors.Join(err, os.CopyFS(filepath.Join(env.WorkDir, "demo"), os.DirFS(demo)))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"solid": solid,
			"first": first,
			"boxes": boxes,
			"told":  told,
		},
	})
}

// exits runs a command and holds its exit code: exits CODE PROGRAM ARGUMENTS.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGUMENTS")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		code = exit.ExitCode()
	}
	if code != want {
		ts.Fatalf("exit code %d, not %d", code, want)
	}
}

// solids are the bodies that scripts can ask for.
var solids = map[string]func() *mesh.Triangles{
	"cube":    func() *mesh.Triangles { return shapes.Cube(20) },
	"t":       shapes.T,
	"hook":    shapes.Hook,
	"cube.m":  func() *mesh.Triangles { return shapes.Cube(.02) },
	"cube.in": func() *mesh.Triangles { return shapes.Cube(2) },
	"table":   shapes.Table,
	"apart":   shapes.FloatingCube,
	// Cubes of 1 mm in the air, and a rod.
	"specks-few":  func() *mesh.Triangles { return shapes.Floating(4, 1, 1) },
	"specks-many": func() *mesh.Triangles { return shapes.Floating(16, 1, 1) },
	"rod":         func() *mesh.Triangles { return shapes.Floating(1, 1, 20) },
	// A wall beside a plate, its weight over the rim of its foot: longer than it is tall, shorter, and thinner than an eighth.
	"clip-long":  func() *mesh.Triangles { return shapes.Clip(2.8, 18, 15, 2.9, 1.8) },
	"clip-short": func() *mesh.Triangles { return shapes.Clip(2.8, 13, 15, 2.9, 1.8) },
	"clip-thin":  func() *mesh.Triangles { return shapes.Clip(1.7, 18, 15, 2, 5) },
	"clip-falls": func() *mesh.Triangles { return shapes.Clip(2.8, 13, 15, 4, 1.8) },
	// A solid for each rule of the standard set that no other script shows.
	"post":    func() *mesh.Triangles { return shapes.Cone(3.5, 7.5, 6, 48) },
	"sheet":   func() *mesh.Triangles { return shapes.Slab(.15) },
	"slot":    func() *mesh.Triangles { return shapes.Slot(.12) },
	"dust":    func() *mesh.Triangles { return shapes.Cube(.5) },
	"grain":   func() *mesh.Triangles { return shapes.Scale(shapes.HollowBox(20, 2), .035) },
	"arm":     func() *mesh.Triangles { return shapes.LeaningArm(60, 8) },
	"slope":   func() *mesh.Triangles { return shapes.LeaningArm(60, 12) },
	"ceiling": func() *mesh.Triangles { return shapes.Portal(40) },
	"portal":  func() *mesh.Triangles { return shapes.Portal(30) },
	"narrow": func() *mesh.Triangles {
		wall := func(x float64) *mesh.Triangles {
			return shapes.Box(mesh.Vec{X: x}, mesh.Vec{X: x + 4, Y: 4, Z: 12})
		}
		return shapes.Join(wall(0), wall(6), shapes.Box(mesh.Vec{X: 4, Y: 1.8}, mesh.Vec{X: 6, Y: 2.1, Z: 12}))
	},
	"five-feet": func() *mesh.Triangles { return shapes.FiveFeet([5]float64{.3, 0, .5, .6, .9}, 40) },
	"ball":      func() *mesh.Triangles { return shapes.Icosphere(20, 4) },
	"crossing": func() *mesh.Triangles {
		at := []float64{-30, -4, 4, 30}
		return shapes.Blocks(at, at, at, func(i, j, k int) bool { return i == 1 && j == 1 || j == 1 && k == 1 || i == 1 && k == 1 })
	},
	"signpost": shapes.Signpost,
	// Channels and gates that lie whichever way up, with room above them and without.
	"channels":      func() *mesh.Triangles { return shapes.Channels(40, 32) },
	"channels-thin": func() *mesh.Triangles { return shapes.Channels(40, 1) },
	"gates":         shapes.Gates,
	"pointed":       func() *mesh.Triangles { return pointed(2.5, 5) },
	"thin-fin":      func() *mesh.Triangles { return shapes.Fin(.6) },
}

// solid writes a body of the generator: solid NAME FILE, where .ascii.stl is STL as text.
func solid(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 || solids[args[0]] == nil {
		ts.Fatalf("usage: solid NAME FILE")
	}
	write := shapes.WriteBinarySTL
	switch {
	case strings.HasSuffix(args[1], ".ascii.stl"):
		write = shapes.WriteASCIISTL
	case strings.HasSuffix(args[1], ".obj"):
		write = shapes.WriteOBJ
	}
	var b bytes.Buffer
	ts.Check(write(&b, solids[args[0]](), "test"))
	path := ts.MkAbs(args[1])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o777))
	ts.Check(os.WriteFile(path, b.Bytes(), 0o666))
}

// first cuts a file after its first bytes: first COUNT FILE.
func first(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: first COUNT FILE")
	}
	n, err := strconv.ParseInt(args[0], 10, 64)
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[1]), n))
}

// told holds that standard error names the rules of the last run, and nothing else.
func told(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: told")
	}
	text := ts.ReadFile("stderr")
	if !strings.HasPrefix(text, "printlint: rules: ") || strings.Count(text, "\n") != 1 {
		ts.Fatalf("standard error is not the one line that names the rules: %q", text)
	}
}

// TestClosedPipe holds that a reader who has seen enough is no failure: the exit code
// stays that of the findings, and nothing is complained about.
func TestClosedPipe(t *testing.T) {
	program, err := exec.LookPath("printlint")
	require.NoError(t, err)
	for _, args := range [][]string{{"help"}, {"check", demo + "/tools"}, {"rules"}, {"explain", "overhang"}} {
		var usual bytes.Buffer
		open := exec.Command(program, args...)
		open.Stderr = &usual
		_ = open.Run()
		read, write, err := os.Pipe()
		require.NoError(t, err)
		require.NoError(t, read.Close())
		var complaints bytes.Buffer
		closed := exec.Command(program, args...)
		closed.Stdout, closed.Stderr = write, &complaints
		_ = closed.Run()
		require.NoError(t, write.Close())
		assert.Equal(t, open.ProcessState.ExitCode(), closed.ProcessState.ExitCode(), "%q", args)
		assert.Equal(t, usual.String(), complaints.String(), "%q", args)
	}
}

// TestEveryScriptRunsTheProgram guards the scripts: one that forgot to run anything
// would pass.
func TestEveryScriptRunsTheProgram(t *testing.T) {
	scripts, err := filepath.Glob("../../testdata/script/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, scripts)
	for _, path := range scripts {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Contains(t, string(text), "\nexits ", path)
		assert.Contains(t, string(text), "\ncmp ", path)
	}
}
