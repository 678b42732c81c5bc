package meshfile

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"

	"printlint/internal/mesh"
)

// entry is a file to be put into an archive.
type entry struct{ name, data string }

// writeZip packs files as they come.
func writeZip(files ...entry) []byte { return writeZipBy(zip.Deflate, files...) }

func writeZipBy(method uint16, files ...entry) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		e, err := w.CreateHeader(&zip.FileHeader{Name: f.name, Method: method})
		if err != nil {
			panic(err)
		}
		if _, err := e.Write([]byte(f.data)); err != nil {
			panic(err)
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

const (
	core3MF  = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	modelRel = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	types3MF = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`
)

// relations writes the part that says where the model is.
func relations(targets ...string) string {
	s := `<?xml version="1.0" encoding="UTF-8"?>` + "\n" + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
	for i, t := range targets {
		s += fmt.Sprintf(`<Relationship Id="r%d" Type="%s" Target="%s"/>`, i, modelRel, t)
	}
	return s + "</Relationships>"
}

// pack3MF puts a root model and other parts into a container.
func pack3MF(model string, others ...entry) []byte {
	files := []entry{{"[Content_Types].xml", types3MF}, {"_rels/.rels", relations("/3D/3dmodel.model")}, {"3D/3dmodel.model", model}}
	return writeZip(append(files, others...)...)
}

// model3MF wraps resources and build items.
func model3MF(resources, build string) string {
	return model3MFWith("", resources, build)
}

func model3MFWith(attrs, resources, build string) string {
	return fmt.Sprintf("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xmlns=\"%s\"%s>\n<resources>\n%s</resources>\n<build>\n%s</build>\n</model>\n",
		core3MF, attrs, resources, build)
}

// mesh3MF writes a mesh with a line for every point and triangle.
func mesh3MF(corners []mesh.Point) string {
	points, faces := shared(corners)
	var b strings.Builder
	b.WriteString("<mesh><vertices>\n")
	for _, p := range points {
		fmt.Fprintf(&b, "<vertex x=\"%s\" y=\"%s\" z=\"%s\"/>\n", number(p[0]), number(p[1]), number(p[2]))
	}
	b.WriteString("</vertices><triangles>\n")
	for _, f := range faces {
		fmt.Fprintf(&b, "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>\n", f[0], f[1], f[2])
	}
	return b.String() + "</triangles></mesh>"
}

// object3MF writes an object with a mesh.
func object3MF(id int, attrs string, corners []mesh.Point) string {
	return fmt.Sprintf("<object id=\"%d\"%s>%s</object>\n", id, attrs, mesh3MF(corners))
}

func write3MF(corners []mesh.Point) []byte {
	return pack3MF(model3MF(object3MF(1, "", corners), "<item objectid=\"1\"/>\n"))
}

// amfText writes an AMF with one object.
func amfText(corners []mesh.Point) string {
	points, faces := shared(corners)
	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<amf unit=\"millimeter\" version=\"1.1\">\n<object id=\"0\"><mesh><vertices>\n")
	for _, p := range points {
		fmt.Fprintf(&b, "<vertex><coordinates><x>%s</x><y>%s</y><z>%s</z></coordinates></vertex>\n", number(p[0]), number(p[1]), number(p[2]))
	}
	b.WriteString("</vertices><volume>\n")
	for _, f := range faces {
		fmt.Fprintf(&b, "<triangle><v1>%d</v1><v2>%d</v2><v3>%d</v3></triangle>\n", f[0], f[1], f[2])
	}
	return b.String() + "</volume></mesh></object>\n</amf>\n"
}

func writeAMF(corners []mesh.Point) []byte { return []byte(amfText(corners)) }

func writePackedAMF(corners []mesh.Point) []byte {
	return writeZip(entry{"model.amf", amfText(corners)})
}

// shared numbers the points from 0. A point that a triangle uses twice is written twice:
// one format forbids to name it twice.
func shared(corners []mesh.Point) (points []mesh.Point, faces [][3]int) {
	known := map[mesh.Point]int{}
	for i := 0; i+2 < len(corners); i += 3 {
		var f [3]int
		for k, p := range corners[i : i+3] {
			at, ok := known[p]
			if !ok || k > 0 && at == f[k-1] || k > 1 && at == f[0] {
				at = len(points)
				points = append(points, p)
				known[p] = at
			}
			f[k] = at
		}
		faces = append(faces, f)
	}
	return points, faces
}
