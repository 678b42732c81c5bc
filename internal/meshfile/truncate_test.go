package meshfile

import (
	"bytes"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCutAnywhere ends every fixture after every byte. What is left must be an error, or
// all triangles, or carry a note that the whole file does not. Two cuts cannot be told
// from a whole file, because the formats have nothing that says where they end: between
// two solids of an ASCII STL, and between two lines of an OBJ once every point is used.
func TestCutAnywhere(t *testing.T) {
	cuts, hidden := 0, 0
	for _, f := range fixtures() {
		whole := readOne(t, f.name, f.data)
		for n := range f.data {
			cuts++
			parts, err := read(f.name, []byte(f.data[:n]))
			if err != nil {
				assert.NotEmpty(t, err.Error())
				continue
			}
			require.Len(t, parts, 1)
			p := parts[0]
			require.LessOrEqual(t, p.Triangles.Count(), whole.Triangles.Count())
			sameStart := p.Triangles.Count() > 0 && whole.Triangles.Corners[0] == p.Triangles.Corners[0]
			require.True(t, sameStart, "%s cut at %d", f.name, n)
			if p.Triangles.Count() == whole.Triangles.Count() || moreNotes(p.Notes, whole.Notes) {
				continue
			}
			require.True(t, looksWhole(f.name, f.data[:n]), "%s cut at %d reads as whole: %q", f.name, n, tail(f.data[:n]))
			hidden++
		}
	}
	assert.Greater(t, cuts, 4000)
	assert.Less(t, hidden, cuts/50, "cuts that cannot be seen")
}

func moreNotes(have, whole []string) bool {
	for _, n := range have {
		if !bytes.Contains([]byte(strings.Join(whole, "\n")), []byte(n)) {
			return true
		}
	}
	return false
}

func looksWhole(name, data string) bool {
	if path.Ext(name) != ".stl" {
		return strings.HasSuffix(data, "\n") || strings.HasSuffix(data, "\r")
	}
	return regexp.MustCompile(`(?i)endsolid[^\n\r]*\s*$`).MatchString(data)
}

func tail(s string) string { return s[max(0, len(s)-60):] }

// TestDamagedAnywhere puts another byte in every place: an error or a model of the right
// size, never a crash and never another number of triangles without a word.
func TestDamagedAnywhere(t *testing.T) {
	took, refused := 0, 0
	for _, f := range fixtures() {
		whole := readOne(t, f.name, f.data)
		for i := range f.data {
			for _, c := range []byte{0, ' ', '\n', '\\', '#', '9', 'x', 0xff} {
				data := []byte(f.data)
				data[i] = c
				parts, err := read(f.name, data)
				if err != nil {
					refused++
					continue
				}
				took++
				n := parts[0].Triangles.Count()
				if path.Ext(f.name) == ".3mf" || f.name == "packed.amf" {
					require.Equal(t, whole.Triangles.Corners, parts[0].Triangles.Corners, "%s byte %d is %q: there is a checksum", f.name, i, c)
				}
				if path.Ext(f.name) == ".stl" && len(parts[0].Notes) == 0 {
					require.Equal(t, whole.Triangles.Count(), n, "%s byte %d is %q", f.name, i, c)
				}
			}
		}
	}
	assert.Greater(t, took, 1000)
	assert.Greater(t, refused, 1000)
}

// TestBitsFlippedAnywhere turns two bits of every byte of every fixture: whatever comes of
// it keeps all promises, and an error names a cure.
func TestBitsFlippedAnywhere(t *testing.T) {
	flips := 0
	for _, f := range fixtures() {
		for i := range f.data {
			for _, bit := range []int{i % 8, (i + 3) % 8} {
				data := []byte(f.data)
				data[i] ^= 1 << bit
				checkRead(t, f.name, data)
				flips++
			}
		}
	}
	assert.Greater(t, flips, 10_000)
}
