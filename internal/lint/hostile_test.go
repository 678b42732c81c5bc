package lint

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/report"
	"printlint/internal/shapes"
)

// written is a solid in every format, by extension.
func written(t *testing.T, s *mesh.Triangles) map[string][]byte {
	t.Helper()
	var stl, obj bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&stl, s, "test"))
	require.NoError(t, shapes.WriteOBJ(&obj, s, "test"))
	as := tableOf(s)
	return map[string][]byte{
		".stl": stl.Bytes(), ".obj": obj.Bytes(), ".off": as.off(), ".ply": as.ply("binary_little_endian"),
		".amf": []byte(as.amf()), ".3mf": as.threeMF("millimeter", `<item objectid="1"/>`),
	}
}

// ways are how a file can be broken.
var ways = []func(good []byte) []byte{
	func([]byte) []byte { return nil },
	func(b []byte) []byte { return b[:len(b)/2] },
	func(b []byte) []byte { return b[:10] },
	func(b []byte) []byte { return bytes.Repeat([]byte{0}, len(b)) },
	func(b []byte) []byte { return append([]byte{0x1f, 0x8b, 8, 0}, b...) },
	func([]byte) []byte { return []byte("<!DOCTYPE html><html><body>not found</body></html>") },
	func([]byte) []byte {
		return []byte("version https://git-lfs.github.com/spec/v1\noid sha256:0\nsize 1\n")
	},
	func(b []byte) []byte { return append([]byte("\xff\xfe"), b...) },
	func([]byte) []byte { return []byte("{\"no\": \"model\"}\n") },
	func([]byte) []byte { return []byte("7z\xbc\xaf\x27\x1c and so on") },
	func([]byte) []byte { return []byte("PK\x03\x04 and nothing more") },
}

// mixedPack is a pack of 200 entries, a third of them broken; the names of those are in bad.
func mixedPack(t *testing.T) (data []byte, bad map[string]bool) {
	t.Helper()
	bad = map[string]bool{}
	good := written(t, shapes.T())
	exts := []string{".stl", ".obj", ".off", ".ply", ".amf", ".3mf"}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	add := func(name string, content []byte) {
		e, err := w.Create(name)
		require.NoError(t, err)
		_, err = e.Write(content)
		require.NoError(t, err)
	}
	for i := range 134 {
		add(fmt.Sprintf("shelf %d/Größe-%03d%s", i%3, i, exts[i%6]), good[exts[i%6]])
	}
	for i := range 66 {
		ext := exts[i%6]
		name := fmt.Sprintf("broken/%03d%s", i, ext)
		bad[name] = true
		add(name, ways[i/6](good[ext]))
	}
	require.NoError(t, w.Close())
	return b.Bytes(), bad
}

// TestPackOfBrokenFiles holds that a pack gives one line for each file in it, that nothing
// is lost, and that no broken file passes.
func TestPackOfBrokenFiles(t *testing.T) {
	data, bad := mixedPack(t)
	require.Len(t, bad, 66)
	files := collection.Unpack([]collection.File{fileOf("in/pack.zip", data)}, nil)
	require.Len(t, files, 200)
	config := load(t, hangRules)
	r := check(t, config, Options{Jobs: 2}, files...)
	require.Len(t, r.Models, 200)
	var want map[string]int
	seen := map[string]bool{}
	for i := range r.Models {
		m := &r.Models[i]
		name, _, _ := strings.Cut(strings.TrimPrefix(m.Path, "in/pack.zip!/"), "!/")
		assert.False(t, seen[name], name)
		seen[name] = true
		if bad[name] {
			assert.Equal(t, finding.Unreadable, m.Status, name)
			assert.NotEmpty(t, m.Reason, name)
			continue
		}
		require.Equal(t, finding.Checked, m.Status, "%s: %s", name, m.Reason)
		if want == nil {
			want = stamps(m)
			require.NotEmpty(t, want)
		}
		assert.Equal(t, want, stamps(m), name)
	}
	assert.Len(t, seen, 200)
	assert.Equal(t, 66, r.Summary.Unreadable)
	assert.Equal(t, ExitTrouble, Exit(r, finding.Error))
	var text bytes.Buffer
	require.NoError(t, report.Write(&text, "text", r, report.Options{}))
	for name := range seen {
		assert.True(t, strings.Contains("\n"+text.String(), "\nin/pack.zip!/"+name), "no line for %s", name)
	}
}

// TestHostileNames holds that what a stranger calls a file or a part does nothing when it
// is printed, in any format of the report.
func TestHostileNames(t *testing.T) {
	names := []string{"\x1b[2J", "a\n::error file=b::c", "<script>alert(1)</script>", "abc\u202elts.", "]]>", "a&b\"c'", "tab\there", "\u2028", "`$(id)`|x|"}
	as := tableOf(shapes.T())
	for i, name := range names {
		part := strings.NewReplacer("&", "&amp;", "<", "&lt;", "\"", "&quot;", "\x1b", "", "\n", "&#10;").Replace(name)
		model := as.threeMF("millimeter", `<item objectid="1" partnumber="`+part+`"/><item objectid="1"/>`)
		broken := zipped(name+".stl", "solid "+name, name+"/x.3mf", string(model))
		files := collection.Unpack([]collection.File{fileOf("p.zip", broken)}, nil)
		require.Len(t, files, 2, name)
		r := check(t, load(t, hangRules), Options{Jobs: 1}, files...)
		require.Len(t, r.Models, 3)
		for _, format := range report.Formats() {
			var out bytes.Buffer
			require.NoError(t, report.Write(&out, format, r, report.Options{}))
			text := out.String()
			for _, mark := range []string{"\x1b", "\u202e", "\u2028", "\n::error file=b"} {
				assert.False(t, strings.Contains(text, mark), "%q in %s, name %d", mark, format, i)
			}
			switch format {
			case "html", "markdown":
				assert.False(t, strings.Contains(text, "<script>alert"), "%s, name %d", format, i)
			case "junit":
				assert.NoError(t, xml.Unmarshal(out.Bytes(), new(struct{})), "name %d", i)
			}
		}
	}
}
