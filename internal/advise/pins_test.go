package advise

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/dice"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// common is the usual process, as far as pins ask for it.
func common() catalog.Process {
	return catalog.Process{Line: 0.4, Layer: 0.2, Limits: catalog.Limits{Gap: catalog.Mark{Holds: 0.2}}}
}

// question is about a model printed by the usual process.
func question() *Question {
	return &Question{AsItLies: &verdict.Verdict{Subject: &verdict.Subject{View: &ruleset.View{Process: common()}}}}
}

// pinsOf chooses pins for a model that is cut along planes, and cuts it.
func pinsOf(t *testing.T, m *mesh.Mesh, planes ...plane) (*pinned, *split, []*piece) {
	t.Helper()
	plain, err := along(work.Of(t.Context()), m, planes)
	require.NoError(t, err)
	s := &split{planes: planes, whole: m, pieces: make([]*laid, len(plain))}
	p, err := question().plan(t.Context(), s, pins)
	require.NoError(t, err)
	pieces, err := along(work.Of(t.Context()), m, planes, p.holes...)
	require.NoError(t, err)
	return p, s, pieces
}

// TestPinsByRoom: as thick and as many as there is room for.
func TestPinsByRoom(t *testing.T) {
	for _, c := range []struct {
		wide, high, long float64
		want             []float64
		alone, bare      int
	}{
		{30, 20, 80, []float64{4, 4}, 0, 0},
		{14, 8, 80, []float64{1.75, 1.75}, 0, 0}, // two thin ones hold better than one that can turn
		{8.2, 8.2, 80, []float64{4}, 1, 0},
		{7, 7, 80, []float64{1.75}, 1, 0},
		{4, 60, 80, nil, 0, 1},                    // walls too thin
		{30, 20, 8, nil, 0, 1},                    // pieces too thin
		{30, 20, 9, []float64{1.75, 1.75}, 0, 0},  // a wall of 1.5 mm below each hole
		{30, 20, 19, []float64{1.75, 1.75}, 0, 0}, // the thick pin goes too deep
	} {
		m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: c.wide, Y: c.high, Z: c.long}))
		p, s, pieces := pinsOf(t, m, plane{normal: mesh.Vec{Z: 1}, offset: c.long / 2})
		var got []float64
		for _, h := range p.holes {
			got = append(got, h.Pin)
			assert.Equal(t, c.long/2, h.At[2])
			assert.InDelta(t, h.Pin+0.4, h.Width, 1e-9)
		}
		assert.Equal(t, c.want, got, "%v", c)
		assert.Equal(t, [2]int{c.alone, c.bare}, [2]int{p.alone, p.bare}, "%v", c)
		assert.True(t, s.drilled(pieces, p.holes), "%v", c)
		assert.Equal(t, len(p.holes) == 0, p.why != "")
	}
}

// TestEachLegHasItsPins: what of a section hangs together has pins of its own.
func TestEachLegHasItsPins(t *testing.T) {
	table := shapes.Box(mesh.Vec{Z: 40}, mesh.Vec{X: 100, Y: 60, Z: 50})
	at := []float64{0, 16, 84, 100}
	deep := []float64{0, 16, 44, 60}
	m := mesh.Weld(shapes.Blocks(at, deep, []float64{0, 40, 50}, func(i, j, k int) bool { return k == 1 || i != 1 && j != 1 }))
	require.InEpsilon(t, mesh.Weld(table).Volume()+4*16*16*40, m.Volume(), 1e-6)
	p, s, pieces := pinsOf(t, m, plane{normal: mesh.Vec{Z: 1}, offset: 20})
	assert.Len(t, p.holes, 8)
	assert.True(t, s.drilled(pieces, p.holes))
	in := [4]int{}
	for _, h := range p.holes {
		k := 0
		if h.At[0] > 50 {
			k++
		}
		if h.At[1] > 30 {
			k += 2
		}
		in[k]++
	}
	assert.Equal(t, [4]int{2, 2, 2, 2}, in)
}

// TestHolesLieInSolid: wherever a model is cut, nothing but solid lies around the holes, by the
// distance of their corners from all triangles, and the pieces lack their volume and no more.
func TestHolesLieInSolid(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 4))
	count := 0
	for name, s := range []*mesh.Triangles{
		shapes.NoisyBall(20, 4, 4, 3), shapes.Torus(25, 9, 40, 24), shapes.Bust(70), shapes.HollowBox(60, 9), shapes.FourLegs([4]float64{0, .3, .6, .9}, 60),
		shapes.Join(shapes.Icosphere(18, 3), shapes.Move(shapes.Icosphere(18, 3), mesh.Vec{X: 14})),
	} {
		m := mesh.Weld(shapes.Move(shapes.Turn(s, somewhere(r), 360*r.Float64()), mesh.Vec{X: 90 * r.Float64(), Y: -40, Z: 7}))
		for range 2 {
			list := []plane{{normal: fine(somewhere(r))}}
			if r.IntN(2) == 0 {
				list = []plane{{normal: mesh.Vec{X: 1}}, {normal: mesh.Vec{Z: 1}}}
			}
			for i, p := range list {
				list[i].offset = p.normal.Dot(m.Box().Middle()) + 6*r.Float64() - 3
			}
			p, split, pieces := pinsOf(t, m, list...)
			assert.True(t, split.drilled(pieces, p.holes), name)
			count += len(p.holes)
			for i, h := range p.holes {
				assert.GreaterOrEqual(t, clearance(m, list, &h), 1.2, name)
				for _, o := range p.holes[:i] {
					assert.Greater(t, mesh.VecOf(h.At).Sub(mesh.VecOf(o.At)).Len(), h.Width)
				}
			}
		}
	}
	assert.Greater(t, count, 8)
}

