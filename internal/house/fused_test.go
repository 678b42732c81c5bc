package house

import (
	"go/ast"
	"go/constant"
	"go/importer"
	"go/token"
	"go/types"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// exact are the folders whose numbers reach comparisons, with all that lies below them.
var exact = []string{"internal/measure", "internal/layers", "internal/pose", "internal/support", "internal/geom", "internal/mesh"}

// TestProductsAreRounded holds that no processor fuses a product with a sum: it would round
// once in place of twice, and an answer at a limit would be another there. A product that is
// added to or taken from something stands in float64(...), unless one factor is a power of
// two, which rounds nothing.
func TestProductsAreRounded(t *testing.T) {
	c := &checker{packages: map[string]*checked{}, files: map[string][]*source{}, std: importer.Default()}
	for _, s := range sources(t) {
		if !s.test() {
			c.files["printlint/"+s.folder()] = append(c.files["printlint/"+s.folder()], s)
		}
	}
	sums := 0
	for folder := range c.files {
		below := func(top string) bool { return strings.HasPrefix(folder+"/", "printlint/"+top+"/") }
		if !slices.ContainsFunc(exact, below) {
			continue
		}
		p, err := c.check(folder)
		require.NoError(t, err)
		info := p.info
		for _, s := range c.files[folder] {
			ast.Inspect(s.file, func(n ast.Node) bool {
				for _, x := range summands(n) {
					if !isFloat(info.TypeOf(x)) {
						continue
					}
					sums++
					assert.False(t, rounds(x, info), "%s: write float64(...) around the product", s.fset.Position(x.Pos()))
				}
				return true
			})
		}
	}
	assert.Greater(t, sums, 100, "no sums were found")
}

// summands are what a node adds or subtracts.
func summands(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if n.Op == token.ADD || n.Op == token.SUB {
			return []ast.Expr{bare(n.X), bare(n.Y)}
		}
	case *ast.AssignStmt:
		if n.Tok == token.ADD_ASSIGN || n.Tok == token.SUB_ASSIGN {
			return []ast.Expr{bare(n.Rhs[0])}
		}
	}
	return nil
}

// bare is an expression without brackets and signs around it.
func bare(x ast.Expr) ast.Expr {
	for {
		switch y := x.(type) {
		case *ast.ParenExpr:
			x = y.X
		case *ast.UnaryExpr:
			x = y.X
		default:
			return x
		}
	}
}

// rounds says that an expression is a product that is rounded.
func rounds(x ast.Expr, info *types.Info) bool {
	p, ok := x.(*ast.BinaryExpr)
	if !ok || p.Op != token.MUL || info.Types[p].Value != nil {
		return false
	}
	return !powerOfTwo(info.Types[p.X].Value) && !powerOfTwo(info.Types[p.Y].Value)
}

func powerOfTwo(v constant.Value) bool {
	if v == nil {
		return false
	}
	f, _ := constant.Float64Val(v)
	part, _ := math.Frexp(math.Abs(f))
	return part == 0.5
}

func isFloat(t types.Type) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsFloat != 0
}

// checker finds the types of the project's packages.
type checker struct {
	packages map[string]*checked
	files    map[string][]*source
	std      types.Importer
}

// checked is a package with the types in it.
type checked struct {
	*types.Package
	info *types.Info
}

// check finds the types of a package of the project, once.
func (c *checker) check(path string) (*checked, error) {
	if p := c.packages[path]; p != nil {
		return p, nil
	}
	var files []*ast.File
	for _, s := range c.files[path] {
		files = append(files, s.file)
	}
	p := &checked{info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}}
	var err error
	p.Package, err = (&types.Config{Importer: c}).Check(path, c.files[path][0].fset, files, p.info)
	c.packages[path] = p
	return p, err
}

// Import finds a package of the project by its source, and any other as it was compiled.
func (c *checker) Import(path string) (*types.Package, error) {
	if c.files[path] == nil {
		return c.std.Import(path)
	}
	p, err := c.check(path)
	return p.Package, err
}
