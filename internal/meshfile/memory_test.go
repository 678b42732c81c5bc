package meshfile

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// allocated returns how many bytes reading takes; what was dropped on the way counts too.
func allocated(t *testing.T, name string, data []byte) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	parts, err := read(name, data)
	runtime.ReadMemStats(&after)
	require.NoError(t, err)
	require.NotEmpty(t, parts)
	return after.TotalAlloc - before.TotalAlloc
}

// TestMemoryStaysNearTheFilesSize holds that neither growing nor a hostile file takes
// more than a small multiple of what is needed. The worst that a file can ask for is a
// face of many corners, 2 bytes each: a triangle of 40 bytes for every one, and as much
// again to cut it.
func TestMemoryStaysNearTheFilesSize(t *testing.T) {
	ring := torus(120, 120)
	fan := append([]byte(square), 'f')
	fan = append(fan, bytes.Repeat([]byte(" 1"), 100_000)...)
	off := append([]byte("OFF\n4 1 0\n"+offSquare+"100000"), bytes.Repeat([]byte(" 1"), 100_000)...)
	for _, c := range []struct {
		name string
		data []byte
		most uint64
	}{
		{"a.stl", writeBinarySTL(ring), 4},
		{"b.stl", writeASCIISTL(ring), 2},
		{"c.obj", writeOBJ(ring), 6},
		{"d.obj", fan, 160},
		{"e.off", off, 160},
		{"f.ply", writeLittlePLY(ring), 6},
	} {
		taken := allocated(t, c.name, c.data)
		assert.Less(t, taken, c.most*uint64(len(c.data))+4*bufferSize, c.name)
		t.Logf("%s: %d bytes for a file of %d", c.name, taken, len(c.data))
	}
}

// TestMemoryStaysNearTheMesh holds that reading takes no more than three times what is
// handed over: three corners of 12 bytes for each triangle, and 4 bytes for its line.
func TestMemoryStaysNearTheMesh(t *testing.T) {
	ring := torus(300, 300)
	arrays := uint64(2 * 300 * 300 * (3*12 + 4))
	for _, f := range forms {
		taken := allocated(t, f.name, f.write(ring))
		assert.Less(t, taken, 3*arrays+4*bufferSize, f.name)
		t.Logf("%s: %.2f times the arrays", f.name, float64(taken)/float64(arrays))
	}
}

