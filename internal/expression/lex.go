package expression

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"printlint/internal/catalog"
	"printlint/internal/near"
)

// MaxLength bounds an expression in characters, and so the depth of its brackets.
const MaxLength = 1000

// Fault is something wrong at a byte of an expression. It ends the reading by a panic,
// which Compile turns into its result.
type Fault struct {
	Offset int
	Text   string
}

func fail(offset int, format string, args ...any) {
	panic(&Fault{offset, fmt.Sprintf(format, args...)})
}

// token is a name, a number with its unit, or a sign. One without text is the end.
type token struct {
	at     int // byte of the expression
	text   string
	number *value // nil in names and signs
}

// lex splits an expression into tokens, the end among them.
func lex(s string) []token {
	if len(s) > MaxLength {
		fail(0, "an expression may have %d characters, this has %d", MaxLength, len(s))
	}
	var out []token
	depth := 0 // of brackets
	for i := 0; i < len(s); {
		t := token{at: i}
		end := i + 1
		switch c := s[i]; {
		case strings.IndexByte(blank, c) >= 0:
			i++
			continue
		case strings.IndexByte("\"'`", c) >= 0:
			end = quoteEnd(s, i)
		case c >= utf8.RuneSelf:
			foreignSign(s, i)
		case c == '(':
			depth++
		case c == ')':
			depth--
		case catalog.NumberLength(s[i:]) > 0 && c != '-' && c != '+':
			if depth == 0 {
				noComma(s, i)
			}
			end = quantityEnd(s, i)
			t.number = quantity(s[i:end], i)
		case isLetter(c) || c == '_':
			end = i + max(len(wordAt(s[i:])), len(followed.FindString(s[i:])))
		case i+1 < len(s) && strings.Contains(doubles, s[i:i+2]+" "):
			end = i + 2
		}
		t.text = s[i:end]
		out = append(out, t)
		i = end
	}
	return append(out, token{at: max(0, len(s)-1)})
}

const (
	blank   = " \t\r\n\v\f"
	doubles = "&& || == != <= >= ** .. ?? ?. "
)

// signs are what a text processor makes of the signs of an expression.
var signs = map[rune]string{'≥': ">=", '≤': "<=", '≠': "!=", '×': "*", '·': "*", '÷': "/", '−': "-", '–': "-"}

// foreignSign complains about a sign that no keyboard has.
func foreignSign(s string, at int) {
	r, _ := utf8.DecodeRuneInString(s[at:])
	if write := signs[r]; write != "" {
		fail(at, "%q is not read here: write %s", r, write)
	}
	if _, unit := catalog.Spelled(string(r)); unit || strings.ContainsRune("²³", r) {
		fail(at, "%q belongs behind a number, as in 45° or 9 mm²", r)
	}
	fail(at, "an expression is plain ASCII: write it without %q", r)
}

// noComma complains about a comma in place of a point, outside of brackets.
func noComma(s string, at int) {
	n := at + catalog.NumberLength(s[at:])
	if pointed := catalog.PointFor(s[at:]); pointed != "" {
		rest := s[:n] + "." + s[n+1:]
		fail(at, "a number has a point and no comma: write %s", rest[at:quantityEnd(rest, at)])
	}
}

// quantity is a number with its unit.
func quantity(s string, at int) *value {
	number, unit, err := catalog.ParseQuantity(s)
	if err != nil {
		fail(at, "%s", err)
	}
	b := Base(unit)
	return &value{run: Constant(number * b.Factor), dim: b.Dim, at: at, fixed: true}
}

// ability is the name of what a printer can do.
var ability = regexp.MustCompile(`^process\.[a-z]+\.[a-z]+$`)

// followed is the name of another rule's limit, in which rules have their hyphens.
var followed = regexp.MustCompile(`^rules\.[a-z][a-z0-9]*(-[a-z0-9]+)*\.limits\.[a-z][a-z0-9_]*`)

// Follows says whether a name is that of another rule's limit.
func Follows(name string) bool {
	return strings.HasPrefix(name, "rules.") && followed.FindString(name) == name
}

// wordAt is the name that s begins with, with the points in it.
func wordAt(s string) string {
	n := 0
	for n < len(s) && isWord(s[n]) {
		n++
	}
	return s[:n]
}

func isWord(b byte) bool {
	return b == '_' || b == '.' || b >= '0' && b <= '9' || isLetter(b)
}

func isLetter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// quantityEnd is where the number at offset ends with its unit, the longest that fits, or
// without one, when an operator or nothing follows.
func quantityEnd(s string, offset int) int {
	end := offset + catalog.NumberLength(s[offset:])
	if strings.HasPrefix(s[end-1:], "..") {
		return end - 1
	}
	rest := strings.TrimLeft(s[end:], blank)
	start, unit := len(s)-len(rest), ""
	for _, sp := range catalog.Spellings() {
		after, fits := strings.CutPrefix(rest, sp.Word)
		if fits && len(sp.Word) > len(unit) && (after == "" || !isWord(after[0]) && after[0] != '(') {
			unit = sp.Word
		}
	}
	if unit != "" {
		return start + len(unit)
	}
	switch word := wordAt(rest); {
	case word == "" || !isLetter(word[0]) || word == "and" || word == "or" || word == "not" || word == "in":
		return end
	case strings.HasPrefix(rest[len(word):], "("):
		fail(start, "an operator is missing between the number and %s(...), such as * in 2 * %s(...)", word, word)
	default:
		fail(start, "%q is not a unit%s", word, UnitHint(word))
	}
	return end
}

// UnitHint ends a complaint about a word that is no unit.
func UnitHint(word string) string {
	if short := catalog.InFull(word); short != "" {
		return "; write " + short
	}
	return near.Hint(word, catalog.UnitWords())
}
