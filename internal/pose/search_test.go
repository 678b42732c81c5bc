package pose

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// candidates are those of a mesh whose undersides hang past 45 degrees.
func candidates(t testing.TB, m *mesh.Mesh) []Candidate {
	list, err := Candidates(context.Background(), m, 45)
	require.NoError(t, err)
	return list
}

func TestCandidatesOfACube(t *testing.T) {
	list := candidates(t, mesh.Weld(shapes.Cube(20)))
	require.Greater(t, len(list), 150)
	assert.Equal(t, Down, list[0].Down, "as it lies comes first")
	assert.Equal(t, AsItLies, list[0].Origin)
	resting := 0
	for _, c := range list {
		if c.Contact > 0 {
			resting++
			assert.InDelta(t, 400, c.Contact, 1e-6)
			assert.InDelta(t, 45, c.Tip, 1e-6)
		}
		assert.InDelta(t, 1, c.Down.Len(), 1e-9)
	}
	assert.Equal(t, 6, resting)
	for i := range list {
		for k := range i {
			assert.Less(t, list[i].Down.Dot(list[k].Down), math.Cos(0.99*math.Pi/180), "two ways up are one")
		}
	}
}

// TestCandidatesDoNotDependOnTheMesh: the order of triangles, their splitting and the
// place of the model change nothing.
func TestCandidatesDoNotDependOnTheMesh(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{"T": shapes.T(), "hook": shapes.Hook(), "table": shapes.Table()} {
		want := names(candidates(t, mesh.Weld(solid)))
		assert.Equal(t, want, names(candidates(t, mesh.Weld(solid))), "%s again", name)
		assert.Equal(t, want, names(candidates(t, mesh.Weld(shapes.Shuffle(solid, 3)))), "%s shuffled", name)
		assert.Equal(t, want, names(candidates(t, mesh.Weld(shapes.Split4(solid)))), "%s split", name)
		assert.Equal(t, want, names(candidates(t, mesh.Weld(shapes.Move(solid, shapes.Vec{X: 64, Y: -32, Z: 16})))), "%s moved", name)
	}
}

// names describes the candidates that rest on a face.
func names(list []Candidate) []string {
	var out []string
	for _, c := range list {
		if c.Contact > 1 {
			out = append(out, fmt.Sprintf("%.3f contact %.1f hang %.1f", c.Down, c.Contact, c.Hang))
		}
	}
	return out
}

// TestRefiningFindsTheLeastAir: two level wings print tilted by 45 degrees.
func TestRefiningFindsTheLeastAir(t *testing.T) {
	wing := mesh.Weld(shapes.Box(shapes.Vec{X: -40, Y: -15, Z: 0}, shapes.Vec{X: 40, Y: 15, Z: 3}))
	s := newSurface(wing, 45, new(work.Tally))
	d := s.descend(mesh.Vec{Y: 0.3, Z: -1}.Unit())
	assert.Less(t, s.score(d, Refined).Air, 1.0)
	for _, c := range candidates(t, mesh.Weld(shapes.Winged())) {
		if c.Origin == Refined && c.Hang < 400 {
			return
		}
	}
	t.Error("no tilted way up has its wings within 45 degrees")
}

// TestGivenIsBesideTheModelAsItLies, or alone where it is that.
func TestGivenIsBesideTheModelAsItLies(t *testing.T) {
	m := mesh.Weld(shapes.T())
	list, err := Given(context.Background(), m, mesh.Vec{Z: 1}, 45)
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, mesh.Vec{Z: 1}, list[0].Down)
	assert.Equal(t, AsItLies, list[1].Origin)
	list, err = Given(context.Background(), m, Down, 45)
	require.NoError(t, err)
	assert.Len(t, list, 1, "as it lies is one way up, not two")
}

// TestCandidatesStopWhenToldTo, by a signal or by the limit of work.
func TestCandidatesStopWhenToldTo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	m := mesh.Weld(shapes.T())
	_, err := Candidates(ctx, m, 45)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Candidates(work.Start(context.Background(), 1), m, 45)
	assert.ErrorIs(t, err, work.ErrLimit)
}

// TestFlatAndTinyMeshesAreSearched: nothing to stand on is no reason to fail.
func TestFlatAndTinyMeshesAreSearched(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"sheet":    {Corners: []mesh.Point{{0, 0, 0}, {9, 0, 0}, {0, 9, 0}}},
		"point":    {Corners: []mesh.Point{{1, 1, 1}, {1, 1, 1}, {1, 1, 1}}},
		"tiny":     shapes.Scale(shapes.Cube(1), 1e-4),
		"huge":     shapes.Scale(shapes.T(), 1e4),
		"far away": shapes.Move(shapes.T(), shapes.Vec{X: 1e5}),
	} {
		for _, c := range candidates(t, mesh.Weld(soup)) {
			require.False(t, math.IsNaN(c.Air+c.Hang+c.Contact+c.Tip+c.Height+c.Down.X), "%s: %+v", name, c)
		}
	}
}

// BenchmarkCandidates scores every way up of a bumpy ball of 328,000 triangles.
func BenchmarkCandidates(b *testing.B) {
	m := mesh.Weld(shapes.NoisyBall(30, 1, 7, 1))
	n := 0
	for b.Loop() {
		n += len(candidates(b, m))
	}
	b.ReportMetric(float64(n)/float64(b.N), "candidates")
}

