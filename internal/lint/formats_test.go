package lint

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// table is a body as formats with shared points keep it.
type table struct {
	points []mesh.Point
	faces  [][3]int
}

func tableOf(s *mesh.Triangles) (t table) {
	m := mesh.Weld(s)
	t.points = m.Verts
	for _, f := range m.Tris {
		t.faces = append(t.faces, [3]int{int(f[0]), int(f[1]), int(f[2])})
	}
	return t
}

// rows writes a line for every point and every face.
func (t table) rows(point, face string) (points, faces string) {
	var a, b strings.Builder
	for _, p := range t.points {
		fmt.Fprintf(&a, point, p[0], p[1], p[2])
	}
	for _, f := range t.faces {
		fmt.Fprintf(&b, face, f[0], f[1], f[2])
	}
	return a.String(), b.String()
}

func (t table) off() []byte {
	points, faces := t.rows("%v %v %v\n", "3 %d %d %d\n")
	return fmt.Appendf(nil, "OFF\n%d %d 0\n%s%s", len(t.points), len(t.faces), points, faces)
}

func (t table) ply(format string) []byte {
	head := fmt.Sprintf("ply\nformat %s 1.0\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n"+
		"element face %d\nproperty list uchar int vertex_indices\nend_header\n", format, len(t.points), len(t.faces))
	if format == "ascii" {
		points, faces := t.rows("%v %v %v\n", "3 %d %d %d\n")
		return []byte(head + points + faces)
	}
	var order binary.AppendByteOrder = binary.LittleEndian
	if format == "binary_big_endian" {
		order = binary.BigEndian
	}
	b, _ := binary.Append([]byte(head), order.(binary.ByteOrder), t.points)
	for _, f := range t.faces {
		b = append(b, 3)
		for _, i := range f {
			b = order.AppendUint32(b, uint32(i))
		}
	}
	return b
}

func (t table) amf() string {
	points, faces := t.rows("<vertex><coordinates><x>%v</x><y>%v</y><z>%v</z></coordinates></vertex>\n",
		"<triangle><v1>%d</v1><v2>%d</v2><v3>%d</v3></triangle>\n")
	return "<amf unit=\"millimeter\">\n<object id=\"1\"><mesh><vertices>\n" + points + "</vertices><volume>\n" + faces + "</volume></mesh></object></amf>\n"
}

// threeMF writes the body as the object 1, and a build of items.
func (t table) threeMF(unit, items string) []byte {
	points, faces := t.rows("<vertex x=\"%v\" y=\"%v\" z=\"%v\"/>\n", "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>\n")
	model := "<model unit=\"" + unit + "\" xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"><resources>\n" +
		"<object id=\"1\"><mesh><vertices>\n" + points + "</vertices><triangles>\n" + faces + "</triangles></mesh></object>\n" +
		"<object id=\"2\"><components><component objectid=\"1\" transform=\"-1 0 0 0 1 0 0 0 1 0 0 0\"/></components></object>\n" +
		"</resources><build>" + items + "</build></model>"
	rels := `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="a" ` +
		`Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>`
	return zipped("[Content_Types].xml", "<Types/>", "_rels/.rels", rels, "3D/3dmodel.model", model)
}

