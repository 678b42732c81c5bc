package report

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"unicode/utf8"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// jsonDepth is how deep the JSON report is broken into lines: down to one finding
// and one measure a line, so that two reports can be compared line by line.
const jsonDepth = 4

func writeJSON(w io.Writer, r *finding.Report, _ Options) error {
	return WriteJSON(w, r, jsonDepth)
}

// WriteJSON writes any value as JSON whose objects and lists are broken into lines
// down to the given depth. Runes that a terminal would act on are escaped.
func WriteJSON(w io.Writer, v any, depth int) error {
	var compact bytes.Buffer
	e := json.NewEncoder(&compact)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(layOut(bytes.TrimSpace(compact.Bytes()), depth))
	return err
}

// layOut breaks compact JSON into lines down to a depth.
func layOut(src []byte, depth int) []byte {
	var out bytes.Buffer
	level := 0
	line := func() {
		out.WriteByte('\n')
		out.WriteString(strings.Repeat("  ", level))
	}
	for i := 0; i < len(src); i++ {
		c := src[i]
		switch c {
		case '"':
			n := stringLen(src[i:])
			writeString(&out, src[i:i+n])
			i += n - 1
		case '{', '[':
			out.WriteByte(c)
			if next := src[i+1]; next == '}' || next == ']' {
				out.WriteByte(next)
				i++
				continue
			}
			if level++; level <= depth {
				line()
			}
		case '}', ']':
			if level--; level < depth {
				line()
			}
			out.WriteByte(c)
		case ',':
			out.WriteByte(c)
			if level <= depth {
				line()
			} else {
				out.WriteByte(' ')
			}
		case ':':
			out.WriteString(": ")
		default:
			out.WriteByte(c)
		}
	}
	out.WriteByte('\n')
	return out.Bytes()
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

// writeString copies a JSON string, escaping what a terminal would act on.
func writeString(out *bytes.Buffer, s []byte) {
	for len(s) > 0 {
		r, n := utf8.DecodeRune(s)
		if words.Hidden(r) {
			out.WriteString(words.Escape(r))
		} else {
			out.Write(s[:n])
		}
		s = s[n:]
	}
}
