package meshfile

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// cornersIn reads the one model of a file.
func cornersIn(t *testing.T, name string, data []byte) []mesh.Point {
	t.Helper()
	parts, err := Read(name, bytes.NewReader(data), Options{})
	require.NoError(t, err)
	require.Len(t, parts, 1)
	require.NoError(t, parts[0].Load())
	return parts[0].Triangles.Corners
}

// turnedCorners are corners as they should lie: turned, on z = 0, with the middle where it was.
func turnedCorners(corners []mesh.Point, rotation [9]float64) []mesh.Vec {
	before, after := mesh.EmptyBox(), mesh.EmptyBox()
	out := make([]mesh.Vec, len(corners))
	for i, c := range corners {
		out[i] = mesh.Turn(&rotation, mesh.Of64(c))
		before.Include(mesh.Of64(c))
		after.Include(out[i])
	}
	for i := range out {
		out[i].X += (before.Min.X + before.Max.X - after.Min.X - after.Max.X) / 2
		out[i].Y += (before.Min.Y + before.Max.Y - after.Min.Y - after.Max.Y) / 2
		out[i].Z -= after.Min.Z
	}
	return out
}

// randomRotation turns about a random axis, or in quarters where that is drawn.
func randomRotation(r *rand.Rand) [9]float64 {
	if r.IntN(3) == 0 {
		return [][9]float64{{1, 0, 0, 0, 0, -1, 0, 1, 0}, {-1, 0, 0, 0, 1, 0, 0, 0, -1}, {0, 0, 1, 0, 1, 0, -1, 0, 0}}[r.IntN(3)]
	}
	x := mesh.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
	y := x.Cross(mesh.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}).Unit()
	z := x.Cross(y)
	return [9]float64{x.X, x.Y, x.Z, y.X, y.Y, y.Z, z.X, z.Y, z.Z}
}

// requireTurned turns a file and holds that it has the same triangles in the same order, where
// they should lie.
func requireTurned(t *testing.T, name string, data []byte, rotation [9]float64, about string) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, WriteTurned(&out, name, bytes.NewReader(data), rotation), about)
	got, want := cornersIn(t, name, out.Bytes()), turnedCorners(cornersIn(t, name, data), rotation)
	require.Len(t, got, len(want), about)
	for i, p := range got {
		q := mesh.Of64(p)
		d := mesh.Vec{X: q.X - want[i].X, Y: q.Y - want[i].Y, Z: q.Z - want[i].Z}
		require.LessOrEqual(t, math.Sqrt(d.Dot(d)), 2e-4, "%s: corner %d is at %v, not %v", about, i, q, want[i])
	}
	return out.Bytes()
}

// figures are the numbers in a text.
var figures = regexp.MustCompile(`-?[0-9.]+(e[-+]?[0-9]+)?`)

func TestTurnedFilesKeepTheirFormat(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 3))
		solid := shapes.Move(shapes.T(), mesh.Vec{X: 100 * r.NormFloat64(), Y: 20 * r.NormFloat64(), Z: 50 * r.NormFloat64()})
		rotation := randomRotation(r)
		for name, data := range map[string][]byte{
			"a.stl": writeBinarySTL(solid.Corners), "text.stl": writeASCIISTL(solid.Corners), "a.obj": writeOBJ(solid.Corners),
			"text.ply": writePLY(solid.Corners), "a.ply": writeLittlePLY(solid.Corners),
			"big.ply": writeBigPLY(solid.Corners),
		} {
			about := fmt.Sprintf("%s, seed %d", name, seed)
			out := requireTurned(t, name, data, rotation, about)
			if isText(data) {
				assert.Equal(t, figures.ReplaceAllString(string(data), "0"), figures.ReplaceAllString(string(out), "0"), about)
			} else {
				assert.Len(t, out, len(data), about)
			}
		}
	}
}

func TestTurnLeavesTheRestOfAText(t *testing.T) {
	upsideDown := [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}
	for _, c := range []struct{ name, text, want string }{
		{
			"a.stl",
			"solid vertex 1 2 3\nFACET NORMAL 0 0 1\n outer loop\n  vertex 0 0 0\r\n\tvertex 1e0 0 0 VERTEX 0 1.0 0\n endloop endfacet\nendsolid normal 7 8 9\n",
			"solid vertex 1 2 3\nFACET NORMAL 0 0 -1\n outer loop\n  vertex 0 1 0\r\n\tvertex 1 1 0 VERTEX 0 0 0\n endloop endfacet\nendsolid normal 7 8 9\n",
		},
		{
			"a.obj",
			"# v 1 2 3 \\\nmtllib a b\nv 0 0 0 0.5 0.5 0.5\nv 1 \\\n 0 0\nv 0 1 5 # high\nv 0 0 9\nvn 0 0 1\nvt 0 1\nf 1//1 2//1 3//1\n",
			"# v 1 2 3 \\\nmtllib a b\nv 0 1 5 0.5 0.5 0.5\nv 1 \\\n 1 5\nv 0 0 0 # high\nv 0 1 -4\nvn 0 0 -1\nvt 0 1\nf 1//1 2//1 3//1\n",
		},
		{
			"a.ply",
			"ply\nformat ascii 1.0\ncomment x 1\nelement vertex 3\nproperty float nx\nproperty uchar red\nproperty float x\nproperty float y\nproperty float z\nproperty float ny\nproperty float nz\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 255 0 0 0 0 1\n0 1 1 0 0 0 1\n0 2 0 1 0 0 1\n3 0 1 2\n",
			"ply\nformat ascii 1.0\ncomment x 1\nelement vertex 3\nproperty float nx\nproperty uchar red\nproperty float x\nproperty float y\nproperty float z\nproperty float ny\nproperty float nz\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 255 0 1 0 0 -1\n0 1 1 1 0 0 -1\n0 2 0 0 0 0 -1\n3 0 1 2\n",
		},
	} {
		var out bytes.Buffer
		require.NoError(t, WriteTurned(&out, c.name, strings.NewReader(c.text), upsideDown), c.name)
		assert.Equal(t, c.want, out.String(), c.name)
	}
}

