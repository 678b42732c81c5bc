package meshfile

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

// TestPLYStrips holds that strips give every triangle, turned as the first one of its
// strip is, in text and in both orders of bytes.
func TestPLYStrips(t *testing.T) {
	points := []mesh.Point{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, 1, 0}, {0, 2, 0}}
	for _, c := range []struct {
		name  string
		strip []int32
		want  [][3]int
	}{
		{"one", []int32{0, 1, 2}, [][3]int{{0, 1, 2}}},
		{"turned in turn", []int32{0, 1, 2, 3, 4}, [][3]int{{0, 1, 2}, {2, 1, 3}, {2, 3, 4}}},
		{"begun anew", []int32{0, 1, 2, 3, -1, 2, 3, 4, -1}, [][3]int{{0, 1, 2}, {2, 1, 3}, {2, 3, 4}}},
		{"anew at the start, twice", []int32{-1, -1, 0, 1, 2}, [][3]int{{0, 1, 2}}},
		{"too short", []int32{0, 1, -1, 3, -1, 0, 1, 2}, [][3]int{{0, 1, 2}}},
		{"led on by points twice", []int32{0, 1, 2, 2, 3, 4}, [][3]int{{0, 1, 2}, {3, 2, 4}}},
	} {
		var want []mesh.Point
		for _, tri := range c.want {
			want = append(want, points[tri[0]], points[tri[1]], points[tri[2]])
		}
		text := readOne(t, "a.ply", stripText(points, c.strip))
		assert.Equal(t, want, text.Triangles.Corners, c.name)
		assert.Equal(t, "ply-ascii", text.Kind)
		for _, line := range text.Triangles.Source.Lines {
			assert.Equal(t, uint32(15), line, c.name)
		}
		for format, order := range map[string]binary.ByteOrder{"binary_little_endian": binary.LittleEndian, "binary_big_endian": binary.BigEndian} {
			header, _, _ := strings.Cut(stripText(points, c.strip), "end_header\n")
			data := []byte(strings.Replace(header, "ascii", format, 1) + "end_header\n")
			for _, p := range points {
				data, _ = binary.Append(data, order, p)
			}
			data, _ = binary.Append(data, order, int32(len(c.strip)))
			data, _ = binary.Append(data, order, c.strip)
			p := readOne(t, "a.ply", string(data))
			assert.Equal(t, want, p.Triangles.Corners, c.name)
			assert.Equal(t, mesh.Source{}, p.Triangles.Source)
		}
	}
}

func stripText(points []mesh.Point, strip []int32) string {
	var b strings.Builder
	fmt.Fprintf(&b, "ply\nformat ascii 1.0\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n"+
		"element tristrips 1\nproperty list int int vertex_indices\nend_header\n", len(points))
	for _, p := range points {
		fmt.Fprintf(&b, "%g %g %g\n", p[0], p[1], p[2])
	}
	fmt.Fprintf(&b, "%d", len(strip))
	for _, i := range strip {
		fmt.Fprintf(&b, " %d", i)
	}
	return b.String() + "\n"
}

func TestPLYStripsThatCannotBe(t *testing.T) {
	points := []mesh.Point{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}
	for _, c := range []struct {
		strip []int32
		want  string
	}{
		{[]int32{0, 1, 3}, "line 13: the face names point 3 of 3, the first is 0"},
		{[]int32{0, 1, -2}, "line 13: the face names point -2 of 3, the first is 0"},
		{[]int32{0, 1, -1, 2}, "the model has no faces"},
		{nil, "the model has no faces"},
	} {
		e := failure(t, "a.ply", stripText(points, c.strip))
		assert.Contains(t, e.Error(), c.want)
	}
	e := failure(t, "a.ply", strings.ReplaceAll(plyText, "list uchar int", "list char int")+offSquare+"3 0 1 -1\n")
	assert.Contains(t, e.Error(), "the face names point -1 of 4", "a face does not begin anew")
}

// TestPLYOfUnknownTables holds that a table with lists is not ignored in silence.
func TestPLYOfUnknownTables(t *testing.T) {
	table := func(name string, rows int) string {
		header := fmt.Sprintf("element %s %d\nproperty list uchar int vertex_indices\nend_header", name, rows)
		return strings.Replace(plyText, "end_header", header, 1) + offSquare + "3 0 1 2\n" + strings.Repeat("3 0 2 3\n", rows)
	}
	p := readOne(t, "a.ply", table("polygon", 1))
	assert.Equal(t, 1, p.Triangles.Count())
	assert.Equal(t, `the element "polygon" in line 9, which is not known here, may hold faces; export the model again as a triangle mesh`, p.Undecided)
	for _, name := range []string{"edge", "camera", "material", "multi_texture_face"} {
		assert.Empty(t, readOne(t, "a.ply", table(name, 1)).Undecided, name)
	}
	assert.Empty(t, readOne(t, "a.ply", table("polygon", 0)).Undecided)
}

// TestPLYRowsOfNothing holds that rows without properties take no time, however many are
// claimed: each could be as many as the file has bytes.
func TestPLYRowsOfNothing(t *testing.T) {
	header := "ply\nformat binary_little_endian 1.0\n"
	for i := range 900 {
		header += fmt.Sprintf("element e%d 1000000\n", i)
	}
	e := failure(t, "a.ply", header+"end_header\n"+strings.Repeat("\x00", 1<<20))
	assert.Contains(t, e.Error(), `line 4: the header claims 1000000 rows of "e1", more than a file of`)
}

// TestPLYBytesBehindTheLastRow holds that faces which the header does not claim are an
// error, as in a binary STL.
func TestPLYBytesBehindTheLastRow(t *testing.T) {
	data := string(writeLittlePLY(tetra))
	less := strings.Replace(data, "element face 4", "element face 3", 1)
	e := failure(t, "a.ply", less)
	assert.Equal(t, `the header claims 3 rows of "face", but 13 bytes follow the last one; export or download the file again`, e.Error())
	p := readOne(t, "a.ply", data+strings.Repeat("\x00", 99))
	assert.Equal(t, []string{"99 bytes after the last row"}, p.Notes)
}
