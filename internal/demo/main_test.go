package main

import (
	"bytes"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/meshfile"
)

// collection is the committed demo, seen from this folder.
const collection = "../../testdata/demo"

// byHand are the files of the collection that no code writes.
var byHand = []string{".printlint.yml", ".gitattributes", "two-printers.yml", "machines/club-room.yml", "machines/shed.yml"}

func TestCollectionIsWhatTheGeneratorWrites(t *testing.T) {
	files, err := generate()
	require.NoError(t, err)
	expected := append([]string(nil), byHand...)
	for _, f := range files {
		committed, err := os.ReadFile(filepath.Join(collection, filepath.FromSlash(f.path)))
		require.NoError(t, err, "run: go run ./internal/demo")
		assert.True(t, bytes.Equal(f.bytes, committed), "%s differs; run: go run ./internal/demo", f.path)
		expected = append(expected, f.path)
	}
	var found []string
	require.NoError(t, filepath.WalkDir(collection, func(name string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			rel, _ := filepath.Rel(collection, name)
			found = append(found, filepath.ToSlash(rel))
		}
		return err
	}))
	assert.ElementsMatch(t, expected, found, "files that nothing writes, or that are missing")
}

func TestWriteFillsAFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(filepath.Join(dir, "new")))
	for _, m := range shelf {
		assert.FileExists(t, filepath.Join(dir, "new", filepath.FromSlash(m.path)))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "taken"), nil, 0o600))
	assert.Error(t, write(filepath.Join(dir, "taken")), "a file where the folder should be")
}

func TestCollectionIsSmallAndVaried(t *testing.T) {
	files, err := generate()
	require.NoError(t, err)
	total, seen := 0, map[string]int{}
	for _, f := range files {
		total += len(f.bytes)
		switch {
		case path.Ext(f.path) == ".obj":
			seen["obj"]++
		case bytes.HasPrefix(f.bytes, []byte("solid ")):
			seen["text stl"]++
		case path.Ext(f.path) == ".stl":
			seen["binary stl"]++
		}
		if strings.Contains(f.path, " ") {
			seen["space"]++
		}
		if strings.ContainsFunc(f.path, func(r rune) bool { return r > 127 }) {
			seen["beyond ASCII"]++
		}
		seen[path.Dir(f.path)]++
	}
	assert.Less(t, total, 400_000)
	for _, kind := range []string{"obj", "text stl", "binary stl", "space", "beyond ASCII", "figures"} {
		assert.NotZero(t, seen[kind], kind)
	}
	assert.GreaterOrEqual(t, len(shelf), 12)
	assert.LessOrEqual(t, len(shelf), 20)
}

func TestPageTellsOfEveryModel(t *testing.T) {
	text := page()
	for _, m := range shelf {
		for _, words := range []string{m.path, m.what, m.why, m.says} {
			assert.NotEmpty(t, words, m.path)
			assert.Contains(t, text, words)
		}
	}
}

// TestReadersAgree reads every model back as the program would.
func TestReadersAgree(t *testing.T) {
	files, err := generate()
	require.NoError(t, err)
	for i, m := range shelf {
		t.Run(m.path, func(t *testing.T) {
			parts, err := meshfile.Read(files[i].path, bytes.NewReader(files[i].bytes), meshfile.Options{})
			require.NoError(t, err)
			require.NotEmpty(t, parts)
			triangles, expected := 0, 0
			for _, p := range parts {
				assert.Empty(t, p.Notes)
				triangles += p.Triangles.Count()
			}
			for _, s := range m.bodies() {
				expected += s.Count()
			}
			assert.Equal(t, expected, triangles)
			if len(parts) == 1 && len(m.bodies()) == 1 {
				assert.Equal(t, m.bodies()[0].Corners, parts[0].Triangles.Corners)
			}
		})
	}
}
