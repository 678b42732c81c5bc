package ruleset

import (
	"errors"
	"fmt"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"printlint/internal/catalog"
)

const (
	maxExpression = 1000 // characters; also bounds the depth of brackets
	maxNodes      = 500
)

// fault is something wrong at a byte of an expression.
type fault struct {
	offset int
	text   string
}

func faultf(offset int, format string, args ...any) *fault {
	return &fault{offset, fmt.Sprintf(format, args...)}
}

// quantity is a number with its unit, as written in an expression.
type quantity struct {
	value float64
	unit  catalog.Unit
}

// syntaxTree is a parsed expression. The parser knows no units, so each quantity
// stands in the tree as a name, and is found by its offset.
type syntaxTree struct {
	root       ast.Node
	quantities map[int]quantity
}

// disabled is every function that the expression library has built in: none of them
// may be called, and those of the same name here are our own.
var disabled = func() map[string]bool {
	names := map[string]bool{}
	for _, f := range builtin.Builtins {
		names[f.Name] = true
	}
	return names
}()

// parseExpression reads an expression's text.
func parseExpression(s string) (syntaxTree, *fault) {
	if len(s) > maxExpression {
		return syntaxTree{}, faultf(0, "an expression may have %d characters, this has %d", maxExpression, len(s))
	}
	for i := range len(s) {
		if s[i] >= 0x80 {
			return syntaxTree{}, faultf(i, "an expression is plain ASCII: write it without %q", []rune(s[i:])[0])
		}
	}
	masked, quantities, bad := maskQuantities(s)
	if bad != nil {
		return syntaxTree{}, bad
	}
	tree, err := parser.ParseWithConfig(masked, &conf.Config{MaxNodes: maxNodes, DisableIfOperator: true, Disabled: disabled})
	if err != nil {
		return syntaxTree{}, parserFault(s, err)
	}
	return syntaxTree{tree.Node, quantities}, nil
}

func parserFault(s string, err error) *fault {
	var e *file.Error
	if !errors.As(err, &e) {
		return faultf(0, "%s", err)
	}
	if strings.TrimSpace(s) == "" {
		return faultf(0, "the expression is empty")
	}
	message := e.Message
	if strings.HasPrefix(message, "unexpected token EOF") {
		message = "the expression ends too early"
	} else if at := min(e.From, len(s)); strings.HasPrefix(message, "unexpected token") && at < len(s) {
		message = fmt.Sprintf("did not expect %q here", wordAt(s, at))
	}
	return faultf(min(e.From, len(s)), "%s", message)
}

// wordAt is the name, number or sign that begins at offset.
func wordAt(s string, offset int) string {
	end := offset
	for end < len(s) && isWord(s[end]) {
		end++
	}
	return s[offset:max(end, offset+1)]
}

func isWord(b byte) bool {
	return b == '_' || b == '.' || b >= '0' && b <= '9' || isLetter(b)
}

func isLetter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// maskQuantities puts a name of the same length, which no value or function has, in
// the place of every number with a unit, so that offsets stay true.
func maskQuantities(s string) (string, map[int]quantity, *fault) {
	out, quantities := []byte(s), map[int]quantity{}
	for i := 0; i < len(s); {
		if s[i] == '"' || s[i] == '\'' || s[i] == '`' {
			return "", nil, faultf(i, "an expression holds no text in quotes")
		}
		if isLetter(s[i]) || s[i] == '_' {
			i += len(wordAt(s, i))
			continue
		}
		n := 0
		if s[i] >= '0' && s[i] <= '9' || s[i] == '.' {
			n = catalog.NumberLength(s[i:])
		}
		if n == 0 {
			i++
			continue
		}
		unit, bad := unitAfter(s, i+n)
		if bad != nil {
			return "", nil, bad
		}
		if unit == "" {
			i += n
			continue
		}
		end := strings.Index(s[i+n:], unit) + i + n + len(unit)
		value, u, err := catalog.ParseQuantity(s[i:end])
		if err != nil {
			return "", nil, faultf(i, "%s", err)
		}
		quantities[i] = quantity{value, u}
		copy(out[i:end], "q"+strings.Repeat("_", end-i-1))
		i = end
	}
	return string(out), quantities, nil
}

// unitAfter reads the unit behind a number that ends at offset, the longest that
// fits; "" when an operator or nothing follows.
func unitAfter(s string, offset int) (string, *fault) {
	start := offset
	for start < len(s) && (s[start] == ' ' || s[start] == '\n') {
		start++
	}
	rest := s[start:]
	unit := ""
	for _, sp := range catalog.Spellings() {
		if len(sp.Word) > len(unit) && strings.HasPrefix(rest, sp.Word) &&
			(len(rest) == len(sp.Word) || !isWord(rest[len(sp.Word)]) && rest[len(sp.Word)] != '(') {
			unit = sp.Word
		}
	}
	if unit != "" || rest == "" || !isLetter(rest[0]) {
		return unit, nil
	}
	word := wordAt(rest, 0)
	switch word {
	case "and", "or", "not", "in":
		return "", nil
	}
	if start+len(word) < len(s) && s[start+len(word)] == '(' {
		return "", faultf(start, "an operator is missing between the number and %s(...), such as * in 2 * %s(...)", word, word)
	}
	return "", faultf(start, "%q is not a unit%s", word, hint(word, unitWords()))
}

func unitWords() []string {
	var words []string
	for _, sp := range catalog.Spellings() {
		words = append(words, sp.Word)
	}
	return words
}