// TestHolesInThinWings: where long facets make a little volume, the pieces add up all the same.
func TestHolesInThinWings(t *testing.T) {
	p, s, pieces := pinsOf(t, mesh.Weld(shapes.Glider()), plane{normal: mesh.Vec{X: 1}})
	assert.Len(t, p.holes, 2)
	assert.True(t, s.drilled(pieces, p.holes))
}

// clearance is how far the corners of both holes of a pin lie from the model's surface and from the
// other planes, by looking at all.
func clearance(m *mesh.Mesh, planes []plane, h *finding.PinHole) float64 {
	n := planes[h.Plane].normal
	u := n.Cross(mesh.Vec{X: 0.3, Y: 0.5, Z: 0.8}).Unit()
	v := n.Cross(u)
	least := math.Inf(1)
	for depth := -2; depth <= 2; depth++ {
		for turn := range 8 {
			sin, cos := math.Sincos(float64(turn) * math.Pi / 4)
			at := mesh.VecOf(h.At).Add(n.Scale(h.Depth * float64(depth) / 2)).
				Add(u.Scale(h.Width / 2 * cos)).Add(v.Scale(h.Width / 2 * sin))
			for t := range m.Tris {
				a, b, c := m.Corners(t)
				least = min(least, spatial.NearestOnTriangle(at, a, b, c).Sub(at).Len())
			}
			for i := range planes {
				if i != h.Plane {
					least = min(least, math.Abs(planes[i].above(at)))
				}
			}
		}
	}
	return least
}

// TestHolesOfSeveralCuts: each of two pieces that meet has its own, they keep out of each other's
// way, and a piece between two cuts has room for both or for one.
func TestHolesOfSeveralCuts(t *testing.T) {
	m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 180, Y: 190, Z: 20}))
	p, s, pieces := pinsOf(t, m, plane{normal: mesh.Vec{X: 1}, offset: 90}, plane{normal: mesh.Vec{Y: 1}, offset: 95})
	assert.Len(t, p.holes, 8, "four joints")
	require.Len(t, pieces, 4)
	assert.True(t, s.drilled(pieces, p.holes))
	volume := holeOf(p.holes[0]).Volume()
	for _, k := range pieces {
		assert.InEpsilon(t, 90*95*20-4*volume, k.mesh.Volume(), 1e-6)
	}

	// 16 mm between two cuts: a hole is 8.5 mm deep
	m = mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 20, Y: 12, Z: 80}))
	p, s, pieces = pinsOf(t, m, plane{normal: mesh.Vec{Z: 1}, offset: 32}, plane{normal: mesh.Vec{Z: 1}, offset: 48})
	require.NotEmpty(t, p.holes)
	assert.True(t, s.drilled(pieces, p.holes))
	for i, h := range p.holes {
		for _, o := range p.holes[:i] {
			if h.Plane != o.Plane {
				across := math.Hypot(h.At[0]-o.At[0], h.At[1]-o.At[1])
				assert.True(t, across >= (h.Width+o.Width)/2+1.2 || h.Depth+o.Depth+1.2 <= 16)
			}
		}
	}
}

// TestDrilledCounts: pieces that lack a hole, or are open, are seen.
func TestDrilledCounts(t *testing.T) {
	m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 30, Y: 20, Z: 80}))
	cutAt := plane{normal: mesh.Vec{Z: 1}, offset: 40}
	p, s, pieces := pinsOf(t, m, cutAt)
	plain, err := along(work.Of(t.Context()), m, []plane{cutAt})
	require.NoError(t, err)
	assert.True(t, s.drilled(pieces, p.holes))
	assert.False(t, s.drilled(plain, p.holes))
	assert.False(t, s.drilled([]*piece{pieces[0], plain[1]}, p.holes))
	pieces[0].mesh.Tris = pieces[0].mesh.Tris[1:]
	assert.False(t, s.drilled(pieces, p.holes))
}

// TestPinWords say which pins to get, or why there are none.
func TestPinWords(t *testing.T) {
	thick, thin := finding.PinHole{Pin: 4, Length: 16, Width: 4.4, Depth: 8.5}, finding.PinHole{Pin: 1.75, Length: 8, Width: 2.15, Depth: 4.5}
	p := &pinned{holes: []finding.PinHole{thick, thick, thin}, alone: 1, bare: 2}
	assert.Equal(t, "holes for pins in both faces of the cut: for 2 pins 4 mm thick and 16 mm long, each hole 4.4 mm wide and 8.5 mm deep, "+
		"and for one pin 1.75 mm thick and 8 mm long, each hole 2.15 mm wide and 4.5 mm deep; "+
		"where two pieces share only one, they can still turn: line them up by eye; where the solid is too thin the faces stay plain", p.words())
	assert.Equal(t, "no holes for pins: it rains", (&pinned{why: "it rains"}).words())
}
