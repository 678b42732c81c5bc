package meshfile

import "io"

// scanner cuts a text file into words and counts its lines. A line ends with LF, CR LF
// or CR alone.
type scanner struct {
	in   io.ReaderAt
	size int64
	off  int64 // of the file, where buf[end] would stand
	buf  []byte
	pos  int
	end  int
	line int
	// joins makes a backslash at the end of a line join it to the next one.
	joins bool
	// err is the first thing that is wrong with the file.
	err error
}

// newScanner reads through a buffer of so many bytes; words must fit in it.
func newScanner(in Input, buffer int64) scanner {
	s := scanner{in: in, size: in.Size(), line: 1}
	s.buf = make([]byte, min(buffer, max(in.Size(), 1)))
	s.fill()
	if s.end >= len(bom) && string(s.buf[:len(bom)]) == bom {
		s.pos = len(bom)
	}
	return s
}

// stop keeps the first thing that is wrong.
func (s *scanner) stop(err error) {
	if s.err == nil {
		s.err = err
	}
}

// fail is stop for a problem at a line.
func (s *scanner) fail(line int, cure, format string, args ...any) {
	s.stop(atLine(line, cure, format, args...))
}

// done is how much of the file has been read.
func (s *scanner) done() int64 { return s.off - int64(s.end-s.pos) }

// ended tells whether the whole file has been read.
func (s *scanner) ended() bool { return s.done() == s.size }

// fill moves what is left to the front and reads on; it is false at the end of the file,
// after an error, and when there is no room because a word fills the buffer.
func (s *scanner) fill() bool {
	if s.err != nil || s.off >= s.size {
		return false
	}
	copy(s.buf, s.buf[s.pos:s.end])
	s.end -= s.pos
	s.pos = 0
	n := int(min(int64(len(s.buf)-s.end), s.size-s.off))
	if n == 0 {
		return false
	}
	if s.err = readFull(s.in, s.buf[s.end:s.end+n], s.off); s.err != nil {
		return false
	}
	s.end += n
	s.off += int64(n)
	return true
}

// take returns the next n bytes, whatever they are, or nothing where the file ends first.
// They are valid until the next call.
func (s *scanner) take(n int) []byte {
	for s.end-s.pos < n {
		if !s.fill() {
			return nil
		}
	}
	s.pos += n
	return s.buf[s.pos-n : s.pos]
}

func isSpace(c byte) bool { return c == ' ' || c >= '\t' && c <= '\r' }

// blank passes over blanks within a line and returns the byte behind them; false at the
// end of the file.
func (s *scanner) blank() (byte, bool) {
	for {
		i, buf := s.pos, s.buf[:s.end]
		for i < len(buf) {
			c := buf[i]
			if c != ' ' && c != '\t' && c != '\v' && c != '\f' {
				s.pos = i
				return c, true
			}
			i++
		}
		s.pos = i
		if !s.fill() {
			return 0, false
		}
	}
}

// next returns the next word of the file, on whatever line, or nothing at the end. It is
// valid until the next call.
func (s *scanner) next() []byte {
	for {
		c, ok := s.blank()
		switch {
		case !ok:
			return nil
		case c == '\n' || c == '\r':
			s.newline()
		default:
			return s.word()
		}
	}
}

// inLine returns the next word of this line, or nothing at its end.
func (s *scanner) inLine() []byte {
	for {
		c, ok := s.blank()
		switch {
		case !ok || c == '\n' || c == '\r':
			return nil
		case c == '\\' && s.joins && s.joined():
		default:
			return s.word()
		}
	}
}

// joined steps over a backslash and the line end behind it, if there is one.
func (s *scanner) joined() bool {
	if s.pos+1 == s.end && !s.fill() {
		return false
	}
	if c := s.buf[s.pos+1]; c != '\n' && c != '\r' {
		return false
	}
	s.pos++
	s.newline()
	return true
}

// newline steps over the line end at pos.
func (s *scanner) newline() {
	if s.buf[s.pos] == '\r' {
		if s.pos+1 < s.end || s.fill() {
			if s.buf[s.pos+1] == '\n' {
				s.pos++
			}
		}
	}
	s.pos++
	s.line++
	if s.line == maxLines {
		s.fail(0, cureSmaller, "the file has more than %d lines", maxLines)
	}
}

// word returns the word at pos and steps behind it.
func (s *scanner) word() []byte {
	i := s.pos
	for {
		buf := s.buf[:s.end]
		for i < len(buf) && buf[i] > ' ' {
			i++
		}
		if i < len(buf) && !isSpace(buf[i]) {
			i++ // a control character is part of a word, which then is not a known one
			continue
		}
		if i < len(buf) || s.off >= s.size || s.err != nil {
			break
		}
		i -= s.pos
		if i > maxWord {
			break
		}
		more := s.fill()
		i += s.pos
		if !more {
			break
		}
	}
	w := s.buf[s.pos:i]
	if len(w) > maxWord {
		s.fail(s.line, cureAgain, "a word of more than %d characters: this is no text model", maxWord)
	}
	if s.joins && len(w) > 1 && w[len(w)-1] == '\\' && i < s.end && s.buf[i] != ' ' {
		w, i = w[:len(w)-1], i-1 // the next word is the joined line's
	}
	s.pos = i
	return w
}

// endLine passes over the rest of this line with its end, and is false where the file
// ends without one.
func (s *scanner) endLine() bool {
	for {
		i, buf := s.pos, s.buf[:s.end]
		for i < len(buf) && buf[i] != '\n' && buf[i] != '\r' {
			i++
		}
		s.pos = i
		if i < len(buf) {
			s.newline()
			return true
		}
		if !s.fill() {
			return false
		}
	}
}
