package meshfile

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"github.com/hschendel/stl"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// randomTriangles makes triangles that need not hang together, of every size of number.
func randomTriangles(r *rand.Rand, triangles int) (corners []mesh.Point) {
	for range 3 * triangles {
		var p mesh.Point
		for k := range p {
			p[k] = float32(r.NormFloat64()) * []float32{1, 1e-6, 1e6, 1e-38, 1e30, 0}[r.IntN(6)]
		}
		corners = append(corners, p)
	}
	return corners
}

// oddSTL writes text as it is met: any case, any blanks, any way to write a number, and
// a remark where a name may stand.
func oddSTL(r *rand.Rand, corners []mesh.Point) string {
	var b strings.Builder
	word := func(w string) {
		b.WriteString([]string{w, strings.ToUpper(w), strings.ToUpper(w[:1]) + w[1:]}[r.IntN(3)])
		b.WriteString([]string{" ", "  ", "\t", " \t "}[r.IntN(4)])
	}
	end := func() { b.WriteString([]string{"\n", "\r\n", " \n", "\n\n", "\n \t\n"}[r.IntN(5)]) }
	number := func(x float32) { word(fmt.Sprintf([]string{"%g", "%e", "%.9e", "%+g"}[r.IntN(4)], x)) }
	b.WriteString("solid some name")
	end()
	for i := 0; i < len(corners); i += 3 {
		word("facet")
		word("normal")
		for range 3 {
			number(float32(r.NormFloat64()))
		}
		end()
		word("outer")
		word("loop")
		end()
		for _, p := range corners[i : i+3] {
			word("vertex")
			for _, x := range p {
				number(x)
			}
			end()
		}
		word("endloop")
		end()
		word("endfacet")
		end()
	}
	b.WriteString("endsolid some name\n")
	return b.String()
}

// tidy writes text as the library wants it: in small letters, without blank lines and
// with one blank between words.
func tidy(data string) string {
	if !isText([]byte(data)) {
		return data
	}
	var b strings.Builder
	for _, line := range strings.Split(data, "\n") {
		if words := strings.Fields(strings.ToLower(line)); len(words) > 0 {
			b.WriteString(strings.Join(words, " ") + "\n")
		}
	}
	return b.String()
}

// TestSTLAsTheLibrary reads random files of both forms, odd but valid, with the library
// and with ours; and holds that what the library writes is read to the last bit.
func TestSTLAsTheLibrary(t *testing.T) {
	r := dice.New(t)
	for range 60 {
		triangles := randomTriangles(r, 1+r.IntN(40))
		triangles[0] = mesh.Point{1, -2, 3} // what begins far away is moved
		solid := &stl.Solid{Name: "x"}
		for i := 0; i < len(triangles); i += 3 {
			solid.Triangles = append(solid.Triangles, stl.Triangle{
				Vertices:   [3]stl.Vec3{stl.Vec3(triangles[i]), stl.Vec3(triangles[i+1]), stl.Vec3(triangles[i+2])},
				Attributes: uint16(r.Uint32()), // colours of some programs
			})
		}
		header := make([]byte, 80)
		copy(header, []string{"solid facet normal vertex", "\xff\xfe", "x", "version"}[r.IntN(4)])
		var binary, text bytes.Buffer
		solid.BinaryHeader = header
		require.NoError(t, solid.WriteAll(&binary))
		solid.IsAscii = true
		require.NoError(t, solid.WriteAll(&text))
		assert.Equal(t, triangles, readOne(t, "a.stl", binary.String()).Triangles.Corners)

		for _, data := range []string{binary.String(), oddSTL(r, triangles)} {
			theirs, err := stl.ReadAll(strings.NewReader(tidy(data)))
			require.NoError(t, err, "%.200q", data)
			p := readOne(t, "a.stl", data)
			require.Len(t, theirs.Triangles, p.Triangles.Count())
			for i, tri := range theirs.Triangles {
				for k, v := range tri.Vertices {
					require.Equal(t, mesh.Point(v), p.Triangles.Corners[3*i+k], "%.200q", data)
				}
			}
		}
	}
}

// random3MF makes objects that hold earlier ones, turned, mirrored and scaled, in any unit.
func random3MF(r *rand.Rand) string {
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	transform := func() string {
		return pick("", ` transform="1 0 0 0 1 0 0 0 1 5 -6 7"`, ` transform="0 1 0 -1 0 0 0 0 1 0 0 0"`, ` transform="-1 0 0 0 1 0 0 0 1 0 0 1e1"`,
			` transform="2 0 0 0 0.5 0 0 0 3 0 0 0"`, ` transform="1 0.5 0 0 1 0.25 0 0 1 -.5 .5 1"`)
	}
	resources, count := "", 2+r.IntN(4)
	for id := 1; id <= count; id++ {
		if id == 1 || r.IntN(3) == 0 {
			resources += object3MF(id, pick("", ` name="a"`, ` type="model"`), torus(3+r.IntN(3), 3))
			continue
		}
		resources += fmt.Sprintf("<object id=\"%d\"><components>", id)
		for range 1 + r.IntN(3) {
			resources += fmt.Sprintf("<component objectid=\"%d\"%s/>", 1+r.IntN(id-1), transform())
		}
		resources += "</components></object>\n"
	}
	build := ""
	for range 1 + r.IntN(3) {
		build += fmt.Sprintf("<item objectid=\"%d\"%s/>\n", 1+r.IntN(count), transform())
	}
	return model3MF(resources, build)
}

// Test3MFAsTheLibrary lays out random trees of components with the library and with ours.
func Test3MFAsTheLibrary(t *testing.T) {
	r := dice.New(t)
	triangles := 0
	for range 60 {
		data := pack3MF(random3MF(r))
		m := byLibrary(t, data)
		require.NoError(t, m.Validate())
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
			triangles += parts[i].Triangles.Count()
			sameShape(t, unfold(t, m, o, move), parts[i].Triangles.Corners)
		}
	}
	assert.Greater(t, triangles, 1000)
}

// sameShape compares triangles wherever each begins and whichever way it is turned: the
// library leaves mirrored ones inside out.
func sameShape(t *testing.T, want, got []mesh.Point) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := 0; i < len(want); i += 3 {
		for _, p := range want[i : i+3] {
			least := min(distance(p, got[i]), distance(p, got[i+1]), distance(p, got[i+2]))
			require.Less(t, least, 1e-3*(1+distance(p, mesh.Point{})), "triangle %d", i/3)
		}
	}
}
