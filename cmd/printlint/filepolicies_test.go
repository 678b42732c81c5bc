package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/shapes"
)

// threeMF is a 3MF file with so many tetrahedra.
func threeMF(t *testing.T, models int) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	put := func(name, text string) {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(text))
		require.NoError(t, err)
	}
	put("[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`)
	put("_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`)
	var objects, items strings.Builder
	for i := range models {
		fmt.Fprintf(&objects, `<object id="%d" type="model" name="m%d"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="20" y="0" z="0"/><vertex x="0" y="20" z="0"/><vertex x="0" y="0" z="20"/></vertices><triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="1" v2="2" v3="3"/><triangle v1="2" v2="0" v3="3"/></triangles></mesh></object>`, i+1, i+1)
		fmt.Fprintf(&items, `<item objectid="%d" transform="1 0 0 0 1 0 0 0 1 %d 0 0"/>`, i+1, 30*i)
	}
	put("3D/3dmodel.model", `<model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>`+objects.String()+`</resources><build>`+items.String()+`</build></model>`)
	require.NoError(t, z.Close())
	return out.Bytes()
}

// TestFilePolicies holds each rule over the file on the page to a file that keeps to it and
// one that breaks it.
func TestFilePolicies(t *testing.T) {
	page, err := os.ReadFile("../../docs/own-rules.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)<!-- file policies -->\n```yaml\n(.*?)```").FindSubmatch(page)
	require.NotNil(t, block)
	var stl, obj, large bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&stl, shapes.Cube(20), "x"))
	require.NoError(t, shapes.WriteBinarySTL(&large, split(shapes.Cube(20), 5), "x"))
	require.NoError(t, shapes.WriteOBJ(&obj, shapes.Cube(20), "x"))
	one, two := threeMF(t, 1), threeMF(t, 2)
	type file struct {
		name   string
		data   []byte
		beside string
	}
	good := file{"parts/box.stl", stl.Bytes(), ""}
	cases := map[string]struct {
		keeps, breaks file
		says          string
	}{
		"plain-name":     {good, file{"parts/Box 2.stl", stl.Bytes(), ""}, "Box 2.stl has capitals, blanks or other signs in its name"},
		"two-formats":    {good, file{"parts/box.obj", obj.Bytes(), ""}, "model is kept as obj; we keep stl and 3mf"},
		"small-file":     {good, file{"parts/box.stl", large.Bytes(), ""}, "file is 614.5 kB large; 500 kB is the most here"},
		"says-its-unit":  {file{"parts/box.3mf", one, ""}, good, "stl does not say whether its lengths are mm or inches"},
		"one-model":      {file{"parts/box.3mf", one, ""}, file{"parts/box.3mf", two, ""}, "models in box.3mf: 2"},
		"note-beside":    {file{"parts/box.stl", stl.Bytes(), "Readme.txt"}, file{"parts/box.stl", stl.Bytes(), "../README"}, "no note lies beside box.stl"},
		"licence-beside": {file{"parts/box.stl", stl.Bytes(), "license.md"}, good, "no licence lies beside box.stl"},
		"parts-in-parts": {file{"parts/a/box.stl", stl.Bytes(), ""}, file{"sparts/box.stl", stl.Bytes(), ""}, "box.stl lies in the folder 'sparts'; models belong under parts"},
	}
	rules := regexp.MustCompile(`(?m)^  ([a-z-]+):$`).FindAllSubmatch(block[1], -1)
	require.Len(t, rules, len(cases))
	check := func(f file) string {
		dir := t.TempDir()
		name := filepath.Join(dir, f.name)
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
		require.NoError(t, os.WriteFile(name, f.data, 0o666))
		require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), block[1], 0o666))
		if f.beside != "" {
			require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(name), f.beside), nil, 0o666))
		}
		_, out := shell(t, dir, "printlint check --no-advice --cache off . || [ $? = 1 ]")
		return out
	}
	for _, r := range rules {
		id := string(r[1])
		c, ok := cases[id]
		require.True(t, ok, id)
		assert.NotContains(t, check(c.keeps), "["+id+"]", id)
		out := check(c.breaks)
		assert.Contains(t, out, "["+id+"]", id)
		assert.Contains(t, out, c.says, id)
	}
}
