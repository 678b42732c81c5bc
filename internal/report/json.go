package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"unicode/utf8"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// jsonDepth is how deep the JSON report is broken into lines: down to one finding
// and one measure a line, so that two reports can be compared line by line.
const jsonDepth = 4

// writeJSON writes a report, one model after the other: that of a large shelf is longer than
// all else in memory.
func writeJSON(w io.Writer, r *finding.Report, _ Options) error {
	out := &laidOut{out: bufio.NewWriter(w), depth: jsonDepth}
	head := *r
	head.Models = nil
	text, err := compact(&head)
	if err != nil {
		return err
	}
	before, found := bytes.CutSuffix(text, []byte("null}"))
	if !found {
		return errors.New("the models are not the last part of a report")
	}
	out.add(before)
	separator := byte('[')
	for i := range r.Models {
		if text, err = compact(&r.Models[i]); err != nil {
			return err
		}
		out.add(append([]byte{separator}, text...))
		separator = ','
	}
	switch {
	case r.Models == nil:
		out.add([]byte("null}"))
	case len(r.Models) == 0:
		out.add([]byte("[]}"))
	default:
		out.add([]byte("]}"))
	}
	return out.end()
}

// WriteJSON writes any value as JSON whose objects and lists are broken into lines
// down to the given depth. Runes that a terminal would act on are escaped.
func WriteJSON(w io.Writer, v any, depth int) error {
	text, err := compact(v)
	if err != nil {
		return err
	}
	out := &laidOut{out: bufio.NewWriter(w), depth: depth}
	out.add(text)
	return out.end()
}

// compact is a value as JSON without blanks.
func compact(v any) ([]byte, error) {
	var text bytes.Buffer
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(text.Bytes()), err
}

// laidOut breaks compact JSON into lines down to a depth.
type laidOut struct {
	out          *bufio.Writer // keeps its first error until the end
	level, depth int
}

func (l *laidOut) line() {
	l.out.WriteByte('\n')
	for range l.level {
		l.out.WriteString("  ")
	}
}

// add goes on with a piece, which must not end within a string or just after an opening
// bracket.
func (l *laidOut) add(src []byte) {
	for i := 0; i < len(src); i++ {
		c := src[i]
		switch c {
		case '"':
			n := stringLen(src[i:])
			l.string(src[i : i+n])
			i += n - 1
		case '{', '[':
			l.out.WriteByte(c)
			if next := src[i+1]; next == '}' || next == ']' {
				l.out.WriteByte(next)
				i++
				continue
			}
			if l.level++; l.level <= l.depth {
				l.line()
			}
		case '}', ']':
			if l.level--; l.level < l.depth {
				l.line()
			}
			l.out.WriteByte(c)
		case ',':
			l.out.WriteByte(c)
			if l.level <= l.depth {
				l.line()
			} else {
				l.out.WriteByte(' ')
			}
		case ':':
			l.out.WriteString(": ")
		default:
			l.out.WriteByte(c)
		}
	}
}

// end writes what is left.
func (l *laidOut) end() error {
	l.out.WriteByte('\n')
	return l.out.Flush()
}

// stringLen returns the length of the JSON string that src begins with.
func stringLen(src []byte) int {
	for i := 1; ; i++ {
		switch src[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
}

// string copies a JSON string, escaping what a terminal would act on.
func (l *laidOut) string(s []byte) {
	for len(s) > 0 {
		r, n := utf8.DecodeRune(s)
		if words.Hidden(r) {
			l.out.WriteString(words.Escape(r))
		} else {
			l.out.Write(s[:n])
		}
		s = s[n:]
	}
}
