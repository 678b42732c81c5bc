package meshfile

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// words reads all words with their lines through a buffer of so many bytes.
func words(text string, buffer int64, joins bool) (out []string) {
	s := newScanner(bytes.NewReader([]byte(text)), buffer)
	s.joins = joins
	for more := true; more; more = s.endLine() {
		for w := s.inLine(); w != nil; w = s.inLine() {
			out = append(out, fmt.Sprintf("%d:%s", s.line, w))
		}
	}
	return out
}

func TestWordsAndLines(t *testing.T) {
	for _, c := range []struct {
		text, want string
	}{
		{"", ""},
		{"\n\n", ""},
		{"a b\nc", "1:a 1:b 2:c"},
		{"a\r\nb\r\n\r\nc", "1:a 2:b 4:c"},
		{"a\rb\r\rc", "1:a 2:b 4:c"},
		{"a\n\rb", "1:a 3:b"},
		{" \t a\v\fb \n", "1:a 1:b"},
		{"a \\\nb c\\\r\nd\ne", "1:a 2:b 2:c 3:d 4:e"},
		{"a \\b\n\\c \\", "1:a 1:\\b 2:\\c 2:\\"},
		{"a\\ b", "1:a\\ 1:b"},
		{"a\\\n\\\nb", "1:a 3:b"},
		{"\xef\xbb\xbfa", "1:a"},
		{"a\x00b \x7f", "1:a\x00b 1:\x7f"},
	} {
		assert.Equal(t, c.want, strings.Join(words(c.text, bufferSize, true), " "), "%q", c.text)
	}
	assert.Equal(t, []string{"1:a\\", "2:b"}, words("a\\\nb", bufferSize, false))
}

// TestBufferEndsAnywhere puts the end of the buffer between any two bytes.
func TestBufferEndsAnywhere(t *testing.T) {
	text := strings.Repeat("facet  normal\r\n 1.5 \\\r\n 2 \r\r\tvertex\\\n3\n\n# x\n", 20)
	for _, joins := range []bool{false, true} {
		want := words(text, bufferSize, joins)
		assert.Greater(t, len(want), 100)
		for buffer := int64(16); buffer < 120; buffer++ {
			assert.Equal(t, want, words(text, buffer, joins), "%d", buffer)
		}
	}
}

// TestNextIsInLineWithoutLines compares the two ways to read words.
func TestNextIsInLineWithoutLines(t *testing.T) {
	text := strings.Repeat("solid\r\n\r a\tb \n", 30)
	for buffer := int64(16); buffer < 60; buffer++ {
		s := newScanner(bytes.NewReader([]byte(text)), buffer)
		var got []string
		for w := s.next(); w != nil; w = s.next() {
			got = append(got, fmt.Sprintf("%d:%s", s.line, w))
		}
		assert.Equal(t, words(text, bufferSize, false), got)
		assert.True(t, s.ended())
	}
}

// TestReadersAcrossBuffers reads files several buffers long.
func TestReadersAcrossBuffers(t *testing.T) {
	ring := torus(80, 70)
	text := string(writeASCIISTL(ring))
	assert.Greater(t, len(text), 4*bufferSize)
	for _, end := range []string{"\n", "\r\n", "\r"} {
		p := readOne(t, "a.stl", strings.ReplaceAll(text, "\n", end))
		assert.Equal(t, ring, p.Triangles.Corners)
		for i, line := range p.Triangles.Source.Lines {
			assert.EqualValues(t, 2+7*i, line)
		}
	}
}
