package ruleset

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
)

// slip finds the line that breaks the YAML of a file, and the cure; no text where nothing
// is found. The YAML reader names the place where it gave up, which may be many lines later.
// It is asked only about files that this reader refuses.
func (s *source) slip() (Position, string) {
	r := &slipReader{source: s, open: []block{{line: -1}}}
	for r.line < len(s.lines) && r.says == "" {
		r.read()
		r.line++
	}
	return r.at, r.says
}

// block is lines that belong together: the entries of a mapping or the items of a list.
type block struct {
	indent int
	line   int // the first, from 0; -1 before there is one
	list   bool
	entry  int  // the last line that is an entry of it
	bare   bool // its first line is text without a key
}

// slipReader reads a file line by line, as a person does.
type slipReader struct {
	*source
	open    []block // those that the line lies in, outermost first
	line    int     // that is read, from 0
	expects bool    // the line before has a name and nothing behind it
	plain   bool    // the line before ends in text that may go on
	at      Position
	says    string
}

// wrong notes the first thing that is wrong, at a byte of a line.
func (r *slipReader) wrong(line, at int, format string, args ...any) {
	if r.says == "" {
		r.at = Position{r.file, line + 1, utf8.RuneCountInString(r.lines[line][:at]) + 1}
		r.says = fmt.Sprintf(format, args...)
	}
}

var (
	// yamlKey is a name with its colon and the blanks behind it.
	yamlKey = regexp.MustCompile(`^("[^"]*"|'[^']*'|[^\s"'\[\]{}#,&*!|>%@-][^#]*?):(\s+|$)`)
	// tightKey and bareKey are names whose blank or colon was forgotten.
	tightKey = regexp.MustCompile(`^([a-z$][a-z_-]*):(\S.*)$`)
	bareKey  = regexp.MustCompile(`^([a-z$][a-z_-]*) +(\S.*)$`)
	// tightItem is an item of a list whose blank was forgotten.
	tightItem = regexp.MustCompile(`^-([a-z$][a-z_-]*: .*)$`)
	loneKey   = regexp.MustCompile(`^[a-z$][a-z_-]*$`)
)

// read reads one line, and more where its value goes on below.
func (r *slipReader) read() {
	line := strings.TrimRight(r.lines[r.line], " \r\t")
	text := strings.TrimLeft(line, " \t")
	at := len(line) - len(text)
	switch {
	case text == "" || text[0] == '#' || line == "---" || line == "...":
		return
	case strings.Contains(line[:at], "\t"):
		r.wrong(r.line, strings.Index(line, "\t"), "a tab indents this line; YAML takes spaces only")
		return
	}
	if m := tightItem.FindStringSubmatch(line[at:]); m != nil {
		r.wrong(r.line, at, "a space is missing: write - %s", m[1])
		return
	}
	key := yamlKey.FindString(line[at:])
	item := line[at:] == "-" || strings.HasPrefix(line[at:], "- ")
	if key == "" && !item && r.plain && at > r.top().indent {
		return // the text of the line before goes on
	}
	for item && r.says == "" {
		r.place(at, true, false)
		rest := strings.TrimLeft(line[at+1:], " ")
		at = len(line) - len(rest)
		r.expects, r.plain = true, false
		if rest == "" {
			return
		}
		item = rest == "-" || strings.HasPrefix(rest, "- ")
		key = yamlKey.FindString(rest)
	}
	if r.says != "" {
		return
	}
	if key == "" && r.top().list && r.expects {
		r.value(at)
		return
	}
	if r.place(at, false, key == ""); r.says != "" {
		return
	}
	if key == "" {
		r.keyless(at, line[at:])
		return
	}
	r.value(at + len(key))
}

func (r *slipReader) top() *block { return &r.open[len(r.open)-1] }

