package meshfile

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

const (
	plyPoints = "element vertex 4\nproperty float x\nproperty float y\nproperty float z\n"
	plyFaces  = "element face 1\nproperty list uchar int vertex_indices\nend_header\n"
	plyText   = "ply\nformat ascii 1.0\n" + plyPoints + plyFaces
)

func TestPLYInAllItsForms(t *testing.T) {
	a, b, c, d := mesh.Point{0, 0, 0}, mesh.Point{1, 0, 0}, mesh.Point{1, 1, 0}, mesh.Point{0, 1, 0}
	two := []mesh.Point{a, b, c, a, c, d}
	for _, k := range []struct {
		name, data string
		line       uint32
		notes      []string
	}{
		{"plain", plyText + offSquare + "4 0 1 2 3\n", 14, nil},
		{"comments", strings.Replace(plyText, "format", "comment a\nobj_info b c\n\nformat", 1) + offSquare + "4 0 1 2 3\n", 17, nil},
		{"old name", strings.Replace(plyText, "vertex_indices", "vertex_index", 1) + offSquare + "4 0 1 2 3\n", 14, nil},
		{"new types", strings.NewReplacer("float", "float32", "uchar int", "uint8 int32").Replace(plyText) + offSquare + "4 0 1 2 3\n", 14, nil},
		{"doubles", strings.ReplaceAll(plyText, "float", "double") + offSquare + "4 0 1 2 3\n", 14, nil},
		{"another order", strings.Replace(plyText, "property float x\nproperty float y\nproperty float z", "property float z\nproperty float y\nproperty float x", 1) +
			"0 0 0\n0 0 1\n0 1 1\n0 1 0\n4 0 1 2 3\n", 14, nil},
		{"colours", strings.Replace(plyText, "float z\n", "float z\nproperty uchar red\nproperty float s\n", 1) +
			strings.ReplaceAll(offSquare, "\n", " 255 0.5\n") + "4 0 1 2 3\n", 16, nil},
		{"lists of texture", strings.Replace(plyText, "vertex_indices\n", "vertex_indices\nproperty list uchar float texcoord\n", 1) + offSquare + "4 0 1 2 3 2 0.5 0.25\n", 15, nil},
		{"blank lines", plyText + "\n\n" + offSquare + "\n4 0 1 2 3\n\n", 17, nil},
		{"edges", strings.Replace(plyText, "end_header", "element edge 1\nproperty int a\nproperty int b\nend_header", 1) + offSquare + "4 0 1 2 3\n0 1\n", 17, nil},
		{"no last line end", plyText + offSquare + "4 0 1 2 3", 14, []string{cutNote}},
		{"an unused point", strings.Replace(plyText, "vertex 4", "vertex 5", 1) + offSquare + "9 9 9\n4 0 1 2 3\n", 15, []string{"1 point of 5 in no face"}},
	} {
		t.Run(k.name, func(t *testing.T) {
			for end, data := range map[string]string{"\n": k.data, "\r\n": strings.ReplaceAll(k.data, "\n", "\r\n"), "\r": strings.ReplaceAll(k.data, "\n", "\r")} {
				p := readOne(t, "a.ply", data)
				assert.Equal(t, "ply-ascii", p.Kind)
				assert.Equal(t, two, p.Triangles.Corners)
				assert.Equal(t, []uint32{k.line, k.line}, p.Triangles.Source.Lines, "%q", end)
				assert.Equal(t, k.notes, p.Notes)
			}
		})
	}
}

