package meshfile

import (
	"archive/zip"
	"bytes"
	"path"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seeds are the fixtures of one extension.
func seeds(ext string) (out [][]byte) {
	for _, f := range fixtures() {
		if path.Ext(f.name) == ext {
			out = append(out, []byte(f.data))
		}
	}
	return out
}

// TestSeedsAreThere holds that no fuzz target starts from nothing, and that every format
// has one.
func TestSeedsAreThere(t *testing.T) {
	for _, ext := range Extensions() {
		assert.GreaterOrEqual(t, len(seeds(ext)), 5, ext)
		for _, s := range seeds(ext) {
			assert.NotEmpty(t, s)
			checkRead(t, "seed"+ext, s)
		}
	}
}

// checkRead reads any bytes: a clear error, or parts that keep every promise.
func checkRead(t *testing.T, name string, data []byte) {
	parts, err := Read(name, bytes.NewReader(data), Options{})
	again, errAgain := Read(name, bytes.NewReader(data), Options{})
	if err != nil {
		require.Empty(t, parts)
		checkError(t, err)
		require.EqualError(t, errAgain, err.Error())
		return
	}
	require.NotEmpty(t, parts)
	require.Len(t, again, len(parts))
	total := 0
	for i := range parts {
		p := &parts[i]
		err, errAgain := p.Load(), again[i].Load()
		if err != nil {
			checkError(t, err)
			require.EqualError(t, errAgain, err.Error())
			continue
		}
		require.Equal(t, *p, again[i])
		for _, words := range append([]string{p.Undecided, p.Skip}, p.Notes...) {
			checkWords(t, words)
		}
		if p.Skip == "" {
			checkPart(t, p, data)
			total += p.Triangles.Count()
		}
		p.Triangles, again[i].Triangles = nil, nil
		if total > 1<<20 {
			break // copies of copies: as many as the limit allows, and slow to look at
		}
	}
}

// checkError holds that an error names a cure, and that nothing of the file reaches a
// terminal through it as it stands.
func checkError(t *testing.T, err error) {
	var e *Error
	require.ErrorAs(t, err, &e)
	require.NotEmpty(t, e.Problem)
	require.NotEmpty(t, e.Cure, e.Problem)
	checkWords(t, err.Error())
}

// checkWords holds that words are text that can be shown, and not a page of it.
func checkWords(t *testing.T, words string) {
	require.True(t, utf8.ValidString(words))
	require.Equal(t, -1, strings.IndexFunc(words, func(r rune) bool { return !unicode.IsPrint(r) }), "%q", words)
	require.Less(t, len(words), 500, words)
}

// checkPart holds one model against the bytes that it came from.
func checkPart(t *testing.T, p *Part, data []byte) {
	n := p.Triangles.Count()
	require.Positive(t, n)
	require.Len(t, p.Triangles.Corners, 3*n)
	unfolds := p.Kind == "3mf" || p.Kind == "amf"
	require.True(t, unfolds || n <= len(data), "more triangles than bytes")
	for _, c := range p.Triangles.Corners {
		require.True(t, finite(c))
	}
	src := p.Triangles.Source
	if src.Stride > 0 {
		require.Nil(t, src.Lines)
		require.LessOrEqual(t, src.Offset+int64(n)*src.Stride, int64(len(data)))
		return
	}
	if p.Kind == "ply" {
		require.Nil(t, src.Lines)
		return
	}
	require.Len(t, src.Lines, n)
	lines := uint32(bytes.Count(data, []byte("\n")) + bytes.Count(data, []byte("\r")) + 1)
	for i, l := range src.Lines {
		require.True(t, l >= 1 && (p.Inner != "" || l <= lines), "triangle %d in line %d of %d", i, l, lines)
	}
}

func fuzzRead(f *testing.F, ext string) {
	for _, s := range seeds(ext) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "fuzz"+ext, data) })
}

func FuzzReadSTL(f *testing.F) { fuzzRead(f, ".stl") }

func FuzzReadOBJ(f *testing.F) { fuzzRead(f, ".obj") }

func FuzzReadPLY(f *testing.F) { fuzzRead(f, ".ply") }

func FuzzReadOFF(f *testing.F) { fuzzRead(f, ".off") }

func FuzzReadAMF(f *testing.F) { fuzzRead(f, ".amf") }

// FuzzReadContainer changes the bytes of an archive.
func FuzzReadContainer(f *testing.F) { fuzzRead(f, ".3mf") }

// FuzzReadThreeMF changes the model inside an archive that is sound, because a checksum
// would give away every change from outside.
func FuzzReadThreeMF(f *testing.F) {
	for _, m := range models3MF() {
		f.Add(m.data, "/3D/3dmodel.model")
	}
	child := model3MF(object3MF(1, "", tetra), "")
	f.Fuzz(func(t *testing.T, model, target string) {
		files := []entry{{"_rels/.rels", relations(target)}, {"3D/3dmodel.model", model}, {"3D/child.model", child}}
		checkRead(t, "fuzz.3mf", writeZipBy(zip.Store, files...))
	})
}
