package house

import (
	"go/ast"
	"testing"

	"github.com/stretchr/testify/assert"
)

// mayStart are the folders whose code may start goroutines by itself: the helpers that
// carry a panic back, and main, which waits for signals.
var mayStart = map[string]bool{"internal/work": true, "cmd/printlint": true}

// TestGoroutinesCarryPanicsBack holds that a panic in a goroutine never ends a run: all
// are started through internal/work, which raises it again in whoever waits.
func TestGoroutinesCarryPanicsBack(t *testing.T) {
	seen := 0
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			found := ""
			switch n := n.(type) {
			case *ast.GoStmt:
				found = "a go statement"
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && x.Name == "sync" && n.Sel.Name == "WaitGroup" {
					found = "a sync.WaitGroup"
				}
			}
			if found == "" {
				return true
			}
			seen++
			assert.True(t, mayStart[s.folder()], "%s: %s; use work.Each or work.Group", s.fset.Position(n.Pos()), found)
			return true
		})
	}
	assert.Positive(t, seen, "not even internal/work starts goroutines, so this test sees nothing")
}
