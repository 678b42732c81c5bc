package ruleset

import "strings"

// bracket is one that is open.
type bracket struct {
	sign     byte
	line, at int
}

// brackets reads a mapping or list in brackets, which may go on over lines.
func (r *slipReader) brackets(at int) {
	var open []bracket
	first, begin := r.line, at
	for line := r.line; line < len(r.lines); line, at = line+1, 0 {
		if line > first && r.leaves(first, line) {
			break
		}
		for at < len(r.lines[line]) && r.says == "" {
			text := r.lines[line]
			switch c := text[at]; {
			case c == '#' && (at == 0 || text[at-1] == ' '):
				at = len(text)
				continue
			case c == '{' || c == '[':
				open = append(open, bracket{c, line, at})
			case c == '}' || c == ']':
				if open = r.closed(open, c, line, at); r.says != "" {
					return
				}
				if len(open) == 0 {
					r.behind(first, begin, line, at+1)
					r.line = line
					return
				}
				r.needsComma(line, at+1)
			case strings.IndexByte(" ,:\r\t", c) < 0:
				line, at = r.word(open[len(open)-1].sign, line, at)
				continue
			}
			at++
		}
	}
	if len(open) > 0 {
		r.wrong(open[0].line, open[0].at, "this %c is not closed; write %c behind what it holds", open[0].sign, closes(open[0].sign))
	}
}

// leaves says that a line cannot belong to brackets that are open: it looks like an entry,
// and begins with no more spaces than the line in which they were opened.
func (r *slipReader) leaves(first, line int) bool {
	return r.begins(line) <= r.begins(first) && r.looksLikeEntry(line, line)
}

// needsComma complains where the next item follows without a comma.
func (r *slipReader) needsComma(line, at int) {
	rest := strings.TrimLeft(withoutComment(r.lines[line][at:]), " ")
	if rest != "" && strings.IndexByte(",:]}", rest[0]) < 0 {
		at = strings.LastIndex(r.lines[line], rest)
		r.wrong(line, at, "a comma is missing before this")
	}
}

func closes(sign byte) byte {
	if sign == '{' {
		return '}'
	}
	return ']'
}

// closed takes the bracket that a sign closes from those that are open.
func (r *slipReader) closed(open []bracket, sign byte, line, at int) []bracket {
	last := open[len(open)-1]
	if closes(last.sign) != sign {
		r.wrong(line, at, "this %c closes nothing; the %c of line %d is still open", sign, last.sign, last.line+1)
	}
	return open[:len(open)-1]
}

// behind looks at what follows the last bracket: text in brackets was meant as words.
func (r *slipReader) behind(first, begin, line, at int) {
	rest := withoutComment(r.lines[line][at:])
	if blanks := len(rest) - len(strings.TrimLeft(rest, " ")); rest != "" && strings.IndexByte("]}", rest[blanks]) >= 0 {
		r.wrong(line, at+blanks, "this %c closes nothing; take it away", rest[blanks])
		return
	}
	if rest != "" && !strings.HasPrefix(rest, ":") {
		text := withoutComment(r.lines[first][begin:])
		r.wrong(first, begin, "this text begins with %s; put it in quotes: %s", text[:1], inQuotes(text))
	}
}

// word passes over a name or a value within brackets, and returns where it ends.
func (r *slipReader) word(in byte, line, at int) (int, int) {
	text := r.lines[line]
	if text[at] == '"' || text[at] == '\'' {
		end, behind := r.quoteEnd(line, at)
		if end < 0 || end > line && r.looksLikeEntry(line+1, end) {
			r.wrong(line, at, "this quote is not closed; put another %c at the end of the text", text[at])
			return line, len(text)
		}
		r.needsComma(end, behind)
		return end, behind
	}
	end := at
	for end < len(text) && strings.IndexByte(",{}[]", text[end]) < 0 {
		end++
	}
	whole := withoutComment(text[at:end])
	if end < len(text) && strings.IndexByte("{[", text[end]) >= 0 && in == '{' && loneKey.MatchString(strings.TrimSuffix(whole, ":")) && !strings.HasSuffix(text[:end], ": ") {
		r.wrong(line, at, "a colon with a space is missing: write %s: %c", strings.TrimSuffix(whole, ":"), text[end])
		return line, end
	}
	key := yamlKey.FindString(whole + " ")
	if in == '{' && key != "" {
		return r.entry(line, at+len(strings.TrimRight(key, " ")), end)
	}
	r.plainText(line, at, whole)
	return line, end
}

// entry looks at the value behind a name within brackets.
func (r *slipReader) entry(line, at, end int) (int, int) {
	text := r.lines[line]
	for at < end && text[at] == ' ' {
		at++
	}
	if at == end || text[at] == '"' || text[at] == '\'' || text[at] == '#' {
		return line, at
	}
	r.plainText(line, at, withoutComment(text[at:end]))
	return line, end
}
