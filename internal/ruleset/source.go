package ruleset

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// maxFile bounds a file of rules: far above any real one, far below what would hurt.
const maxFile = 1 << 20

// source is one file of rules with its lines, to find columns in.
type source struct {
	file  string // as complaints name it
	lines []string
	limit int // in bytes; 0 is maxFile
}

// pos is where a node begins.
func (s *source) pos(n *yaml.Node) Position { return Position{s.file, n.Line, n.Column} }

// parse reads the file's single YAML document. It returns nil for a file without
// content, or after a complaint.
func (s *source) parse(data []byte, c *complaints) *yaml.Node {
	if limit := cmp.Or(s.limit, maxFile); len(data) > limit {
		c.add(Position{File: s.file}, "the file has %d bytes, more than the %d a file of rules may have", len(data), limit)
		return nil
	}
	s.lines = strings.Split(string(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))), "\n")
	for i, line := range s.lines {
		text := strings.TrimLeftFunc(line, unicode.IsSpace)
		if at := strings.IndexFunc(line[:len(line)-len(text)], func(r rune) bool { return r > unicode.MaxASCII }); at >= 0 && text != "" {
			r, _ := utf8.DecodeRuneInString(line[at:])
			c.add(Position{s.file, i + 1, utf8.RuneCountInString(line[:at]) + 1}, "a space that is none, %U, indents this line; YAML takes plain spaces only", r)
			return nil
		}
		if at, why := notText(line); at >= 0 {
			c.add(Position{s.file, i + 1, utf8.RuneCountInString(line[:at]) + 1}, "%s", why)
			return nil
		}
	}
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var doc, more yaml.Node
	if err := decoder.Decode(&doc); err != nil {
		if !errors.Is(err, io.EOF) {
			s.syntax(err, c)
		}
		return nil
	}
	if err := decoder.Decode(&more); err == nil {
		c.add(s.pos(&more), "a second document begins here; a file of rules is one document, so remove the line ---")
	} else if !errors.Is(err, io.EOF) {
		s.syntax(err, c)
		return nil
	}
	if len(doc.Content) == 0 {
		return nil
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" && root.Value == "" {
		return nil
	}
	if !s.plain(root, c) {
		return nil
	}
	return root
}

// notText finds what can be no part of a text, broken UTF-8 and control characters,
// and says so; -1 when there is nothing of the kind.
func notText(line string) (int, string) {
	for i, r := range line {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(line[i:]); size == 1 {
				return i, fmt.Sprintf("byte 0x%02x is no text in UTF-8", line[i])
			}
		}
		if unicode.IsControl(r) && r != '\t' && r != '\r' && r != '\n' {
			return i, fmt.Sprintf("control character U+%04X is no text", r)
		}
	}
	return -1, ""
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// syntax turns the YAML reader's error into a complaint: what a person would call wrong, or
// else what that reader says, which knows lines only.
func (s *source) syntax(err error, c *complaints) {
	if at, says := s.slip(); says != "" {
		c.add(at, "%s", says)
		return
	}
	text, line := err.Error(), 1
	if m := yamlLine.FindStringSubmatch(text); m != nil {
		text = text[len(m[0]):]
		if n, bad := strconv.Atoi(m[1]); bad == nil {
			line = n
			if strings.HasPrefix(text, "did not find expected") {
				line++ // that reader counts lines from 0 in what it did not expect
			}
			line = max(1, min(line, len(s.lines)))
		}
	}
	column := 1
	if l := s.lines[line-1]; strings.TrimSpace(l) != "" {
		column = len(l) - len(strings.TrimLeft(l, " ")) + 1
	}
	c.add(Position{s.file, line, column}, "this is not YAML: %s", text)
}

// plain refuses what a file of rules does not need and a stranger could misuse:
// anchors, aliases, merge keys and tags.
func (s *source) plain(n *yaml.Node, c *complaints) bool {
	fine := true
	switch {
	case n.Kind == yaml.AliasNode:
		c.add(s.pos(n), "alias *%s: aliases are not read here, write the value out", n.Value)
		return false
	case n.Anchor != "":
		c.add(s.pos(n), "anchor &%s: anchors are not read here, write the value out where it is needed", n.Anchor)
		fine = false
	case n.Tag == "!!merge":
		c.add(s.pos(n), "merge key <<: it is not read here, write the keys out")
		fine = false
	case n.Style&yaml.TaggedStyle != 0:
		c.add(s.pos(n), "tag %s: tags are not read here, leave it out", n.Tag)
		fine = false
	}
	if at, why := notText(n.Value); at >= 0 { // by an escape in quotes
		c.add(s.pos(n), "%s", why)
		fine = false
	}
	for _, child := range n.Content {
		fine = s.plain(child, c) && fine
	}
	return fine
}

// text is a scalar with the way back to its place, character by character.
type text struct {
	value string
	src   *source
	node  *yaml.Node
}

// pos is where the scalar begins.
func (t text) pos() Position { return t.src.pos(t.node) }

// at is the place of the byte at offset in the value. YAML folds lines and drops
// quotes, so the value is laid along the file's own text, blanks and quotes aside.
// Where they differ in anything else, by an escape, it is the scalar's beginning.
func (t text) at(offset int) Position {
	line, column := t.node.Line-1, t.node.Column-1
	if line < 0 || line >= len(t.src.lines) {
		return t.pos()
	}
	row := []rune(t.src.lines[line])
	if t.node.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		column = len(row) // the text begins below its mark
	}
	found := Position{t.src.file, line + 1, column + 1}
	for i, want := range t.value {
		if want == ' ' || want == '\n' || want == '\t' {
			if i >= offset {
				break
			}
			continue
		}
		for column >= len(row) || row[column] != want {
			switch {
			case column < len(row) && strings.ContainsRune(" \t\r'\"", row[column]):
				column++
			case column >= len(row) && line+1 < len(t.src.lines):
				line, column = line+1, 0
				row = []rune(t.src.lines[line])
			default:
				return t.pos()
			}
		}
		found = Position{t.src.file, line + 1, column + 1}
		if i >= offset {
			return found
		}
		column++
		found.Column++
	}
	return found
}