// hostile are small files that ask for much.
func hostile() map[string][]byte {
	zeros := strings.Repeat("0", 64<<20)
	copies := object3MF(1, "", tetra)
	for id := 2; id <= 12; id++ {
		ten := strings.Repeat(fmt.Sprintf("<component objectid=\"%d\"/>", id-1), 10)
		copies += fmt.Sprintf("<object id=\"%d\"><components>%s</components></object>\n", id, ten)
	}
	model := model3MF(object3MF(1, "", tetra), item1)
	parts := func(text string) []byte {
		return writeZipBy(zip.Store, entry{"_rels/.rels", relations("/a")}, entry{"a", text})
	}
	long := strings.Repeat("0123456789", 90_000)
	amf := amfText(tetra)
	return map[string][]byte{
		"names.3mf":      parts(model3MF(object3MF(1, " name=\""+long+"\"", tetra), strings.Repeat(item1, maxItems))),
		"numbers.3mf":    parts(model3MF(object3MF(1, "", tetra), strings.Repeat("<item objectid=\"1\" partnumber=\""+long[:9000]+"\"/>", maxItems))),
		"objects.3mf":    parts(model3MF(manyObjects(1<<20), item1)),
		"components.3mf": parts(model3MF(object3MF(1, "", tetra)+"<object id=\"2\"><components>"+strings.Repeat("<component objectid=\"1\"/>", 1<<20)+"</components></object>", item1)),
		"names.amf": []byte(strings.Replace(strings.ReplaceAll(amf, "id=\"0\"", "id=\""+long+"\""), "</amf>",
			"<constellation id=\"c\"><instance objectid=\""+long+"\"/></constellation><constellation id=\"d\">"+strings.Repeat("<instance objectid=\"c\"/>", 9_000)+"</constellation></amf>", 1)),
		"instances.amf": []byte(strings.Replace(amf, "</amf>", "<constellation id=\"c\">"+strings.Repeat("<instance objectid=\"0\"/>", 1<<20)+"</constellation></amf>", 1)),
		"objects.amf":   []byte(strings.Replace(amf, "</amf>", strings.ReplaceAll(manyObjects(1<<20), "><mesh/></object", "/")+"</amf>", 1)),
		"text.3mf":      pack3MF(strings.Replace(model, "<resources>", "<metadata name=\"a\">"+zeros+"</metadata><resources>", 1)),
		"tag.3mf":       pack3MF(strings.Replace(model, "<resources>", "<a b=\""+zeros+"\"/><resources>", 1)),
		"picture.3mf":   pack3MF(model, entry{"Metadata/thumbnail.png", zeros}),
		"copies.3mf":    pack3MF(model3MF(copies, "<item objectid=\"12\"/>")),
		"items.3mf":     pack3MF(model3MF(object3MF(1, "", tetra), strings.Repeat(item1, 1<<20))),
		"stored.3mf":    writeZipBy(zip.Store, entry{"_rels/.rels", relations("/a")}, entry{"a", model3MF(object3MF(1, "", tetra), strings.Repeat(item1, 1<<20))}),
		"plain.amf":     []byte(strings.Replace(amfText(tetra), "<x>", "<x>"+zeros, 1)),
		"number.amf":    writeZip(entry{"a.amf", strings.Replace(amfText(tetra), "<x>", "<x>"+zeros, 1)}),
		"claims.ply":    []byte("ply\nformat binary_little_endian 1.0\nelement vertex 4000000000\nproperty char x\nproperty char y\nproperty char z\nend_header\n"),
		"list.ply":      []byte("ply\nformat binary_little_endian 1.0\nelement vertex 1\nproperty char x\nproperty char y\nproperty char z\nelement face 1\nproperty list uint char vertex_index\nend_header\n\x00\x00\x00\xff\xff\xff\xff"),
		"claims.off":    []byte("OFF\n2000000000 2000000000 0\n0 0 0\n"),
		"claims.stl":    append(make([]byte, 80), 0xff, 0xff, 0xff, 0xff, 0),
		"oneword.obj":   []byte("v " + zeros),
		"backslash.obj": []byte(strings.Repeat("\\\n", 1<<20)),
	}
}

// manyObjects are objects without anything in them.
func manyObjects(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "<object id=\"%d\"><mesh/></object>", i+2)
	}
	return b.String()
}

const (
	childFile = "PRINTLINT_TEST_FILE"
	childMost = 200 << 20
)

// TestHostileFilesInAProcessOfTheirOwn reads each in a process that reports all the memory
// it ever had from the system: what was taken and given back at once would not show here.
func TestHostileFilesInAProcessOfTheirOwn(t *testing.T) {
	if name := os.Getenv(childFile); name != "" {
		f, err := Open(name)
		require.NoError(t, err)
		parts, err := Read(name, f, Options{})
		for i := range parts {
			err = parts[i].Load()
		}
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		fmt.Printf("child %d %v\n", m.Sys, err)
		return
	}
	files := hostile()
	require.Len(t, files, 21)
	for name, data := range files {
		path := t.TempDir() + "/" + name
		require.NoError(t, os.WriteFile(path, data, 0o600))
		cmd := exec.Command(os.Args[0], "-test.run", "^TestHostileFilesInAProcessOfTheirOwn$")
		cmd.Env = append(os.Environ(), childFile+"="+path)
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
		words := strings.Fields(string(out[bytes.Index(out, []byte("child")):]))
		sys, err := strconv.ParseUint(words[1], 10, 64)
		require.NoError(t, err)
		assert.Less(t, sys, uint64(childMost)+uint64(len(data)), name)
		t.Logf("%s of %d bytes: %d MB, %s", name, len(data), sys>>20, strings.Join(words[2:min(len(words), 16)], " "))
	}
}