// packed3MF is a 3MF with a picture beside the model, in inches and with a transform where asked.
func packed3MF(t *testing.T, item string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, part := range [][2]string{
		{"[Content_Types].xml", typesPart}, {"_rels/.rels", relsPart}, {"Metadata/picture.png", "no picture"},
		{"3D/3dmodel.model", `<?xml version="1.0" encoding="UTF-8"?>
<!-- <item objectid="9"/> -->
<model unit="inch" xmlns="` + spaceCore + `" xmlns:own="urn:own"><metadata name="Title">é</metadata>
<resources><object id="1" type="model"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="2" z="0"/><vertex x="0" y="0" z="3"/></vertices>
<triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="1" v2="2" v3="3"/><triangle v1="2" v2="0" v3="3"/></triangles></mesh></object></resources>
<build>` + item + `</build></model>
`},
	} {
		to, err := w.Create(part[0])
		require.NoError(t, err)
		_, err = io.WriteString(to, part[1])
		require.NoError(t, err)
	}
	require.NoError(t, w.SetComment("kept"))
	require.NoError(t, w.Close())
	return b.Bytes()
}

func TestTurned3MF(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 4))
		rotation := randomRotation(r)
		for _, item := range []string{
			`<item objectid="1"/>`, `<item own:x="y" objectid="1" />`, `<item objectid="1"></item>`,
			`<item transform='0 1 0 -1 0 0 0 0 1 5 6 7' objectid="1"/>`,
			`<item own:x=" transform='1'" objectid="1"/>`, `<item own:x=" transform='1'" transform = "1 0 0 0 1 0 0 0 1 1 2 3" objectid="1"/>`,
		} {
			data := packed3MF(t, item)
			about := fmt.Sprintf("%s, seed %d", item, seed)
			out := requireTurned(t, "a.3mf", data, rotation, about)
			before, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
			require.NoError(t, err)
			after, err := zip.NewReader(bytes.NewReader(out), int64(len(out)))
			require.NoError(t, err)
			require.Len(t, after.File, len(before.File))
			assert.Equal(t, "kept", after.Comment)
			for i, f := range before.File {
				a, err := contentOf(f)
				require.NoError(t, err)
				b, err := contentOf(after.File[i])
				require.NoError(t, err)
				drop := regexp.MustCompile(`<item[^>]*>`)
				assert.Equal(t, drop.ReplaceAllString(string(a), ""), drop.ReplaceAllString(string(b), ""), about+" "+f.Name)
			}
		}
	}
}

func TestWhatCannotBeTurnedSaysWhy(t *testing.T) {
	two := func() []byte {
		var b bytes.Buffer
		m := mesh.Weld(shapes.T())
		require.NoError(t, Write3MF(&b, []Named{{"a", m}, {"b", m}}))
		return b.Bytes()
	}
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"a.off", []byte("OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n"), "a file of the kind OFF cannot be written again as it was"},
		{"a.3mf", two(), "the file holds 2 models, and each may need another turn"},
		{"a.3mf", pack3MF(model3MF(object3MF(1, "", tetra)+object3MF(2, ` type="support"`, tetra), item1+"<item objectid=\"2\"/>")), "the file also holds a part that is no model"},
		{"a.obj", []byte("v 100000 0 0\nv 100001 0 0\nv 100000 1 0\nf 1 2 3\n"), movedWords},
		{"a.ply", []byte("ply\nformat ascii 1.0\nelement vertex 3\nproperty int x\nproperty int y\nproperty int z\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n"), "its points are whole numbers, which a turn would round"},
		{"a.stl", []byte("solid a\nfacet"), ""},
	} {
		err := WriteTurned(io.Discard, c.name, bytes.NewReader(c.data), mesh.Identity)
		require.Error(t, err, c.name)
		assert.Contains(t, err.Error(), c.want, c.name)
		var told *Error
		require.ErrorAs(t, err, &told, c.name)
		assert.NotEmpty(t, told.Cure, c.name)
	}
}

func TestTurned3MFInASCII(t *testing.T) {
	text := strings.Replace(model3MF(object3MF(1, "", tetra), `<item objectid="1"/>`), "UTF-8", "US-ASCII", 1)
	require.Contains(t, text, "US-ASCII")
	data := writeZipBy(zip.Store, entry{"_rels/.rels", relations("/3D/3dmodel.model")}, entry{"3D/3dmodel.model", text})
	requireTurned(t, "a.3mf", data, [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}, "ascii")
}
