package meshfile

import "strings"

// fixture is a small file that is read whole, and cut, damaged and varied by the tests.
type fixture struct{ name, data string }

// fixtures holds every format in its forms.
func fixtures() []fixture {
	text := string(writeASCIISTL(tetra))
	obj := string(writeOBJ(tetra))
	return []fixture{
		{"binary.stl", string(writeBinarySTL(tetra))},
		{"solid.stl", withHeader(writeBinarySTL(tetra), "solid of steel\nfacet vertex")},
		{"text.stl", text},
		{"crlf.stl", strings.ReplaceAll(text, "\n", "\r\n")},
		{"cr.stl", strings.ReplaceAll(text, "\n", "\r")},
		{"upper.stl", strings.ToUpper(text)},
		{"oneline.stl", strings.ReplaceAll(text, "\n", " ")},
		{"two.stl", text + text},
		{"letters.stl", strings.ReplaceAll(text, "made for", "für Öse 箱")},
		{"plain.obj", obj},
		{"crlf.obj", strings.ReplaceAll(obj, "\n", "\r\n")},
		{"joined.obj", strings.ReplaceAll(obj, " 2", " \\\n2")},
		{"polygons.obj", "# a pyramid\no roof\nv 0 0 0\nv 4 0 0\nv 4 4 0\nv 1 1 0\nv 0 4 0\nv 1 1 3\nvt 0 0\nvn 0 0 1\n" +
			"g foot\nf -6/1/1 -2/1/1 -3/1/1 -4/1/1 -5/1/1\ng sides\nf 1//1 2//1 6//1\nf 2 3 6\nf 3/1 4/1 6/1\nf 4 5 6\nf 5 1 6\n"},
		{"between.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 3 2\nv 0 0 1\nf 1 2 4\nf 2 3 4\nf 3 1 4\n"},
		{"noted.obj", square + "v 9 9 9 2\nl 1 2 3\ncurv 0 1 1 2 3\nwhat is this\nf 1 2 3 4\n"},
	}
}
