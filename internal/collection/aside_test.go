package collection

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sidecar is a file that one system keeps beside another, of size bytes.
func sidecar(size int) string {
	b := []byte{0, 5, 0x16, 7, 0, 2, 0, 0}
	b = append(b, make([]byte, 16)...)
	b = binary.BigEndian.AppendUint16(b, 1)
	for _, v := range []uint32{9, 38, uint32(size - 38)} {
		b = binary.BigEndian.AppendUint32(b, v)
	}
	return string(append(b, make([]byte, size-38)...))
}

// TestFilesBesideOthers holds that a name that begins with ._ hides no model.
func TestFilesBesideOthers(t *testing.T) {
	both := []byte(sidecar(84 + 50))
	binary.LittleEndian.PutUint32(both[80:], 1) // a whole binary STL of one triangle as well
	past := []byte(sidecar(100))
	past[37] = 200
	for name, c := range map[string]struct {
		data string
		skip bool
	}{
		"beside": {sidecar(4096), true}, "model": {"solid a", false}, "both": {string(both), false}, "past its end": {string(past), false},
		"cut": {sidecar(100)[:30], false}, "empty": {"", false}, "no entries": {sidecar(100)[:24] + string(make([]byte, 60)), false},
	} {
		files := shelf(t, map[string]string{"._a.stl": c.data, "a.stl": "a"})
		require.Equal(t, []string{"._a.stl", "a.stl"}, paths(files))
		assert.Equal(t, c.skip, files[0].Skip != "", name)
	}
}
