package expression

import (
	"regexp"
	"regexp/syntax"
	"slices"
	"strings"

	"printlint/internal/catalog"
)

// Taker takes up a test of a text under its words, and says which value answers it. Where
// there are several texts, one that passes is enough.
type Taker func(words string, test func(text string) bool) Meaning

// BesideText is the name by which Names.Text knows what beside asks.
const BesideText = catalog.BesideText

// asking are what asks for files by their names: beside says whether there is one in the
// folder, holds how many, and later of how many models the source was changed after them.
// Each has what it needs, and where it stands.
var asking = map[string]struct{ text, example, where string }{
	"beside": {BesideText, `beside("README*")`, "per: model or per: folder"},
	"holds":  {catalog.HoldsText, `holds("*.png")`, "per: folder"},
	"later":  {catalog.LaterText, `later("*.step")`, "per: folder"},
}

// Asking shows how each of these is written, sorted.
func Asking() (list []string) {
	for _, ask := range asking {
		list = append(list, ask.example)
	}
	slices.Sort(list)
	return list
}

// inQuotes says whether a token is text in quotes.
func (t token) inQuotes() bool { return t.text != "" && (t.text[0] == '"' || t.text[0] == '\'') }

// inside is what stands between the quotes: all of it stands for itself.
func (t token) inside() string { return t.text[1 : len(t.text)-1] }

// quoteEnd is where the text in quotes that begins at an offset ends.
func quoteEnd(s string, at int) int {
	if s[at] == '`' {
		fail(at, "text stands in \" or ', not in `")
	}
	n := strings.IndexByte(s[at+1:], s[at])
	if n < 0 {
		fail(at, "this quote is not closed")
	}
	return at + n + 2
}

// misplaced complains about text in quotes where a number or a name is needed.
func (x *parser) misplaced(t token) {
	if x.Text == nil {
		fail(t.at, "an expression holds no text in quotes here; text is for rules with per: model, as in file.format == \"stl\"")
	}
	if inside := strings.TrimSpace(t.inside()); catalog.NumberLength(inside) > 0 {
		fail(t.at, "a number stands without quotes: write %s", inside)
	}
	fail(t.at, "this is text, and text stands behind a name that is text, as in file.format == \"stl\"; numbers and names have no quotes")
}

// noText complains about an operator of texts behind something else.
func (x *parser) noText(left value) {
	if sign := x.tokens[0].text; x.Text != nil && (sign == "matches" || sign == "in") {
		fail(left.at, "%s is for text such as file.name, this is %s", sign, left.dim)
	}
}

// textTest reads what is asked of the text of a name.
func (x *parser) textTest(name token, take Taker) value {
	sign := x.next()
	var test func(string) bool
	words := name.text + " " + sign.text + " "
	switch sign.text {
	case "==", "!=":
		other, equal := x.quoted(name), sign.text == "=="
		words += other.text
		test = func(s string) bool { return (s == other.inside()) == equal }
	case "matches":
		t := x.quoted(name)
		words += t.text
		test = pattern(t).MatchString
	case "in":
		list := x.list(name)
		words += "[" + joined(list) + "]"
		test = func(s string) bool {
			for _, t := range list {
				if s == t.inside() {
					return true
				}
			}
			return false
		}
	default:
		fail(sign.at, `%s is text: write matches, ==, != or in behind it, as in %s == "..."`, name.text, name.text)
	}
	p, d := take(words, test).program()
	return value{run: p, dim: d, at: name.at}
}

// quoted reads one text that a name is compared with.
func (x *parser) quoted(name token) token {
	t := x.next()
	switch {
	case t.text == "":
		unexpected(t)
	case !t.inQuotes():
		fail(t.at, `%s is text, and so is what it is compared with: write "%s"`, name.text, t.text)
	}
	return t
}

// list reads texts in square brackets.
func (x *parser) list(name token) (list []token) {
	open := x.next()
	switch {
	case open.inQuotes():
		fail(open.at, "in needs a list: write [%s]", open.text)
	case open.text == "":
		unexpected(open)
	case open.text != "[" || x.sees("]"):
		fail(open.at, `in needs a list with a text in it, as in ["stl", "3mf"]`)
	}
	for {
		list = append(list, x.quoted(name))
		if x.sees("]") {
			x.next()
			return list
		}
		x.expect(",")
	}
}

// joined are texts in quotes with commas between them.
func joined(list []token) string {
	words := make([]string, len(list))
	for i, t := range list {
		words[i] = t.text
	}
	return strings.Join(words, ", ")
}

// pattern compiles a regular expression, which takes time in step with the text and no more.
func pattern(t token) *regexp.Regexp {
	p, err := regexp.Compile(t.inside())
	if err == nil {
		return p
	}
	bad, ok := err.(*syntax.Error)
	if !ok {
		fail(t.at, "%s is no pattern: %v", t.text, err)
	}
	at := max(0, strings.Index(t.inside(), bad.Expr))
	fail(t.at+1+at, `"%s" is no pattern: %s`, bad.Expr, bad.Code)
	return nil
}

// names reads what asks for files by their names, and takes it up.
func (x *parser) names(name token) value {
	ask := asking[name.text]
	if x.Text == nil {
		fail(name.at, "%s stands in find of a rule with %s, and nowhere else", name.text, ask.where)
	}
	take := x.Text(ask.text)
	switch {
	case take == nil && name.text != "beside":
		fail(name.at, "%s stands in find, say and do of a rule with %s, and nowhere else", name.text, ask.where)
	case take == nil:
		fail(name.at, "nothing is known here of what stands beside a model")
	case !x.sees("("):
		fail(name.at, "%s needs a name in quotes, as in %s", name.text, ask.example)
	}
	x.next()
	var list []token
	var tests []func(string) bool
	for more := true; more; {
		t := x.next()
		if !t.inQuotes() {
			fail(t.at, "%s needs a name in quotes, as in %s", name.text, ask.example)
		}
		test, bad := x.Glob(t.inside())
		if bad != "" {
			fail(t.at, "%s", bad)
		}
		list, tests = append(list, t), append(tests, test)
		if more = x.sees(","); more {
			x.next()
		}
	}
	x.expect(")")
	p, d := take(name.text+"("+joined(list)+")", func(s string) bool {
		for _, test := range tests {
			if test(s) {
				return true
			}
		}
		return false
	}).program()
	return value{run: p, dim: d, at: name.at}
}
