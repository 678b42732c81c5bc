package cli

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/lint"
	"printlint/internal/report"
	"printlint/internal/shapes"
)

// TestNoFormatDecidesTheExitCode holds that 0, 1 and 2 stay what they are, however the
// report is written, and that --also writes what --format does.
func TestNoFormatDecidesTheExitCode(t *testing.T) {
	torn := filepath.Join(t.TempDir(), "torn.stl")
	require.NoError(t, os.WriteFile(torn, []byte("solid torn\nfacet normal 0 0 1\n"), 0o666))
	data, err := os.ReadFile(clip)
	require.NoError(t, err)
	whole := filepath.Join(filepath.Dir(torn), "whole.stl")
	require.NoError(t, os.WriteFile(whole, data, 0o666))
	for want, args := range [][]string{{clip}, {demo + "/tools/fence-hook.stl"}, {whole, torn}} {
		for _, format := range report.Formats() {
			file := filepath.Join(t.TempDir(), "report")
			code, out, complaints := run(t, Env{}, append([]string{"check", "--no-advice", "--format", format, "--also", format + "=" + file}, args...)...)
			assert.Equal(t, want, code, "%s %s", format, complaints)
			also, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, out, string(also), format)
			assert.NotEmpty(t, out, format)
		}
	}
}

// containers writes one body in every way that a report must find its way into, and
// returns the content of each model by its address.
func containers(t *testing.T) (dir string, content map[string][]byte) {
	t.Helper()
	dir, content = t.TempDir(), map[string][]byte{}
	solid := shapes.T()
	var binary, ascii, obj bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&binary, solid, "t"))
	require.NoError(t, shapes.WriteASCIISTL(&ascii, solid, "t"))
	require.NoError(t, shapes.WriteOBJ(&obj, solid, "t"))
	content["t.stl"], content["ascii.stl"], content["t.obj"] = binary.Bytes(), ascii.Bytes(), obj.Bytes()
	model := threeMFModel(obj.String())
	content["t.3mf!/3D/3dmodel.model"] = model
	content["pack.zip!/in/t.stl"], content["pack.zip!/ascii.stl"] = binary.Bytes(), ascii.Bytes()
	files := map[string][]byte{
		"t.stl": binary.Bytes(), "ascii.stl": ascii.Bytes(), "t.obj": obj.Bytes(),
		"pack.zip": zipOf(t, "in/t.stl", binary.Bytes(), "ascii.stl", ascii.Bytes()),
		"t.3mf": zipOf(t, "_rels/.rels", []byte(`<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`+
			`<Relationship Target="/3D/3dmodel.model" Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`),
			"3D/3dmodel.model", model),
	}
	for name, data := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
	return dir, content
}

// zipOf packs names and their contents.
func zipOf(t *testing.T, pairs ...any) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(pairs); i += 2 {
		w, err := z.Create(pairs[i].(string))
		require.NoError(t, err)
		_, err = w.Write(pairs[i+1].([]byte))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// threeMFModel turns an OBJ into a 3MF model, an element a line.
func threeMFModel(obj string) []byte {
	var points, faces strings.Builder
	for line := range strings.Lines(obj) {
		f := strings.Fields(line)
		switch {
		case len(f) == 4 && f[0] == "v":
			fmt.Fprintf(&points, "<vertex x=%q y=%q z=%q/>\n", f[1], f[2], f[3])
		case len(f) == 4 && f[0] == "f":
			var v [3]int
			for i := range v {
				fmt.Sscan(f[i+1], &v[i])
			}
			fmt.Fprintf(&faces, "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>\n", v[0]-1, v[1]-1, v[2]-1)
		}
	}
	return []byte(`<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
<resources><object id="1" type="model"><mesh><vertices>
` + points.String() + "</vertices><triangles>\n" + faces.String() + `</triangles></mesh></object></resources>
<build><item objectid="1"/></build>
</model>
`)
}

// sarifPlace is where a SARIF file says that a result lies.
type sarifPlace struct {
	Physical struct {
		Artifact struct{ Index int } `json:"artifactLocation"`
		Region   struct {
			StartLine  int
			ByteOffset *int64
			ByteLength int64
		}
	} `json:"physicalLocation"`
}

// TestSARIFPointsAtTheTriangle opens what each region of a SARIF file names: a facet's
// record in binary files, a triangle's line in text ones, in containers too.
func TestSARIFPointsAtTheTriangle(t *testing.T) {
	dir, content := containers(t)
	code, out, complaints := run(t, Env{}, "check", "--no-advice", "--format", "sarif", dir)
	require.Equal(t, lint.ExitFindings, code, complaints)
	var log struct {
		Runs []struct {
			Artifacts []struct {
				Location    struct{ URI string }
				ParentIndex *int
			}
			Results []struct{ Locations []sarifPlace }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &log))
	artifacts := log.Runs[0].Artifacts
	hits := map[string]int{}
	for _, result := range log.Runs[0].Results {
		place := result.Locations[0].Physical
		a := artifacts[place.Artifact.Index]
		name := filepath.Base(a.Location.URI)
		if a.ParentIndex != nil {
			name = filepath.Base(artifacts[*a.ParentIndex].Location.URI) + "!" + a.Location.URI
		}
		data := content[name]
		require.NotNil(t, data, name)
		hits[name]++
		if offset := place.Region.ByteOffset; offset != nil {
			assert.Zero(t, (*offset-84)%50, "a facet begins there")
			assert.LessOrEqual(t, *offset+place.Region.ByteLength, int64(len(data)))
			assert.Zero(t, place.Region.StartLine)
			continue
		}
		lines := strings.Split(string(data), "\n")
		assert.Regexp(t, `^\s*(facet |f |<triangle )`, lines[place.Region.StartLine-1], name)
	}
	assert.Len(t, hits, len(content), "%v", hits)
}
