package house

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fixtureLines counts the lines of scripts, golden files and text fixtures below any
// testdata folder. Models are left out: one mesh would outweigh every test.
func fixtureLines(t *testing.T) int {
	n := 0
	walk(t, func(path string) {
		kinds := []string{".txt", ".txtar", ".yml", ".yaml", ".golden", ".json"}
		if strings.Contains(path, "testdata/") && slices.Contains(kinds, filepath.Ext(path)) {
			text, err := os.ReadFile(filepath.Join(root, path))
			require.NoError(t, err)
			n += strings.Count(string(text), "\n")
		}
	})
	return n
}

// TestEveryPackageHasAComment holds that each package says what it is for, once.
func TestEveryPackageHasAComment(t *testing.T) {
	comments := map[string]int{}
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		if s.file.Doc != nil {
			comments[s.folder()]++
		} else {
			comments[s.folder()] += 0
		}
	}
	for folder, n := range comments {
		assert.Equal(t, 1, n, "package comments in %s", folder)
	}
}

// TestEveryExportedNameHasAComment holds that what others use is explained.
func TestEveryExportedNameHasAComment(t *testing.T) {
	seen := 0
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		for _, d := range s.file.Decls {
			for name, documented := range exported(d) {
				seen++
				assert.True(t, documented, "%s: %s has no comment", s.path, name)
			}
		}
	}
	assert.Greater(t, seen, 50, "no exported names were found")
}

// exported lists the exported names of a declaration and whether each is documented,
// by itself or by the comment of its group.
func exported(d ast.Decl) map[string]bool {
	names := map[string]bool{}
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Name.IsExported() && (d.Recv == nil || ast.IsExported(receiver(d))) {
			names[d.Name.Name] = d.Doc != nil
		}
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch spec := spec.(type) {
			case *ast.TypeSpec:
				if spec.Name.IsExported() {
					names[spec.Name.Name] = spec.Doc != nil || d.Doc != nil && d.Lparen == token.NoPos
				}
			case *ast.ValueSpec:
				for _, n := range spec.Names {
					if n.IsExported() {
						names[n.Name] = spec.Doc != nil || spec.Comment != nil || d.Doc != nil
					}
				}
			}
		}
	}
	return names
}

// receiver names the type a method belongs to.
func receiver(f *ast.FuncDecl) string {
	t := f.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	if index, ok := t.(*ast.IndexExpr); ok {
		t = index.X
	}
	if name, ok := t.(*ast.Ident); ok {
		return name.Name
	}
	return ""
}
