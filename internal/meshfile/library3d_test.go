package meshfile

import (
	"bytes"
	"errors"
	"io"
	"math"
	"path"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/unixpickle/model3d/fileformats"
	"github.com/unixpickle/model3d/model3d"

	"printlint/internal/mesh"
)

// The formats that github.com/unixpickle/model3d reads or writes are compared with it.

func triangles3D(corners []mesh.Point) (out []*model3d.Triangle) {
	at := func(p mesh.Point) model3d.Coord3D {
		return model3d.XYZ(float64(p[0]), float64(p[1]), float64(p[2]))
	}
	for i := 0; i < len(corners); i += 3 {
		out = append(out, &model3d.Triangle{at(corners[i]), at(corners[i+1]), at(corners[i+2])})
	}
	return out
}

// sameTriangles compares triangles in any order, which the library's maps do not keep, and
// with as many digits as it writes.
func sameTriangles(t *testing.T, want, got []mesh.Point, digits float64) {
	t.Helper()
	count := func(corners []mesh.Point) map[[9]int]int {
		out := map[[9]int]int{}
		for i := 0; i < len(corners); i += 3 {
			var key [9]int
			for k := range 9 {
				key[k] = int(math.Round(float64(corners[i+k/3][k%3]) * digits))
			}
			out[key]++
		}
		return out
	}
	assert.Equal(t, count(want), count(got))
}

func TestWhatTheOtherLibraryWrites(t *testing.T) {
	ring := torus(23, 11)
	var ply, threeMF bytes.Buffer
	require.NoError(t, model3d.WritePLY(&ply, triangles3D(ring), func(model3d.Coord3D) [3]uint8 { return [3]uint8{1, 2, 3} }))
	require.NoError(t, model3d.Write3MF(&threeMF, fileformats.ThreeMFUnitCentimeter, triangles3D(ring)))
	sameTriangles(t, ring, readOne(t, "a.ply", ply.String()).Triangles.Corners, 1000)
	ten := make([]mesh.Point, len(ring))
	for i, p := range ring {
		ten[i] = scaled(p, 10)
	}
	p := readOne(t, "a.3mf", threeMF.String())
	sameTriangles(t, ten, p.Triangles.Corners, 100)
	assert.Equal(t, "3mf", p.Kind)
}

// TestPLYAsTheOtherLibrary reads every fixture's tables with the library and puts the
// faces together from them.
func TestPLYAsTheOtherLibrary(t *testing.T) {
	seen := 0
	for _, f := range tables() {
		if path.Ext(f.name) != ".ply" || f.name == "cr.ply" || f.name == "crlf.ply" || f.name == "more.ply" {
			continue // it reads one kind of line end, and no remarks of the old kind
		}
		seen++
		r, err := fileformats.NewPLYReader(bytes.NewReader([]byte(f.data)))
		require.NoError(t, err, f.name)
		var points, corners []mesh.Point
		for {
			row, element, err := r.Read()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, f.name)
			switch element.Name {
			case "vertex":
				points = append(points, mesh.Point{number3D(t, row[0]), number3D(t, row[1]), number3D(t, row[2])})
			case "face":
				list := row[0].(fileformats.PLYValueList).Values
				for k := 2; k < len(list); k++ {
					for _, i := range []int{0, k - 1, k} {
						corners = append(corners, points[int(number3D(t, list[i]))])
					}
				}
			case "tristrips":
				var strip []mesh.Point
				for _, v := range row[0].(fileformats.PLYValueList).Values {
					if i := int(number3D(t, v)); i >= 0 {
						strip = append(strip, points[i])
					} else {
						strip = nil
					}
					if n := len(strip); n > 2 && n%2 == 1 {
						corners = append(corners, strip[n-3], strip[n-2], strip[n-1])
					} else if n > 2 {
						corners = append(corners, strip[n-2], strip[n-3], strip[n-1])
					}
				}
			}
		}
		assert.Equal(t, corners, readOne(t, f.name, f.data).Triangles.Corners, f.name)
	}
	assert.Equal(t, 5, seen)
}

func number3D(t *testing.T, v fileformats.PLYValue) float32 {
	x, err := strconv.ParseFloat(v.EncodeString(), 32)
	require.NoError(t, err)
	return float32(x)
}

func TestOFFAsTheOtherLibrary(t *testing.T) {
	ring := torus(23, 11)
	data := writeOFF(ring)
	tris, err := model3d.ReadOFF(bytes.NewReader(bytes.Replace(data, []byte("# made for a test\n"), nil, 1)))
	require.NoError(t, err)
	got := readOne(t, "a.off", string(data)).Triangles.Corners
	require.Len(t, got, 3*len(tris))
	for i, tri := range tris {
		for k, c := range tri {
			assert.Equal(t, mesh.Point{float32(c.X), float32(c.Y), float32(c.Z)}, got[3*i+k])
		}
	}
}
