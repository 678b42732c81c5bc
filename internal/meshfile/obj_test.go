package meshfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

const square = "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\n"

func TestOBJInAllItsForms(t *testing.T) {
	a, b, c, d := mesh.Point{0, 0, 0}, mesh.Point{1, 0, 0}, mesh.Point{1, 1, 0}, mesh.Point{0, 1, 0}
	two := []mesh.Point{a, b, c, a, c, d}
	for _, k := range []struct {
		name, data string
		corners    []mesh.Point
		lines      []uint32
		notes      []string
	}{
		{"a quadrilateral", square + "f 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"triangles", square + "f 1 2 3\nf 1 3 4\n", two, []uint32{5, 6}, nil},
		{"the old word for a face", square + "fo 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"negative numbers", square + "f -4 -3 -2 -1\n", two, []uint32{5, 5}, nil},
		{"negative numbers between points", "v 0 0 0\nv 1 0 0\nv 1 1 0\nf -3 -2 -1\nv 0 1 0\nf -4 -2 -1\n", two, []uint32{4, 6}, nil},
		{"texture", square + "vt 0 0\nf 1/1 2/1 3/1 4/1\n", two, []uint32{6, 6}, nil},
		{"normals", square + "vn 0 0 1\nf 1//1 2//1 3//1 4//1\n", two, []uint32{6, 6}, nil},
		{"texture and normals", square + "vt 0 0\nvn 0 0 1\nf 1/1/1 2/-1/-1 3/1/1 4/1/1\n", two, []uint32{7, 7}, nil},
		{"groups, objects, materials", "mtllib a.mtl\no x\ng y z\n" + square + "s off\nusemtl m\nf 1 2 3\ng\nf 1 3 4\n", two, []uint32{10, 12}, nil},
		{"comments", "# one\n" + square + "#two\n  # three\nf 1 2 3 4 # four\n", two, []uint32{8, 8}, nil},
		{"a comment behind a point", strings.Replace(square, "v 0 0 0", "v 0 0 0 # here", 1) + "f 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"a comment that ends in a backslash", "# c:\\dir\\\n" + square + "f 1 2 3 4\n", two, []uint32{6, 6}, nil},
		{"joined lines", square + "f 1 \\\n 2 \\\n3\\\n 4\nf 1 2 3\n", append(append([]mesh.Point{}, two...), a, b, c), []uint32{5, 5, 9}, nil},
		{"a joined point", "v 0 \\\n0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1 2 3 4\n", two, []uint32{6, 6}, nil},
		{"a joined group", square + "g a \\\nb\nf 1 2 3 4\n", two, []uint32{7, 7}, nil},
		{"CR LF", strings.ReplaceAll(square+"f 1 2 \\\n3 4\nf 1 2 3\n", "\n", "\r\n"), append(append([]mesh.Point{}, two...), a, b, c), []uint32{5, 5, 7}, nil},
		{"CR", strings.ReplaceAll(square+"f 1 2 \\\n3 4\nf 1 2 3\n", "\n", "\r"), append(append([]mesh.Point{}, two...), a, b, c), []uint32{5, 5, 7}, nil},
		{"blank lines and tabs", "\n\n" + strings.ReplaceAll(square, " ", "\t ") + "\n \t\n\tf 1 2 3 4  \n", two, []uint32{9, 9}, nil},
		{"colours", strings.ReplaceAll(square, "\n", " 0.5 0.5 0.5\n") + "f 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"weights of 1", strings.ReplaceAll(square, "\n", " 1.0\n") + "f 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"weights", strings.ReplaceAll(square, "\n", " 2\n") + "f 1 2 3 4\n", two, []uint32{5, 5},
			[]string{"ignored the weight of 4 points, the first in line 1"}},
		{"lines and points", square + "f 1 2 3 4\nl 1 2 3\np 1\n", two, []uint32{5, 5},
			[]string{`ignored 2 lines of lines and points, the first is "l" in line 6`}},
		{"unknown words", square + "hello there\nf 1 2 3 4\n", two, []uint32{6, 6},
			[]string{`ignored 1 line of an unknown kind, the first is "hello" in line 5`}},
		{"unknown words with few numbers", square + "hello 1 2\nthere 1 2 x\n1 2 - 3\nf 1 2 3 4\n", two, []uint32{8, 8},
			[]string{`ignored 3 lines of an unknown kind, the first is "hello" in line 5`}},
		{"colours of nothing", strings.ReplaceAll(square, "\n", " nan NaN -nan(ind)\n") + "f 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"a colour by name", strings.ReplaceAll(square, "\n", " 1 red inf 1e999\n") + "f 1 2 3 4\n", two, []uint32{5, 5}, nil},
		{"weights of nothing", strings.ReplaceAll(square, "\n", " nan\n") + "f 1 2 3 4\n", two, []uint32{5, 5},
			[]string{"ignored the weight of 4 points, the first in line 1"}},
		{"points in no face", square + "v 5 5 5\nf 1 2 3 4\n", two, []uint32{6, 6}, []string{"1 point of 5 in no face"}},
		{"no last line end", square + "f 1 2 3 4", two, []uint32{5, 5}, []string{"the last line has no end, the file may be cut short"}},
		{"a face without area", square + "f 1 2 2 1\nf 1 2 3 4\n", append([]mesh.Point{a, b, b, a, b, a}, two...), []uint32{5, 5, 6, 6},
			[]string{"1 face with no area or with edges that cross, the first in line 5"}},
	} {
		t.Run(k.name, func(t *testing.T) {
			p := readOne(t, "a.obj", k.data)
			assert.Equal(t, "obj", p.Kind)
			assert.Equal(t, k.corners, p.Triangles.Corners)
			assert.Equal(t, k.lines, p.Triangles.Source.Lines)
			assert.Equal(t, k.notes, p.Notes)
			assert.Empty(t, p.Undecided)
		})
	}
}

// TestOBJOfWhichPartsAreNotRead holds that lines which may be shape leave a model undecided.
func TestOBJOfWhichPartsAreNotRead(t *testing.T) {
	for _, k := range []struct{ data, want string }{
		{square + "f 1 2 3 4\ncstype bezier\ndeg 3\ncurv 0 1 1 2 3 4\nparm u 0 1\nend\n",
			`5 lines of curves and surfaces were ignored, the first is "cstype" in line 6; export the model again as a triangle mesh`},
		{square + "f 1 2 3 4\nsurf 0 1 0 1 1 2 3 4\n", `1 line of curves and surfaces was ignored, the first is "surf" in line 6`},
		{square + "vp 0.5 0.5\nf 1 2 3 4\n", `1 line of curves and surfaces was ignored, the first is "vp" in line 5`},
		{"call part.obj\n" + square + "f 1 2 3 4\n",
			`1 line asking for another file or program was ignored, the first is "call" in line 1; put all of the model into one file`},
		{"csh rm -r *\n" + square + "f 1 2 3 4\n", `1 line asking for another file or program was ignored, the first is "csh" in line 1`},
		{square + "f 1 2 3 4\nF 1 2 3\n", `1 line of an unknown kind, with numbers like a face, was ignored, the first is "F" in line 6`},
		{square + "f 1 2 3 4\nface 1/1 -2/2 3\nvertex .5 +0.5 -.5\n", `2 lines of an unknown kind, with numbers like a face, were ignored, the first is "face" in line 6`},
	} {
		p := readOne(t, "a.obj", k.data)
		assert.Equal(t, 2, p.Triangles.Count())
		assert.Empty(t, p.Notes)
		assert.Contains(t, p.Undecided, k.want)
	}
}

func TestOBJThatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, data, want string }{
		{"no faces", square, "line 5: the model has no faces"},
		{"only surfaces", square + "cstype bezier\nsurf 0 1 0 1 1 2 3 4\nend\n", "line 5: the model has only curves and surfaces, no faces"},
		{"no text", "v 0\x00\x01", `line 1: expected a number, found "0\x00\x01"`},
		{"point 0", square + "f 0 1 2\n", `line 5: the face names point 0 of 4 up to here`},
		{"a point too many", square + "f 1 2 5\n", `line 5: the face names point 5 of 4 up to here`},
		{"a point too far back", square + "f -5 1 2\n", `line 5: the face names point -5 of 4 up to here`},
		{"a point to come", "v 0 0 0\nv 1 0 0\nf 1 2 3\nv 0 1 0\n", "line 3: the face names point 3 of 2 up to here"},
		{"a huge number", square + "f 1 2 99999999999999999999999\n", `line 5: the face names point 99999999999999999999999 of 4 up to here`},
		{"no number", square + "f 1 2 x\n", `line 5: "x" is no corner of a face`},
		{"a fraction", square + "f 1 2 3.5\n", `line 5: "3.5" is no corner of a face`},
		{"too many slashes", square + "f 1 2 3/1/1/1\n", `line 5: "3/1/1/1" is no corner of a face`},
		{"only a sign", square + "f 1 2 -\n", `line 5: "-" is no corner of a face`},
		{"a sign behind a number", square + "f 1 2 3-\n", `line 5: "3-" is no corner of a face`},
		{"only a slash", square + "f 1 2 /1\n", `line 5: "/1" is no corner of a face`},
		{"two corners", square + "f 1 2\n", "line 5: a face has 2 corners, it needs 3"},
		{"no corners", square + "f\n", "line 5: a face has 0 corners, it needs 3"},
		{"two coordinates", "v 1 2\nf 1 1 1\n", "line 1: a point has 2 of 3 coordinates"},
		{"no number in a point", "v 1 2 3\nv 1 b 3\n", `line 2: expected a number, found "b"`},
		{"two points in a line", "v 1 2 3 v 4 5 6\n", `line 1: "v" behind the coordinates of a point`},
		{"NaN", "v 1 NaN 3\n", `line 1: the coordinate "NaN" is not a number`},
		{"infinite", "v 1 2 -1e99\n", `line 1: the coordinate "-1e99" is too large to be a length`},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := failure(t, "a.obj", c.data)
			assert.Equal(t, c.want+"; "+e.Cure, e.Error())
			assert.NotEmpty(t, e.Cure)
		})
	}
}

// TestTooManyTriangles lowers the limit, because a file at the real one is 80 GB.
func TestTooManyTriangles(t *testing.T) {
	b := text{limit: 3 * 300}
	for i := range 300 {
		b.add(corners[0], corners[1], corners[2], i+1)
		assert.NoError(t, b.err)
	}
	b.add(corners[0], corners[1], corners[2], 301)
	assert.EqualError(t, b.err,
		"line 301: the model has more than 300 triangles, the most that can be read; export the model with fewer triangles")
	assert.Equal(t, 300, b.triangles.Count())
}
