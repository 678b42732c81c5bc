package meshfile

import (
	"strings"

	"printlint/internal/mesh"
)

// fixture is a small file that is read whole, and cut, damaged and varied by the tests.
type fixture struct{ name, data string }

// fixtures holds every format in its forms.
func fixtures() []fixture {
	text := string(writeASCIISTL(tetra))
	obj := string(writeOBJ(tetra))
	list := []fixture{
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
	return append(append(list, tables()...), containers()...)
}

// tables are the formats that begin with counts.
func tables() []fixture {
	ply, off := string(writePLY(tetra)), string(writeOFF(tetra))
	return []fixture{
		{"plain.ply", ply},
		{"crlf.ply", strings.ReplaceAll(ply, "\n", "\r\n")},
		{"cr.ply", strings.ReplaceAll(ply, "\n", "\r")},
		{"little.ply", string(writeLittlePLY(tetra))},
		{"big.ply", string(writeBigPLY(tetra))},
		{"more.ply", "ply\nformat ascii 1.0\nobj_info x\nelement camera 1\nproperty float f\nelement vertex 4\nproperty uchar red\n" +
			"property double x\nproperty double y\nproperty double z\nelement face 1\nproperty list uchar uchar vertex_index\nproperty int id\n" +
			"element edge 1\nproperty int v\nend_header\n9\n1 0 0 0\n2 1 0 0\n3 1 1 0\n4 0 1 0\n4 0 1 2 3 77\n5\n"},
		{"mixed.ply", "ply\nformat binary_big_endian 1.0\nelement vertex 4\nproperty short x\nproperty short y\nproperty short z\n" +
			"element face 2\nproperty list uchar uchar vertex_indices\nend_header\n" +
			"\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x00\x00\x01\x00\x01\x00\x00\x00\x00\x00\x01\x00\x00" +
			"\x04\x00\x01\x02\x03\x03\x00\x02\x01"},
		{"plain.off", off},
		{"crlf.off", strings.ReplaceAll(off, "\n", "\r\n")},
		{"cr.off", strings.ReplaceAll(off, "\n", "\r")},
		{"oneline.off", strings.Replace(off, "OFF\n# made for a test\n", "OFF ", 1)},
		{"nameless.off", strings.Replace(off, "OFF\n", "", 1)},
		{"strips.ply", stripText([]mesh.Point{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, 1, 0}}, []int32{0, 1, 2, 3, -1, 1, 2, 0})},
		{"words.off", "OFF\n4\n2 # faces\n0 0 0 0 1\n0 0 # half a point\n1 1 0 0 1 0 3 0 1\n2\n3 0 2 3\n"},
		{"colours.off", "COFF\n4 2\n\n0 0 0 255 0 0 1 # red\n1 0 0 0 0 0 1\n1 1 0 1 1 1 1\n0 1 0 1 1 1 1\n4 0 1 2 3 0.5 0.5 0.5\n3 0 2 1\n"},
	}
}

// models3MF are root models.
func models3MF() []fixture {
	one := model3MF(object3MF(1, "", tetra), "<item objectid=\"1\"/>\n")
	return []fixture{
		{"plain", one},
		{"crlf", strings.ReplaceAll(one, "\n", "\r\n")},
		{"cr", strings.ReplaceAll(one, "\n", "\r")},
		{"prefixed", strings.NewReplacer("xmlns=", "xmlns:c=", "</", "</c:", "<?", "<?", "<", "<c:").Replace(one)},
		{"bom", bom + one},
		{"noise", strings.ReplaceAll(one, "\n", "<!-- <x> -->\n<?a b?>")},
		{"nested", model3MF(object3MF(1, " name=\"a &amp; b\"", tetra)+
			"<object id=\"2\" type=\"model\"><components><component objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 -1 5 0 0\"/>"+
			"<component objectid=\"1\"/></components></object>\n", "<item objectid=\"2\" transform=\"2 0 0 0 2 0 0 0 2 0 0 9\"/>\n")},
	}
}

// containers are the formats in archives, and those in XML.
func containers() (list []fixture) {
	for _, m := range models3MF() {
		if m.name == "prefixed" {
			m.data = strings.ReplaceAll(m.data, "<c:?xml", "<?xml")
		}
		list = append(list, fixture{m.name + ".3mf", string(pack3MF(m.data))})
	}
	amf := amfText(tetra)
	return append(list,
		fixture{"plain.amf", amf},
		fixture{"crlf.amf", strings.ReplaceAll(amf, "\n", "\r\n")},
		fixture{"cr.amf", strings.ReplaceAll(amf, "\n", "\r")},
		fixture{"packed.amf", string(writePackedAMF(tetra))},
		fixture{"placed.amf", strings.Replace(amf, "</amf>", "<constellation id=\"c\"><instance objectid=\"0\"><deltax>5</deltax><rz>90</rz></instance></constellation></amf>", 1)},
	)
}
