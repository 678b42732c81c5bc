package meshfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Models that others publish for trying readers, from the npm registry: stl-models
// 0.12.0 (MIT) and bunny 1.0.1 (public domain). They are read where they are present;
// `.ci/run` fetches them.
const published = "../../node_modules"

// publishedFile reads one of their files; without the packages there is nothing to try.
func publishedFile(t *testing.T, name string) ([]byte, bool) {
	t.Helper()
	if _, err := os.Stat(published); err != nil {
		t.Logf("not present: npm install --no-save stl-models@0.12.0 bunny@1.0.1")
		return nil, false
	}
	data, err := os.ReadFile(filepath.Join(published, name))
	require.NoError(t, err)
	return data, true
}

// Both forms of one published model hold the same triangles.
func TestPublishedModelsReadAlikeInBothForms(t *testing.T) {
	for name, triangles := range map[string]int{"objects/gearwheel": 0, "objects/bunny": 0, "polytopes/cube": 12, "polytopes/tetrahedron": 4} {
		text, present := publishedFile(t, "stl-models/"+name+".ascii.stl")
		if !present {
			return
		}
		binary, _ := publishedFile(t, "stl-models/"+name+".bin.stl")
		a, err := Read(name+".ascii.stl", bytes.NewReader(text), Options{})
		require.NoError(t, err, name)
		b, err := Read(name+".bin.stl", bytes.NewReader(binary), Options{})
		require.NoError(t, err, name)
		assert.Equal(t, a[0].Triangles.Count(), b[0].Triangles.Count(), name)
		if triangles > 0 {
			assert.Equal(t, triangles, a[0].Triangles.Count(), name)
		}
	}
}

// What is published as broken is answered with an error where a triangle is lost, and
// never with fewer triangles in silence.
func TestPublishedBrokenModels(t *testing.T) {
	for name, readable := range map[string]bool{
		"empty.stl": false, "fourVertices.ascii.stl": false, "incorrectFaceCounter.bin.stl": false,
		"missingNormal.ascii.stl": true, "quad.ascii.stl": false, "twoVertices.ascii.stl": false,
		"missingEndsolid.ascii.stl": true, "missingFace.ascii.stl": true, "notANumberNormal.ascii.stl": true,
		"singleFace.ascii.stl": true, "solidNameMismatch.ascii.stl": true, "wrongNormal.ascii.stl": true, "wrongNormals.ascii.stl": true,
	} {
		data, present := publishedFile(t, "stl-models/broken/"+name)
		if !present {
			return
		}
		_, err := Read(name, bytes.NewReader(data), Options{})
		assert.Equal(t, readable, err == nil, "%s: %v", name, err)
	}
}

// The rabbit as numbers, written as OBJ, comes back with every triangle.
func TestPublishedBunny(t *testing.T) {
	script, present := publishedFile(t, "bunny/index.js")
	if !present {
		return
	}
	list := func(name string, into any) {
		m := regexp.MustCompile(`(?s)exports\.` + name + `\s*=\s*(\[\[.*?\]\])`).FindSubmatch(script)
		require.NotNil(t, m, name)
		require.NoError(t, json.Unmarshal(m[1], into))
	}
	var positions [][3]float64
	var cells [][3]int
	list("positions", &positions)
	list("cells", &cells)
	var obj bytes.Buffer
	for _, p := range positions {
		fmt.Fprintf(&obj, "v %g %g %g\n", p[0], p[1], p[2])
	}
	for _, c := range cells {
		fmt.Fprintf(&obj, "f %d %d %d\n", c[0]+1, c[1]+1, c[2]+1)
	}
	parts, err := Read("bunny.obj", bytes.NewReader(obj.Bytes()), Options{})
	require.NoError(t, err)
	require.Equal(t, len(cells), parts[0].Triangles.Count())
	for i, c := range cells {
		for k, v := range c {
			for axis, x := range positions[v] {
				require.Equal(t, float32(x), parts[0].Triangles.Corners[3*i+k][axis])
			}
		}
	}
}
