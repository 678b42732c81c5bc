package meshfile

import (
	"bytes"
	"path"
	"testing"

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
	if err != nil {
		require.Empty(t, parts)
		require.NotEmpty(t, err.Error())
		return
	}
	require.NotEmpty(t, parts)
	for _, p := range parts {
		n := p.Soup.Triangles()
		require.Len(t, p.Soup.Corners, 3*n)
		if p.Skip == "" {
			require.Positive(t, n)
		}
		require.LessOrEqual(t, n, len(data), "more triangles than bytes")
		for _, c := range p.Soup.Corners {
			require.True(t, finite(c))
		}
		src := p.Soup.Source
		if src.Stride > 0 {
			require.Nil(t, src.Lines)
			require.LessOrEqual(t, src.Offset+int64(n)*src.Stride, int64(len(data)))
			continue
		}
		require.Len(t, src.Lines, n)
		lines := uint32(bytes.Count(data, []byte("\n")) + bytes.Count(data, []byte("\r")) + 1)
		for i, l := range src.Lines {
			require.True(t, l >= 1 && l <= lines, "triangle %d in line %d of %d", i, l, lines)
		}
	}
	again, err := Read(name, bytes.NewReader(data), Options{})
	require.NoError(t, err)
	require.Equal(t, parts, again)
}

func fuzzRead(f *testing.F, ext string) {
	for _, s := range seeds(ext) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "fuzz"+ext, data) })
}

func FuzzReadSTL(f *testing.F) { fuzzRead(f, ".stl") }

func FuzzReadOBJ(f *testing.F) { fuzzRead(f, ".obj") }