// TestPickTakesBoth what rests on a face and what hangs least, each direction once.
func TestPickTakesBoth(t *testing.T) {
	m := mesh.Weld(shapes.Winged())
	list := candidates(t, m)
	chosen := Pick(list[1:], 10)
	require.Len(t, chosen, 10)
	resting := 0
	for i, c := range chosen {
		if c.Contact >= restsFrom && c.Tip > 0 {
			resting++
		}
		for _, k := range chosen[:i] {
			assert.NotEqual(t, k.Down, c.Down)
		}
	}
	assert.GreaterOrEqual(t, resting, 3, "its four edges are faces it can stand on")
	assert.Less(t, resting, 10)
	assert.Len(t, Pick(list[:3], 10), 3, "no more than there are")
	assert.Empty(t, Pick(nil, 4))
}

// TestPickLooksAtTheLargestFacesAndTheAxes, though less hangs above eight sides and many edges, and
// once at sides that come to the same.
func TestPickLooksAtTheLargestFacesAndTheAxes(t *testing.T) {
	for _, n := range []int{9, 12, 16} {
		list := candidates(t, mesh.Weld(shapes.GroovedBar(20)))
		chosen := Pick(list[1:], n)
		require.Len(t, chosen, n)
		sides, ends, axial := 0, 0, 0
		for i := range chosen {
			c := &chosen[i]
			if c.axial() {
				axial++
			}
			switch {
			case c.Contact > 600:
				ends++
			case c.rests():
				sides++
			}
		}
		assert.Equal(t, 2, ends)
		assert.Equal(t, 5, axial, "the sixth is as it lies")
		assert.Equal(t, 1, sides)
	}
}

// TestPickTakesFacesBeforeEdges, and of a face and its leans the face.
func TestPickTakesFacesBeforeEdges(t *testing.T) {
	var list []Candidate
	for i := range 8 { // a face and what lies beside it, edges, and another face above which more hangs
		list = append(list, Candidate{Down: Turning{Axis: 'x', Angle: 40 + 2*float64(i)}.Down(), Contact: 5 + float64(i), Tip: 3, Height: 30},
			Candidate{Down: Turning{Axis: 'y', Angle: 20 + 15*float64(i)}.Down(), Height: 30})
	}
	list = append(list, Candidate{Down: Turning{AboutZ: 40, Axis: 'x', Angle: 70}.Down(), Contact: 20, Tip: 9, Air: 4000, Hang: 300})
	chosen := Pick(list, 4)
	require.Len(t, chosen, 4)
	var contacts []float64
	for _, c := range chosen {
		contacts = append(contacts, c.Contact)
	}
	assert.Equal(t, []float64{0, 0, 12, 20}, contacts)
}

// TestFlatsAreTheLargeFaces, the largest first.
func TestFlatsAreTheLargeFaces(t *testing.T) {
	s := newSurface(mesh.Weld(shapes.Box(shapes.Vec{}, shapes.Vec{X: 40, Y: 20, Z: 10})), 45, new(work.Tally))
	flats := s.flats()
	require.Len(t, flats, 6)
	for i, want := range []float64{800, 800, 400, 400, 200, 200} {
		n := flats[i]
		assert.InDelta(t, want, math.Abs(800*n.Z)+math.Abs(400*n.Y)+math.Abs(200*n.X), 1e-6)
	}
	assert.Empty(t, newSurface(mesh.Weld(shapes.Cube(2)), 45, new(work.Tally)).flats(), "faces of 4 mm2 are not large")
}

// TestHollowNeverClimbs: tilting ends nowhere worse than it began.
func TestHollowNeverClimbs(t *testing.T) {
	for _, solid := range []*mesh.Triangles{shapes.Figure(), shapes.Hook(), shapes.Winged(), shapes.NoisyBall(20, 2, 3, 5)} {
		s := newSurface(mesh.Weld(solid), 45, new(work.Tally))
		for _, d := range spread(12) {
			assert.LessOrEqual(t, s.score(s.descend(d), Refined).Air, s.score(d, Spread).Air+1)
		}
	}
}

// TestMergingIsGeometry: a body cut into ever finer triangles rests on the same faces.
func TestMergingIsGeometry(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{"T": shapes.T(), "prism": shapes.Cylinder(10, 30, 12), "wedge": shapes.Wedge(30)} {
		var want []string
		for level := range 4 {
			var got []string
			for _, d := range newSurface(mesh.Weld(solid), 45, new(work.Tally)).rests() {
				got = append(got, fmt.Sprintf("%.3f", d.Add(mesh.Vec{X: 1e-9, Y: 1e-9, Z: 1e-9})))
			}
			slices.Sort(got)
			if level == 0 {
				want = got
			}
			assert.Equal(t, want, got, "%s cut %d times", name, level)
			solid = shapes.Split4(solid)
		}
	}
}

// TestASlightTurnLaysAPlateFlat: exported 0.4 deg askew, the exact face is a way up.
func TestASlightTurnLaysAPlateFlat(t *testing.T) {
	plate := shapes.Box(shapes.Vec{}, shapes.Vec{X: 60, Y: 40, Z: 5})
	for _, c := range candidates(t, mesh.Weld(shapes.Turn(plate, shapes.X, 0.4)))[1:] {
		if c.Down.Z < -0.9999 {
			assert.InDelta(t, 2400, c.Contact, 1)
			assert.InDelta(t, 0.4, math.Asin(c.Down.Cross(Down).Len())*180/math.Pi, 0.001)
			return
		}
	}
	t.Error("the face that is 0.4 deg away is no way up")
}