func TestPLYThatCannotBe(t *testing.T) {
	room := strings.Repeat("\n", 50) // as much as the header claims
	for _, c := range []struct{ name, data, want string }{
		{"header only", "ply\n", "line 2: the file ends in its header"},
		{"cut header", "ply\nformat ascii 1.0\nelement vertex 3", "line 3: the file ends in its header"},
		{"cut in the format", "ply\nformat", "line 2: the file ends in its header"},
		{"no tables", "ply\nformat binary_big_endian 1.0\nend_header\n0", "line 4: the model has no faces"},
		{"format", "ply\nformat text 1.0\n", `line 2: "text" is no format of PLY`},
		{"version", "ply\nformat ascii 2.0\n", `line 2: the version is "2.0", only 1.0 is known`},
		{"word", "ply\nformat ascii 1.0\nhello\n", `line 3: "hello" in the header; it has format, element, property and comment`},
		{"count", "ply\nformat ascii 1.0\nelement vertex many\n", `line 3: an element needs a name and a number of rows, found "many"`},
		{"negative count", "ply\nformat ascii 1.0\nelement vertex -4\n", `found "-4"`},
		{"early property", "ply\nformat ascii 1.0\nproperty float x\n", "line 3: a property before the first element"},
		{"type", "ply\nformat ascii 1.0\nelement vertex 4\nproperty real x\n", `line 4: "real" is no type of number`},
		{"list type", "ply\nformat ascii 1.0\nelement face 4\nproperty list float int x\n", `line 4: "float" is no type for the length of a list`},
		{"nameless", "ply\nformat ascii 1.0\nelement vertex 4\nproperty float\n", "line 4: a property without a name"},
		{"no z", strings.Replace(plyText, "property float z\n", "", 1) + room, "line 3: the points have no z"},
		{"no faces", strings.Replace(plyText, "vertex_indices", "corners", 1) + offSquare + "3 0 1 2\n", "line 7: the faces have no vertex_indices"},
		{"point cloud", "ply\nformat ascii 1.0\n" + plyPoints + "end_header\n" + offSquare, "the model has no faces"},
		{"faces first", "ply\nformat ascii 1.0\n" + strings.Replace(plyFaces, "end_header\n", plyPoints+"end_header\n", 1) + "3 0 1 2\n" + offSquare, "line 3: the faces stand before the points"},
		{"strips without points", "ply\nformat ascii 1.0\n" + plyPoints + "element tristrips 1\nproperty list int int corners\nend_header\n" + offSquare + "3 0 1 2\n", "line 7: the faces have no vertex_indices"},
		{"strips first", "ply\nformat ascii 1.0\nelement tristrips 1\nproperty list int int vertex_indices\n" + plyPoints + "end_header\n3 0 1 2\n" + offSquare, "line 3: the faces stand before the points"},
		{"second element", strings.Replace(plyText, "end_header", plyPoints+"end_header", 1), `line 9: there is a second element "vertex"`},
		{"second coordinate", strings.Replace(plyText, "float y", "float x", 1), `line 5: there is a second property "x"`},
		{"two lists of points", strings.Replace(plyText, "end_header", "property list uchar int vertex_index\nend_header", 1), `line 9: there is a second property "vertex_index"`},
		{"claims that share the file", strings.NewReplacer("vertex 4", "vertex 14", "face 1", "face 60").Replace(plyText) + offSquare + room + room, `line 7: the header claims 60 rows of "face", more than a file of`},
		{"many elements", "ply\nformat ascii 1.0\n" + elementsOf(1001), "line 1003: the header has more than 1000 elements"},
		{"many properties", "ply\nformat ascii 1.0\nelement vertex 4\n" + propertiesOf(1001), "line 1004: an element of more than 1000 properties"},
		{"claims", strings.Replace(plyText, "vertex 4", "vertex 400000000000", 1) + offSquare, `line 3: the header claims 400000000000 rows of "vertex", more than a file of`},
		{"short row", plyText + "0 0 0\n1 0\n1 1 0\n0 1 0\n4 0 1 2 3\n", `line 11: row 2 of "vertex" has too few numbers`},
		{"long row", plyText + "0 0 0 0\n" + room, `line 10: "0" where the row of "vertex" ends`},
		{"no number", plyText + "0 0 x\n" + room, `line 10: expected a number, found "x"`},
		{"infinite", plyText + "0 0 inf\n" + room, `line 10: the coordinate "inf" is infinite`},
		{"cut", plyText + offSquare + "         ", `the file ends in row 1 of 1 of "face"`},
		{"no point", plyText + offSquare + "3 0 1 4\n", `line 14: the face names point 4 of 4, the first is 0`},
		{"fraction", plyText + offSquare + "3 0 1 1.5\n", `line 14: the face names point 1.5 of 4, the first is 0`},
		{"two corners", plyText + offSquare + "2 0 1\n", "line 14: a face has 2 corners, it needs 3"},
		{"short list", plyText + offSquare + "4 0 1 2\n", `row 1 of "face"`},
		{"list of words", plyText + offSquare + "many 0 1 2\n", `line 14: "many" is no length of a list`},
		{"more rows", plyText + offSquare + "3 0 1 2\n3 0 1 2\n", `line 15: "3" behind the last row that the header claims`},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := failure(t, "a.ply", c.data)
			assert.Contains(t, e.Error(), c.want)
			assert.NotEmpty(t, e.Cure)
		})
	}
}

