package house

import (
	"go/ast"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The sizes the project keeps to, in lines.
const (
	fileMedian   = 150
	fileMax      = 500
	functionMost = 40 // nine in ten
	functionMax  = 100
)

// TestFilesStaySmall holds the length of files, tests included.
func TestFilesStaySmall(t *testing.T) {
	var lines []int
	for _, s := range sources(t) {
		lines = append(lines, s.lines)
		assert.LessOrEqual(t, s.lines, fileMax, "%s is too long", s.path)
	}
	slices.Sort(lines)
	assert.Less(t, lines[len(lines)/2], fileMedian, "the median file is too long")
}

// TestFunctionsStaySmall holds the length of functions, tests included.
func TestFunctionsStaySmall(t *testing.T) {
	var lines []int
	for _, s := range sources(t) {
		for _, d := range s.file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			n := s.fset.Position(f.End()).Line - s.fset.Position(f.Pos()).Line + 1
			lines = append(lines, n)
			assert.LessOrEqual(t, n, functionMax, "%s: %s is too long", s.path, f.Name.Name)
		}
	}
	slices.Sort(lines)
	assert.Less(t, lines[len(lines)*9/10], functionMost, "nine in ten functions must be shorter")
}

// fixtureMakers are packages that only make what tests, timings and the demonstration shelf are
// fed with or held against; they count as fixtures.
var fixtureMakers = []string{"internal/bench", "internal/dice", "internal/plain", "internal/reading", "internal/shapes", "internal/demo"}

// TestFixtureMakersServeTestsOnly holds that no code of the program hides among them.
func TestFixtureMakersServeTestsOnly(t *testing.T) {
	for _, s := range sources(t) {
		if s.test() || fixtureMaker(s.folder()) {
			continue
		}
		for _, spec := range s.file.Imports {
			name := strings.TrimPrefix(strings.Trim(spec.Path.Value, `"`), "printlint/")
			assert.False(t, fixtureMaker(name), "%s imports %s", s.path, name)
		}
	}
}

func fixtureMaker(folder string) bool {
	return slices.ContainsFunc(fixtureMakers, func(f string) bool { return within(folder, f) })
}

// TestTestsOutweighCode holds that there are at least as many lines of tests, scripts
// and text fixtures as of code.
func TestTestsOutweighCode(t *testing.T) {
	code, tests := 0, 0
	for _, s := range sources(t) {
		if s.test() || fixtureMaker(s.folder()) {
			tests += s.lines
		} else {
			code += s.lines
		}
	}
	tests += fixtureLines(t)
	t.Logf("%d lines of code, %d of tests and fixtures", code, tests)
	assert.GreaterOrEqual(t, tests, code)
}
