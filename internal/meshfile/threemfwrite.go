package meshfile

import (
	"archive/zip"
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"

	"printlint/internal/mesh"
)

// Named is one of several models in a file.
type Named struct {
	Name string
	Mesh *mesh.Mesh
}

// The parts of a 3MF that stay the same, by the core specification 1.4 and the packaging
// conventions that it builds on.
const (
	typesPart = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
`
	relsPart = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>
`
	modelHead = `<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
`
)

// Write3MF writes models as a 3MF in millimetres, each an object of its own that stands
// where its corners say. The same models give the same bytes.
func Write3MF(w io.Writer, models []Named) error {
	z := zip.NewWriter(w)
	for _, part := range []struct {
		name  string
		write func(*bufio.Writer)
	}{
		{"[Content_Types].xml", func(b *bufio.Writer) { b.WriteString(typesPart) }},
		{"_rels/.rels", func(b *bufio.Writer) { b.WriteString(relsPart) }},
		{"3D/3dmodel.model", func(b *bufio.Writer) { writeModel(b, models) }},
	} {
		out, err := z.Create(part.name)
		if err != nil {
			return fmt.Errorf("writing 3MF: %w", err)
		}
		b := bufio.NewWriter(out)
		part.write(b)
		if err := b.Flush(); err != nil {
			return fmt.Errorf("writing 3MF: %w", err)
		}
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("writing 3MF: %w", err)
	}
	return nil
}

// writeModel writes the part that holds the models. Errors wait in the writer until Flush.
func writeModel(b *bufio.Writer, models []Named) {
	b.WriteString(modelHead + "<resources>\n")
	for i, m := range models {
		fmt.Fprintf(b, `<object id="%d" type="model" name="`, i+1)
		_ = xml.EscapeText(b, []byte(m.Name))
		b.WriteString("\"><mesh><vertices>\n")
		for _, v := range m.Mesh.Verts {
			fmt.Fprintf(b, "<vertex x=\"%s\" y=\"%s\" z=\"%s\"/>\n", shortest(v[0]), shortest(v[1]), shortest(v[2]))
		}
		b.WriteString("</vertices><triangles>\n")
		for _, t := range m.Mesh.Tris {
			fmt.Fprintf(b, "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>\n", t[0], t[1], t[2])
		}
		b.WriteString("</triangles></mesh></object>\n")
	}
	b.WriteString("</resources>\n<build>\n")
	for i := range models {
		fmt.Fprintf(b, "<item objectid=\"%d\"/>\n", i+1)
	}
	b.WriteString("</build>\n</model>\n")
}

// shortest is the shortest decimal that reads back as the same 32-bit number.
func shortest(x float32) string { return strconv.FormatFloat(float64(x), 'f', -1, 32) }
