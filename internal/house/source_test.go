package house

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the top of the project, seen from this folder.
const root = "../.."

// source is one Go file of the project.
type source struct {
	path  string // below root, with slashes
	text  string
	file  *ast.File
	fset  *token.FileSet
	lines int
}

// test reports whether the file holds tests or what only tests use.
func (s *source) test() bool { return strings.HasSuffix(s.path, "_test.go") }

// folder is the path of the file's package below root.
func (s *source) folder() string { return filepath.ToSlash(filepath.Dir(s.path)) }

// walk visits every file of the project, but not what git keeps, nor the folders that
// the go tool leaves out as well: those whose name begins with an underscore.
func walk(t *testing.T, visit func(path string)) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && (entry.Name() == ".git" || entry.Name() == "node_modules" || strings.HasPrefix(entry.Name(), "_")) {
			return filepath.SkipDir
		}
		if entry.Type().IsRegular() && entry.Name() != ".git" { // a file in a linked work tree
			rel, err := filepath.Rel(root, path)
			require.NoError(t, err)
			visit(filepath.ToSlash(rel))
		}
		return nil
	}))
}

// sources parses every Go file of the project.
func sources(t *testing.T) []*source {
	t.Helper()
	var list []*source
	fset := token.NewFileSet()
	walk(t, func(path string) {
		if !strings.HasSuffix(path, ".go") {
			return
		}
		text, err := os.ReadFile(filepath.Join(root, path))
		require.NoError(t, err)
		s := &source{path: path, text: string(text), fset: fset, lines: strings.Count(string(text), "\n")}
		s.file, err = parser.ParseFile(s.fset, path, text, parser.ParseComments)
		require.NoError(t, err)
		list = append(list, s)
	})
	require.Greater(t, len(list), 20, "the project's source was not found")
	return list
}
