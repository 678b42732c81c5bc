package ruleset

import (
	"regexp"
	"slices"
	"strings"
)

// oneMore is a quantity or a level, and behind it the name of the next value.
var oneMore = regexp.MustCompile(`^([0-9][0-9.]* ?[a-z/0-9µ°²³]+|error|warning|note|none) ([a-z][a-z-]*:( .*)?)$`)

// lastKey is the name that stands before a value.
var lastKey = regexp.MustCompile(`[\w-]+:\s+$`)

// value reads what stands at a byte of the line, up to its end, which may lie lines below.
func (r *slipReader) value(at int) {
	text := withoutComment(r.lines[r.line][at:])
	r.expects, r.plain = text == "", false
	if text == "" {
		return
	}
	switch {
	case text[0] == '|' || text[0] == '>':
		r.skipBelow()
	case text[0] == '"' || text[0] == '\'':
		r.quoted(at)
	case text[0] == '{' || text[0] == '[':
		r.brackets(at)
	case strings.HasPrefix(text, "- "):
		r.wrong(r.line, at, "a list begins on a line of its own, below its name, or stands in [ ]")
	default:
		r.plainText(r.line, at, text)
		r.plain = true
	}
}

// nested are the keys that hold a mapping: what stands behind their colon without brackets
// is no text.
var nested = []string{"limits", "process", "models", "rules"}

// plainText is text without quotes, which some things in it break.
func (r *slipReader) plainText(line, at int, text string) {
	key := yamlKey.FindStringSubmatch(lastKey.FindString(r.lines[line][:at]))
	switch {
	case text == "": // all of it is a remark
	case key != nil && slices.Contains(nested, key[1]) && strings.Contains(text, ": "):
		parts := strings.Split(text, ": ")
		inner := parts[len(parts)-1]
		for _, name := range slices.Backward(parts[:len(parts)-1]) {
			inner = "{" + name + ": " + inner + "}"
		}
		r.wrong(line, at, "brackets are missing: write %s: %s", key[1], inner)
	case oneMore.MatchString(text):
		m := oneMore.FindStringSubmatch(text)
		r.wrong(line, at, "a comma is missing: write %s, %s", m[1], m[2])
	case strings.IndexByte("*&!%@`", text[0]) >= 0:
		r.wrong(line, at, "this text begins with %s; put it in quotes: %s", text[:1], inQuotes(text))
	case strings.Contains(text, ": ") || strings.HasSuffix(text, ":"):
		r.wrong(line, at, "this text has a colon in it; put it in quotes: %s", inQuotes(text))
	}
}

func withoutComment(text string) string {
	if i := strings.Index(" "+text, " #"); i >= 0 {
		text = text[:i]
	}
	return strings.TrimRight(text, " \r\t")
}

// inQuotes is a text in the quotes that it does not hold.
func inQuotes(text string) string {
	if strings.ContainsAny(text, "\"\\") {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	return `"` + text + `"`
}

// skipBelow passes over the lines of a text that a mark before it sets apart: all begin with
// as many spaces as the first, or more.
func (r *slipReader) skipBelow() {
	var lines, indents []int
	for r.line+1 < len(r.lines) {
		line := strings.TrimRight(r.lines[r.line+1], " \r\t")
		indent := len(line) - len(strings.TrimLeft(line, " "))
		if line != "" && indent <= r.top().indent {
			break
		}
		r.line++
		if line != "" {
			lines, indents = append(lines, r.line), append(indents, indent)
		}
	}
	for i := range indents {
		if indents[i] >= indents[0] {
			continue
		}
		if i == 1 && (len(indents) > 2 && indents[2] == indents[1] || len(indents) == 2 && indents[0]%2 == 1) {
			r.uneven(lines[0], indents[0], lines[1], indents[1])
			return
		}
		r.uneven(lines[i], indents[i], lines[i-1], indents[i-1])
		return
	}
}

// quoted reads a text in quotes. A line within it that looks like an entry says that its end
// was forgotten, and the quote that seems to end it begins another text.
func (r *slipReader) quoted(at int) {
	line, end := r.quoteEnd(r.line, at)
	first, quote := r.line, r.lines[r.line][at]
	if line < 0 || r.looksLikeEntry(first+1, line) {
		r.wrong(first, at, "this quote is not closed; put another %c at the end of the text", quote)
		return
	}
	rest := withoutComment(r.lines[line][end:])
	switch {
	case rest == "":
		r.line = line
	case quote == '\'' && isLetterByte(rest[0]):
		r.wrong(first, at, "a ' within the quotes ends the text; write two: ''")
	default:
		r.wrong(first, at, "the text goes on behind its quotes; put all of the text in quotes: %s", inQuotes(withoutComment(r.lines[first][at:])))
	}
}

func isLetterByte(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// looksLikeEntry says whether a line, from one to another, looks like an entry of a mapping.
func (r *slipReader) looksLikeEntry(from, to int) bool {
	for _, line := range r.lines[from : to+1] {
		text := strings.TrimPrefix(strings.TrimLeft(line, " "), "- ")
		if m := yamlKey.FindStringSubmatch(text); m != nil && !strings.Contains(m[1], " ") {
			return true
		}
	}
	return false
}

// quoteEnd is the line and the byte behind the end of a text in quotes; line -1 where there
// is none.
func (r *slipReader) quoteEnd(line, at int) (int, int) {
	quote := r.lines[line][at]
	for i := at + 1; line < len(r.lines); line, i = line+1, 0 {
		for text := r.lines[line]; i < len(text); i++ {
			switch {
			case quote == '"' && text[i] == '\\':
				i++
			case text[i] != quote:
			case quote == '\'' && i+1 < len(text) && text[i+1] == quote:
				i++
			default:
				return line, i + 1
			}
		}
	}
	return -1, 0
}