// zipped packs names and contents in turn.
func zipped(files ...string) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		e, err := w.Create(files[i])
		if err == nil {
			_, err = e.Write([]byte(files[i+1]))
		}
		if err != nil {
			panic(err)
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// TestSameInEveryFormat holds that a shape has the same findings, values and fingerprints
// whatever it is stored in, and that what a 3MF says of it in other words counts: another
// unit, a mirror image of a mirror image, a place on the bed.
func TestSameInEveryFormat(t *testing.T) {
	config := load(t, hangRules)
	for name, body := range lawBodies {
		want := check(t, config, Options{Jobs: 1}, model(t, "m.stl", body)).Models[0]
		require.NotEmpty(t, want.Findings, name)
		as := tableOf(body)
		mirror := tableOf(shapes.Mirror(body))
		for _, f := range []struct {
			path string
			data []byte
		}{
			{"m.ply", as.ply("ascii")},
			{"m.ply", as.ply("binary_little_endian")},
			{"m.ply", as.ply("binary_big_endian")},
			{"m.off", as.off()},
			{"m.amf", []byte(as.amf())},
			{"m.amf", zipped("m.amf", as.amf())},
			{"m.3mf", as.threeMF("millimeter", `<item objectid="1"/>`)},
			{"m.3mf", as.threeMF("millimeter", `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 40 60 0"/>`)},
			{"m.3mf", as.threeMF("millimeter", `<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 0 0 7"/>`)},
			{"m.3mf", mirror.threeMF("millimeter", `<item objectid="2"/>`)},
			{"m.3mf", as.threeMF("centimeter", `<item objectid="1" transform="0.1 0 0 0 0.1 0 0 0 0.1 0 0 0"/>`)},
		} {
			got := check(t, config, Options{Jobs: 1}, fileOf(f.path, f.data)).Models[0]
			require.Equal(t, finding.Checked, got.Status, got.Reason)
			assert.Equal(t, stamps(&want), stamps(&got), "%s, %s", name, got.Kind)
			for i := range got.Findings {
				binaryFile := got.Kind == "ply" && bytes.Contains(f.data[:40], []byte("binary"))
				assert.Equal(t, binaryFile, got.Findings[i].Bytes != nil, got.Kind)
				assert.Equal(t, binaryFile, got.Findings[i].Line == 0, got.Kind)
			}
		}
	}
}

// TestItemsAreModels holds how the models of one file are told apart, and that a broken
// one does not stop the others.
func TestItemsAreModels(t *testing.T) {
	data := tableOf(shapes.T()).threeMF("millimeter",
		`<item objectid="1"/><item objectid="9"/><item objectid="2" partnumber="left"/>`)
	r := check(t, load(t, hangRules), Options{Jobs: 1}, fileOf("plate.3mf", data))
	require.Len(t, r.Models, 3)
	got := map[string]finding.Status{}
	for i := range r.Models {
		assert.Equal(t, "plate.3mf!/3D/3dmodel.model", r.Models[i].Path)
		got[r.Models[i].Part] = r.Models[i].Status
	}
	assert.Equal(t, map[string]finding.Status{"item 1": finding.Checked, "item 2": finding.Unreadable, "left": finding.Checked}, got)
	assert.Equal(t, 2, Exit(r, finding.Error))
}

// slow reads as an endless file of stored zeros does.
type slow struct{ inMemory }

func (s slow) ReadAt(p []byte, off int64) (int, error) {
	time.Sleep(time.Millisecond)
	return s.inMemory.ReadAt(p, off)
}

// TestReadingIsWork holds that the limit counts while a file is still read.
func TestReadingIsWork(t *testing.T) {
	line := []byte("v 0 0 0\n")
	file := collection.New("a.obj", "a.obj", 1, func() (collection.Content, error) {
		return slow{inMemory{bytes.NewReader(bytes.Repeat(line, 8<<20))}}, nil
	})
	r := check(t, load(t, hangRules), Options{Jobs: 1, TimeLimit: 50 * time.Millisecond}, file)
	assert.Equal(t, finding.Undecided, r.Models[0].Status)
	assert.Contains(t, r.Models[0].Reason, "not judged within the limit of 50ms of work")
}

// TestPointersAreSaidOrSkipped holds what is said of content that git LFS did not fetch,
// whatever the file should have been.
func TestPointersAreSaidOrSkipped(t *testing.T) {
	pointer := "version https://git-lfs.github.com/spec/v1\noid sha256:" + strings.Repeat("4d7a2146", 8) + "\nsize 12345\n"
	old := strings.Replace(pointer, "git-lfs.github.com", "hawser.github.com", 1)
	for _, name := range []string{"a.stl", "a.obj", "a.ply", "a.off", "a.amf", "a.3mf", "a.zip"} {
		for _, text := range []string{pointer, old} {
			files := collection.Unpack([]collection.File{fileOf(name, []byte(text))}, nil)
			r := check(t, load(t, hangRules), Options{Jobs: 1}, files...)
			require.Len(t, r.Models, 1)
			assert.Equal(t, finding.Unreadable, r.Models[0].Status)
			assert.Equal(t, "this is a git LFS pointer, the model itself was not fetched; run git lfs pull", r.Models[0].Reason, name)
			r = check(t, load(t, hangRules+"models: {lfs: skip}\n"), Options{Jobs: 1}, files...)
			assert.Equal(t, finding.Skipped, r.Models[0].Status, name)
			assert.Equal(t, 0, Exit(r, finding.Error))
		}
		files := collection.Unpack([]collection.File{fileOf(name, []byte(pointer+"\n"))}, nil)
		r := check(t, load(t, hangRules+"models: {lfs: skip}\n"), Options{Jobs: 1}, files...)
		assert.Equal(t, finding.Unreadable, r.Models[0].Status, "one byte more is no pointer")
		assert.Equal(t, 2, Exit(r, finding.Error))
	}
}

// TestUnitsOfFormatsThatHaveNone holds that a model in inches is read in inches where the
// configuration says so, in a pack too, and that a format with a unit keeps its own.
func TestUnitsOfFormatsThatHaveNone(t *testing.T) {
	small := shapes.Scale(shapes.T(), 1/25.4)
	as := tableOf(small)
	config := load(t, hangRules+"models: {unit: mm}\nplaces:\n  - paths: [\"inches/**\", \"in.zip\"]\n    unit: in\n")
	pack := zipped("t.off", string(as.off()), "t.amf", as.amf(), "t.3mf", string(as.threeMF("inch", `<item objectid="1"/>`)))
	files := collection.Unpack([]collection.File{
		fileOf("inches/t.ply", as.ply("binary_big_endian")), fileOf("inches/t.3mf", as.threeMF("inch", `<item objectid="1"/>`)),
		fileOf("inches/t.off", as.off()), fileOf("t.off", as.off()), fileOf("in.zip", pack), fileOf("mm.zip", pack),
	}, nil)
	want := check(t, config, Options{Jobs: 1}, model(t, "t.stl", shapes.T())).Models[0]
	require.NotEmpty(t, want.Findings)
	r := check(t, config, Options{Jobs: 1}, files...)
	inches := map[string]bool{}
	for i := range r.Models {
		require.Equal(t, finding.Checked, r.Models[i].Status, r.Models[i].Reason)
		inches[r.Models[i].Path] = len(r.Models[i].Findings) > 0
		if inches[r.Models[i].Path] {
			assert.Equal(t, stamps(&want), stamps(&r.Models[i]), r.Models[i].Path)
		}
	}
	assert.Equal(t, map[string]bool{
		"inches/t.ply": true, "inches/t.3mf!/3D/3dmodel.model": true, "inches/t.off": true, "t.off": false,
		"in.zip!/t.off": true, "in.zip!/t.amf": false, "in.zip!/t.3mf!/3D/3dmodel.model": true,
		"mm.zip!/t.off": false, "mm.zip!/t.amf": false, "mm.zip!/t.3mf!/3D/3dmodel.model": true,
	}, inches)
}