// place finds the block that a line belongs to by the spaces it begins with.
func (r *slipReader) place(at int, item, bare bool) {
	popped := block{indent: -1}
	for len(r.open) > 1 && (r.top().indent > at || r.top().indent == at && r.top().list && !item) {
		if r.top().indent > at {
			popped = *r.top()
		}
		r.open = r.open[:len(r.open)-1]
	}
	top := r.top()
	switch {
	case top.line < 0:
		*top = block{at, r.line, item, r.line, bare}
		return
	case top.indent == at && top.list == item:
		if top.bare && !bare {
			r.forgotten(top.line, top.indent)
		}
		top.entry = r.line
		return
	case r.expects && top.indent <= at:
		r.open = append(r.open, block{at, r.line, item, r.line, bare})
		return
	}
	r.misplaced(at, popped)
}

// misplaced says that a line lies in no block. Where a block has a single line, which begins
// with an odd number of spaces while this one does not, that one is meant.
func (r *slipReader) misplaced(at int, popped block) {
	top := r.top()
	switch {
	case top.indent < at && top.bare && top.entry == r.line-1:
		r.forgotten(top.entry, top.indent)
	case top.indent < at && top.list && r.plain && top.entry == r.line-1:
		r.forgotten(top.entry, r.begins(top.entry))
	case top.indent < at && top.entry == top.line && top.line > 0 && top.indent%2 == 1 && at%2 == 0:
		r.uneven(top.line, top.indent, r.line, at)
	case popped.indent >= 0 && popped.entry == popped.line && popped.indent%2 == 1 && at%2 == 0:
		r.uneven(popped.line, popped.indent, r.line, at)
	case popped.indent >= 0 && top.indent < at:
		r.wrong(r.line, at, "this line begins with %s, the lines before it with %s and %s; lines that belong together begin with the same number", spaces(at), number(popped.indent), number(top.indent))
	case top.indent < at:
		r.uneven(r.line, at, top.entry, top.indent)
	default:
		r.wrong(r.line, at, "this line begins with %s and belongs to none of the lines before it", spaces(at))
	}
}

// begins is the byte of a line at which its text begins, behind the marks of list items.
func (r *slipReader) begins(line int) int {
	text := strings.TrimLeft(r.lines[line], " ")
	for strings.HasPrefix(text, "- ") {
		text = strings.TrimLeft(text[2:], " ")
	}
	return len(r.lines[line]) - len(text)
}

// uneven says that a line begins with another number of spaces than another, which it
// belongs to.
func (r *slipReader) uneven(line, at, other, otherAt int) {
	where := fmt.Sprintf("line %d", other+1)
	switch other {
	case line - 1:
		where = "the line above it"
	case line + 1:
		where = "the line below it"
	}
	r.wrong(line, at, "this line begins with %s, %s with %s; lines that belong together begin with the same number", spaces(at), where, number(otherAt))
}

func spaces(n int) string {
	switch n {
	case 0:
		return "no space"
	case 1:
		return "1 space"
	}
	return fmt.Sprintf("%d spaces", n)
}

// number is a count of spaces beside one that was named before.
func number(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprint(n)
}

// keyless is a line without a name: text that a line above waits for, or a name whose colon
// was forgotten.
func (r *slipReader) keyless(at int, text string) {
	if strings.IndexByte("\"'{[", text[0]) >= 0 || r.top().bare && r.top().entry == r.top().line {
		r.value(at)
		return
	}
	r.forgotten(r.line, at)
}

// forgotten says which colon or blank is missing in a line.
func (r *slipReader) forgotten(line, at int) {
	text := strings.TrimRight(r.lines[line][at:], " \r")
	if strings.Contains(text, "：") {
		r.wrong(line, at, "write : in place of ：")
	} else if loneKey.MatchString(text) {
		r.wrong(line, at, "a colon is missing: write %s:", text)
	} else if m := tightKey.FindStringSubmatch(text); m != nil {
		r.wrong(line, at, "a space is missing: write %s: %s", m[1], m[2])
	} else if m := bareKey.FindStringSubmatch(text); m != nil {
		r.wrong(line, at, "a colon is missing: write %s: %s", m[1], m[2])
	} else {
		r.wrong(line, at, "a colon is missing behind a name, as in level: note")
	}
}
