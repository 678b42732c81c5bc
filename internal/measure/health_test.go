package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// without leaves triangles out.
func without(s *mesh.Triangles, tris ...int) *mesh.Triangles {
	out := &mesh.Triangles{}
	for i := range s.Count() {
		gone := false
		for _, t := range tris {
			gone = gone || t == i
		}
		if !gone {
			out.Corners = append(out.Corners, s.Corners[3*i:3*i+3]...)
		}
	}
	return out
}

func one(s *mesh.Triangles, tri int) *mesh.Triangles {
	return &mesh.Triangles{Corners: s.Corners[3*tri : 3*tri+3]}
}

// faultsOf names the faults of each site with their counts.
func faultsOf(t *testing.T, r Result) (list []map[string]float64) {
	t.Helper()
	for _, s := range r.Sites {
		f := map[string]float64{}
		for i, v := range Mesh.def.Values {
			if s.Values[i] != 0 && v.Name != "length" {
				f[v.Name] = s.Values[i]
			}
		}
		require.Len(t, f, 1, "a site has one kind of fault")
		list = append(list, f)
	}
	return list
}

func TestSoundSurfacesHaveNoSite(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"cube": shapes.Cube(20), "torus": shapes.Torus(10, 3, 48, 24), "gyroid": shapes.Gyroid(16),
		"cavity": shapes.HollowBox(20, 2), "two bodies apart": shapes.Join(shapes.Cube(5), shapes.Move(shapes.Cube(5), shapes.Vec{X: 9})),
	} {
		r := take(t, soup, "mesh")
		assert.Empty(t, r.Sites, name)
		assert.Empty(t, r.Undecided, name)
	}
}

// Bodies that touch may share edges, but they neither cross nor gape.
func TestTouchingIsNotCrossing(t *testing.T) {
	r := take(t, shapes.TTouching(), "mesh")
	for _, f := range faultsOf(t, r) {
		assert.NotContains(t, f, "crossing")
		assert.NotContains(t, f, "open")
	}
}

func TestModelValuesOfACube(t *testing.T) {
	r := take(t, shapes.Cube(20), "mesh")
	want := map[string]float64{"triangles": 12, "shells": 1, "area": 2400, "volume": 8000}
	for i, v := range Mesh.def.Model {
		assert.InDelta(t, want[v.Name], r.Model[i], 1e-9, v.Name)
	}
}

func TestEachFaultIsItsOwnSite(t *testing.T) {
	cube, far := shapes.Cube(10), shapes.Move(shapes.Cube(10), shapes.Vec{X: 30})
	ball := shapes.Icosphere(10, 2)
	for _, c := range []struct {
		name string
		soup *mesh.Triangles
		want []map[string]float64
	}{
		{"hole", without(cube, 3), []map[string]float64{{"open": 3}}},
		{"two holes far apart", without(ball, 0, 150), []map[string]float64{{"open": 3}, {"open": 3}}},
		{"two bodies with a hole each", shapes.Join(without(cube, 0), without(far, 0)), []map[string]float64{{"open": 3}, {"open": 3}}},
		{"a triangle turned over", shapes.Join(without(cube, 3), shapes.Flip(one(cube, 3))), []map[string]float64{{"reversed": 3}}},
		{"a triangle twice", shapes.Join(cube, one(cube, 3), one(cube, 7)), []map[string]float64{{"duplicate": 2}}},
		{"inside out", shapes.Join(far, shapes.Flip(cube)), []map[string]float64{{"inside_out": 1}}},
		{"a cavity is no fault", shapes.Join(shapes.Cube(20), shapes.Flip(shapes.Move(cube, shapes.Vec{X: 5, Y: 5, Z: 5}))), nil},
		{"all inside out with its cavity", shapes.Flip(shapes.HollowBox(20, 3)), []map[string]float64{{"inside_out": 1}}},
		{"along an edge", shapes.CubesAtEdge(), []map[string]float64{{"crowded": 1}}},
		{"at a corner", shapes.CubesAtCorner(), nil},
	} {
		assert.Equal(t, c.want, faultsOf(t, take(t, c.soup, "mesh")), c.name)
	}
}

func TestHoleIsPlacedAndMeasured(t *testing.T) {
	// Both triangles of the top: the rim of the hole is the outline of the top.
	cube := shapes.Cube(10)
	var top []int
	for i := range cube.Count() {
		if cube.Corners[3*i][2] == 10 && cube.Corners[3*i+1][2] == 10 && cube.Corners[3*i+2][2] == 10 {
			top = append(top, i)
		}
	}
	require.Len(t, top, 2)
	r := take(t, without(cube, top...), "mesh")
	require.Len(t, r.Sites, 1)
	s := r.Sites[0]
	assert.Equal(t, 4., value(t, "mesh", s, "open"))
	assert.InDelta(t, 40, value(t, "mesh", s, "length"), 1e-9)
	assert.Equal(t, shapes.Vec{X: 5, Y: 5, Z: 10}, s.At)
	assert.Equal(t, mesh.Box{Min: shapes.Vec{Z: 10}, Max: shapes.Vec{X: 10, Y: 10, Z: 10}}, s.Box)
	assert.Len(t, s.Tris, 4, "the four triangles around it")
}

func TestCrossingBodies(t *testing.T) {
	r := take(t, shapes.TOverlapping(), "mesh")
	require.NotEmpty(t, r.Sites)
	assert.Positive(t, worst(t, "mesh", r, "crossing"))
	none := take(t, shapes.FloatingCube(), "mesh")
	assert.Empty(t, none.Sites)
}

func TestZeroTriangles(t *testing.T) {
	flat := &mesh.Triangles{Corners: []mesh.Point{{1, 1, 1}, {2, 2, 2}, {3, 3, 3}, {7, 7, 7}, {7, 7, 7}, {8, 8, 8}}}
	r := take(t, shapes.Join(shapes.Cube(20), flat), "mesh")
	assert.Equal(t, 2., worst(t, "mesh", r, "zero"))
}

// The lists stay bounded whatever the file holds.
func TestListsAreBounded(t *testing.T) {
	many := &mesh.Triangles{}
	for i := range 2000 {
		x := float32(i)
		many.Corners = append(many.Corners, mesh.Point{x, 0, 0}, mesh.Point{x + 1, 0, 0}, mesh.Point{x, 1, 1})
	}
	r := take(t, many, "mesh")
	for _, s := range r.Sites {
		assert.LessOrEqual(t, len(s.Tris), MaxTris)
	}
	assert.Equal(t, 6000., worst(t, "mesh", r, "open"), "they hang together at their corners")
}

// Every shell that is inside out is a site with its own triangles, and a file may hold
// nothing else: looked for one by one, those of this one take minutes.
func TestManyShellsInsideOut(t *testing.T) {
	const shells = 150_000
	topo := &mesh.Topology{Shells: make([]mesh.Shell, shells)}
	inverted := make([]uint32, shells)
	for i := range inverted {
		inverted[i] = uint32(i)
		topo.Shell = append(topo.Shell, uint32(i), mesh.None, uint32(i))
	}
	var h collector
	h.shells(topo, inverted)
	require.Len(t, h.sites, shells)
	assert.Equal(t, []uint32{3 * 7, 3*7 + 2}, h.sites[7].Tris)
	assert.EqualValues(t, shells, h.model.InsideOut)
}
