package meshfile

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// byLibrary reads a 3MF with github.com/hpinc/go3mf.
func byLibrary(t testing.TB, data []byte) *go3mf.Model {
	t.Helper()
	m := new(go3mf.Model)
	require.NoError(t, go3mf.NewDecoder(bytes.NewReader(data), int64(len(data))).Decode(m))
	return m
}

// unfold lays out an object as the library understands it, with its own matrices.
func unfold(t testing.TB, m *go3mf.Model, o *go3mf.Object, move go3mf.Matrix) (out []mesh.Point) {
	if o.Mesh != nil {
		for _, tri := range o.Mesh.Triangles.Triangle {
			for _, v := range []uint32{tri.V1, tri.V2, tri.V3} {
				out = append(out, mesh.Point(move.Mul3D(o.Mesh.Vertices.Vertex[v])))
			}
		}
	}
	if o.Components != nil {
		for _, c := range o.Components.Component {
			inner, ok := m.FindObject(c.ObjectPath(m.PathOrDefault()), c.ObjectID)
			require.True(t, ok)
			step := move
			if c.HasTransform() {
				step = move.Mul(c.Transform)
			}
			out = append(out, unfold(t, m, inner, step)...)
		}
	}
	return out
}

// TestAsTheLibraryReads compares every fixture of a 3MF with what the library makes of it.
func TestAsTheLibraryReads(t *testing.T) {
	seen := 0
	for _, f := range models3MF() {
		if f.name == "noise" {
			continue // the library stumbles over comments
		}
		seen++
		data := pack3MF(f.data)
		m := byLibrary(t, data)
		require.NoError(t, m.Validate(), f.name)
		parts, err := read("a.3mf", data)
		require.NoError(t, err)
		require.Len(t, parts, len(m.Build.Items))
		for i, it := range m.Build.Items {
			o, ok := m.FindObject(it.ObjectPath(), it.ObjectID)
			require.True(t, ok)
			move := go3mf.Identity()
			if it.HasTransform() {
				move = it.Transform
			}
			near(t, unfold(t, m, o, move), parts[i].Triangles.Corners, f.name)
		}
	}
	assert.Equal(t, 6, seen)
}

// near compares triangles, which the library leaves inside out where they are mirrored.
func near(t *testing.T, want, got []mesh.Point, name string) {
	t.Helper()
	require.Len(t, got, len(want), name)
	for i := 0; i < len(want); i += 3 {
		turned := distance(want[i+1], got[i+1]) > 1e-4
		for k, p := range want[i : i+3] {
			if q := got[i+k]; turned && k > 0 {
				require.Less(t, distance(p, got[i+3-k]), 1e-4, "%s, triangle %d", name, i/3)
			} else {
				require.Less(t, distance(p, q), 1e-4, "%s, triangle %d", name, i/3)
			}
		}
	}
}

func distance(p, q mesh.Point) float64 {
	var s float64
	for k := range p {
		s += math.Abs(float64(p[k]) - float64(q[k]))
	}
	return s
}

// TestFilesOfTheLibrary reads what the library writes.
func TestFilesOfTheLibrary(t *testing.T) {
	ring := torus(17, 9)
	points, faces := shared(ring)
	m := &go3mf.Model{Units: go3mf.UnitInch}
	o := &go3mf.Object{ID: 7, Name: "ring", Mesh: new(go3mf.Mesh)}
	for _, p := range points {
		o.Mesh.Vertices.Vertex = append(o.Mesh.Vertices.Vertex, go3mf.Point3D(p))
	}
	for _, f := range faces {
		o.Mesh.Triangles.Triangle = append(o.Mesh.Triangles.Triangle, go3mf.Triangle{V1: uint32(f[0]), V2: uint32(f[1]), V3: uint32(f[2])})
	}
	m.Resources.Objects = append(m.Resources.Objects, o)
	m.Build.Items = append(m.Build.Items, &go3mf.Item{ObjectID: 7}, &go3mf.Item{ObjectID: 7, Transform: go3mf.Identity().Translate(1, 2, 3)})
	var b bytes.Buffer
	require.NoError(t, go3mf.NewEncoder(&b).Encode(m))
	parts, err := read("a.3mf", b.Bytes())
	require.NoError(t, err)
	require.Len(t, parts, 2)
	assert.Equal(t, []string{"ring", "ring (2)"}, []string{parts[0].Name, parts[1].Name})
	for i, p := range ring {
		for k := range p {
			written := float64(p[k]) // the library writes four decimals
			assert.InDelta(t, 25.4*written, float64(parts[0].Triangles.Corners[i][k]), 0.003)
			assert.InDelta(t, 25.4*(written+float64(k+1)), float64(parts[1].Triangles.Corners[i][k]), 0.003)
		}
	}
}

// TestTheLibrarysOwnFile reads the file that the library tests itself with.
func TestTheLibrarysOwnFile(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/hpinc/go3mf").Output()
	require.NoError(t, err)
	data, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "testdata", "cube.3mf"))
	require.NoError(t, err)
	m := byLibrary(t, data)
	parts, err := read("cube.3mf", data)
	require.NoError(t, err)
	require.Len(t, parts, len(m.Build.Items))
	o, ok := m.FindObject(m.Build.Items[0].ObjectPath(), m.Build.Items[0].ObjectID)
	require.True(t, ok)
	move := go3mf.Identity()
	if m.Build.Items[0].HasTransform() {
		move = m.Build.Items[0].Transform
	}
	near(t, unfold(t, m, o, move), parts[0].Triangles.Corners, "cube.3mf")
	assert.Positive(t, volumeOf(parts[0].Triangles.Corners))
}