func elementsOf(n int) (s string) {
	for i := range n {
		s += fmt.Sprintf("element e%d 1\n", i)
	}
	return s
}

func propertiesOf(n int) (s string) {
	for i := range n {
		s += fmt.Sprintf("property int p%d\n", i)
	}
	return s
}

// TestBinaryPLYPlaces holds where triangles of a binary file stand.
func TestBinaryPLYPlaces(t *testing.T) {
	ring := torus(12, 9)
	for _, write := range []func([]mesh.Point) []byte{writeLittlePLY, writeBigPLY} {
		data := write(ring)
		p := readOne(t, "a.ply", string(data))
		assert.Equal(t, "ply", p.Kind)
		assert.Equal(t, ring, p.Triangles.Corners)
		place := p.Triangles.Source.Of(0)
		assert.Equal(t, int64(13), place.Length)
		assert.Equal(t, int64(len(data)-216*13), place.Offset)
		assert.Equal(t, byte(3), data[place.Offset], "the length of the list")
		p = readOne(t, "a.ply", string(data)+"extra")
		assert.Equal(t, []string{"5 bytes after the last row"}, p.Notes)
	}
	mixed := readOne(t, "a.ply", tables()[6].data)
	assert.Equal(t, mesh.Source{}, mixed.Triangles.Source, "rows of different lengths have no common place")
	assert.Equal(t, 3, mixed.Triangles.Count())
}

// TestBinaryPLYTypes reads every type of number as coordinate and as index.
func TestBinaryPLYTypes(t *testing.T) {
	for name, kind := range plyTypes {
		for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
			put := func(b []byte, v float64) []byte {
				switch {
				case kind.size == 8:
					b, _ = binary.Append(b, order, v)
				case kind.point:
					b, _ = binary.Append(b, order, float32(v))
				case kind.size == 4:
					b, _ = binary.Append(b, order, int32(v))
				case kind.size == 2:
					b, _ = binary.Append(b, order, int16(v))
				default:
					b = append(b, byte(int8(v)))
				}
				return b
			}
			low := -2.0
			if !kind.signed {
				low = 0
			}
			format := "binary_little_endian"
			if order == binary.BigEndian {
				format = "binary_big_endian"
			}
			data := []byte(strings.NewReplacer("ascii", format, "float", name, "uchar int", "uchar "+name, "vertex 4", "vertex 3").Replace(plyText))
			for _, v := range []float64{low, 0, 0, 100, 0, 0, 0, 50, 7} {
				data = put(data, v)
			}
			data = append(data, 3)
			for _, v := range []float64{0, 1, 2} {
				data = put(data, v)
			}
			p := readOne(t, "a.ply", string(data))
			assert.Equal(t, []mesh.Point{{float32(low), 0, 0}, {100, 0, 0}, {0, 50, 7}}, p.Triangles.Corners, name)
		}
	}
}

func TestBinaryPLYThatCannotBe(t *testing.T) {
	good := writeLittlePLY(tetra)
	body := len(good) - 4*13 - 4*12
	poke := func(at int, b ...byte) string {
		data := append([]byte{}, good...)
		copy(data[at:], b)
		return string(data)
	}
	nan := binary.LittleEndian.AppendUint32(nil, math.Float32bits(float32(math.NaN())))
	for _, c := range []struct{ name, data, want string }{
		{"cut in a face", string(good[:len(good)-1]), `row 4 of "face", before byte 281: a list claims 3 numbers, which the file has no room for`},
		{"cut before a face", string(good[:len(good)-13]), `the file ends in row 4 of 4 of "face"`},
		{"cut in a point", string(good[:body+12]), `the header claims 4 rows of "vertex"`},
		{"NaN", poke(body+4, nan...), `row 1 of "vertex", before byte`},
		{"index", poke(len(good)-4, 9), `row 4 of "face", before byte 293: the face names point 9 of 4`},
		{"negative index", poke(len(good)-1, 0xff), `the face names point -`},
		{"long list", poke(len(good)-13, 200), `row 4 of "face", before byte 281: a list claims 200 numbers, which the file has no room for`},
		{"shifted", poke(len(good)-26, 6), `row 3 of "face", before byte 288: the face names point 768 of 4`},
	} {
		e := failure(t, "a.ply", c.data)
		assert.Contains(t, e.Error(), c.want, c.name)
	}
	require.Greater(t, body, 100)
}
