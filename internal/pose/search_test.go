package pose

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

func TestCandidatesOfACube(t *testing.T) {
	list := Candidates(mesh.Weld(shapes.Cube(20)), Options{Lean: 45})
	require.Greater(t, len(list), 150)
	assert.Equal(t, Down, list[0].Down, "as it lies comes first")
	assert.Equal(t, AsItLies, list[0].Kind)
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
	for name, solid := range map[string]*mesh.Soup{"T": shapes.T(), "hook": shapes.Hook(), "table": shapes.Table()} {
		want := names(Candidates(mesh.Weld(solid), Options{Lean: 45}))
		assert.Equal(t, want, names(Candidates(mesh.Weld(solid), Options{Lean: 45})), "%s again", name)
		assert.Equal(t, want, names(Candidates(mesh.Weld(shapes.Shuffle(solid, 3)), Options{Lean: 45})), "%s shuffled", name)
		assert.Equal(t, want, names(Candidates(mesh.Weld(shapes.Split4(solid)), Options{Lean: 45})), "%s split", name)
		assert.Equal(t, want, names(Candidates(mesh.Weld(shapes.Move(solid, shapes.Vec{X: 64, Y: -32, Z: 16})), Options{Lean: 45})), "%s moved", name)
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

// TestLeaningFindsTheHollow: two level wings print leaned by 45 degrees.
func TestLeaningFindsTheHollow(t *testing.T) {
	wing := mesh.Weld(shapes.Box(shapes.Vec{X: -40, Y: -15, Z: 0}, shapes.Vec{X: 40, Y: 15, Z: 3}))
	s := newSurface(wing, 45, new(work.Tally))
	d := s.hollow(mesh.Vec{Y: 0.3, Z: -1}.Unit())
	assert.Less(t, s.score(d, Leaned).Air, 1.0)
	for _, c := range Candidates(mesh.Weld(shapes.Winged()), Options{Lean: 45}) {
		if c.Kind == Leaned && c.Hang < 400 {
			return
		}
	}
	t.Error("no leaned way up has its wings within 45 degrees")
}

// table judges by a table of down directions.
func table(of map[mesh.Vec]Verdict, coarse, full *int) Judge {
	return func(_ context.Context, down mesh.Vec, rough bool) (Verdict, error) {
		if rough {
			*coarse++
		} else {
			*full++
		}
		if v, ok := of[down]; ok {
			return v, nil
		}
		return Verdict{Errors: 9}, nil
	}
}

func best(t *testing.T, solid *mesh.Soup, of map[mesh.Vec]Verdict) []Judged {
	t.Helper()
	var coarse, full int
	list, err := Best(context.Background(), mesh.Weld(solid), table(of, &coarse, &full), Options{Lean: 45, Screen: 12, Judge: 4})
	require.NoError(t, err)
	assert.LessOrEqual(t, coarse, 12)
	assert.LessOrEqual(t, full, 5)
	assert.Len(t, list, full)
	return list
}

func TestBestRanks(t *testing.T) {
	x, y, z := mesh.Vec{X: 1}, mesh.Vec{Y: 1}, mesh.Vec{Z: 1}
	minus := mesh.Vec{X: -1}
	for name, c := range map[string]struct {
		of   map[mesh.Vec]Verdict
		want mesh.Vec
	}{
		"fewest errors":           {map[mesh.Vec]Verdict{Down: {Errors: 2}, x: {Errors: 1, Warnings: 5}, y: {Errors: 2}}, x},
		"then warnings":           {map[mesh.Vec]Verdict{Down: {Errors: 1, Warnings: 2}, x: {Errors: 1, Warnings: 1}, y: {Errors: 1, Warnings: 2}}, x},
		"then support":            {map[mesh.Vec]Verdict{Down: {Errors: 1, Support: 900}, x: {Errors: 1, Support: 500}, y: {Errors: 1, Support: 150}}, y},
		"a little is no reason":   {map[mesh.Vec]Verdict{Down: {Errors: 1, Support: 90}, x: {Errors: 1}}, Down},
		"then it stays":           {map[mesh.Vec]Verdict{Down: {Errors: 1, Support: 401}, x: {Errors: 1, Support: 400}}, Down},
		"then contact":            {map[mesh.Vec]Verdict{Down: {Errors: 1}, x: {Base: 10}, z: {Base: 500}, y: {Base: 100}}, z},
		"then scars":              {map[mesh.Vec]Verdict{Down: {Errors: 1}, x: {Base: 10, Scars: 50}, y: {Base: 10, Scars: 20}}, y},
		"then the fixed order":    {map[mesh.Vec]Verdict{Down: {Errors: 1}, x: {Base: 10}, minus: {Base: 10}}, minus},
		"clean as it lies stays":  {map[mesh.Vec]Verdict{Down: {Base: 1, Notes: 3}, x: {Base: 1000}}, Down},
		"a clean one comes first": {map[mesh.Vec]Verdict{Down: {Warnings: 1}, x: {}}, x},
	} {
		assert.Equal(t, c.want, best(t, shapes.Cube(20), c.of)[0].Down, name)
	}
}

func TestNobodyIsToldToBalanceAModel(t *testing.T) {
	judge := func(_ context.Context, down mesh.Vec, _ bool) (Verdict, error) {
		if _, square := sideOf(down); square {
			return Verdict{Errors: 3}, nil
		}
		return Verdict{Errors: 1}, nil // standing on an edge
	}
	list, err := Best(context.Background(), mesh.Weld(shapes.Cube(20)), judge, Options{Lean: 45, Screen: 12, Judge: 4})
	require.NoError(t, err)
	assert.Equal(t, Down, list[0].Down)
}

func TestBestStopsWhenToldTo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var n int
	_, err := Best(ctx, mesh.Weld(shapes.T()), table(nil, &n, &n), Options{Lean: 45, Screen: 4, Judge: 2})
	assert.ErrorIs(t, err, context.Canceled)
	broken := errors.New("broken")
	fail := func(context.Context, mesh.Vec, bool) (Verdict, error) { return Verdict{}, broken }
	_, err = Best(context.Background(), mesh.Weld(shapes.T()), fail, Options{Lean: 45, Screen: 4, Judge: 2})
	assert.ErrorIs(t, err, broken)
	_, err = Given(context.Background(), mesh.Weld(shapes.T()), mesh.Vec{Z: 1}, fail, Options{Lean: 45})
	assert.ErrorIs(t, err, broken)
}

func TestGivenComesFirst(t *testing.T) {
	var coarse, full int
	list, err := Given(context.Background(), mesh.Weld(shapes.T()), mesh.Vec{Z: 1}, table(nil, &coarse, &full), Options{Lean: 45})
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, mesh.Vec{Z: 1}, list[0].Down)
	assert.Equal(t, AsItLies, list[1].Kind)
	list, err = Given(context.Background(), mesh.Weld(shapes.T()), Down, table(nil, &coarse, &full), Options{Lean: 45})
	require.NoError(t, err)
	assert.Len(t, list, 1, "as it lies is one way up, not two")
	assert.Zero(t, coarse)
	assert.Equal(t, 3, full)
}

// TestFlatAndTinyMeshesAreSearched: nothing to stand on is no reason to fail.
func TestFlatAndTinyMeshesAreSearched(t *testing.T) {
	for name, soup := range map[string]*mesh.Soup{
		"sheet":    {Corners: []mesh.Point{{0, 0, 0}, {9, 0, 0}, {0, 9, 0}}},
		"point":    {Corners: []mesh.Point{{1, 1, 1}, {1, 1, 1}, {1, 1, 1}}},
		"tiny":     shapes.Scale(shapes.Cube(1), 1e-4),
		"huge":     shapes.Scale(shapes.T(), 1e4),
		"far away": shapes.Move(shapes.T(), shapes.Vec{X: 1e5}),
	} {
		for _, c := range Candidates(mesh.Weld(soup), Options{Lean: 45}) {
			require.False(t, math.IsNaN(c.Air+c.Hang+c.Contact+c.Tip+c.Height+c.Down.X), "%s: %+v", name, c)
		}
	}
}

// BenchmarkCandidates scores every way up of a bumpy ball of 328,000 triangles.
func BenchmarkCandidates(b *testing.B) {
	m := mesh.Weld(shapes.NoisyBall(30, 1, 7, 1))
	n := 0
	for b.Loop() {
		n += len(Candidates(m, Options{Lean: 45}))
	}
	b.ReportMetric(float64(n)/float64(b.N), "candidates")
}

// TestOrderIsTotal: ranking any three ways up in any order comes to the same.
func TestOrderIsTotal(t *testing.T) {
	seed := dice.Seed(t)
	rng := rand.New(rand.NewPCG(seed, 1))
	downs := spread(30)
	for range 3000 {
		list := make([]Judged, 6)
		for i := range list {
			list[i] = Judged{
				Candidate{Down: downs[rng.IntN(len(downs))], Kind: Kind(rng.IntN(6)), Contact: float64(rng.IntN(3)) * 4, Height: 40 * rng.Float64()},
				Verdict{Errors: rng.IntN(2), Warnings: rng.IntN(2), Support: 300 * rng.Float64(), Base: 30 * rng.Float64(), Scars: 9 * rng.Float64()},
			}
		}
		want := slices.Clone(list)
		sortJudged(want)
		rng.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
		sortJudged(list)
		for i := range list { // what only the direction's last digits tell apart may change places
			require.Equal(t, key(&want[i]), key(&list[i]))
		}
	}
}

// key is what the ranking sees of a way up.
func key(j *Judged) string {
	return fmt.Sprint(j.balances(), j.Errors, j.Warnings, j.Kind == AsItLies, worth(j.Support), step(j.Base), step(j.Scars), step(j.Height),
		milli(j.Down.X), milli(j.Down.Y), milli(j.Down.Z))
}

func TestAlike(t *testing.T) {
	a := Judged{Candidate{Contact: 100, Height: 20, Hang: 50}, Verdict{Errors: 1}}
	b := a
	b.Down, b.Contact = mesh.Vec{X: 1}, 101
	assert.True(t, Alike(&a, &b), "mirrored sides differ by the mesh's rounding")
	for name, change := range map[string]func(*Judged){
		"errors": func(j *Judged) { j.Errors++ }, "warnings": func(j *Judged) { j.Warnings++ }, "notes": func(j *Judged) { j.Notes++ },
		"contact": func(j *Judged) { j.Contact = 120 }, "height": func(j *Judged) { j.Height = 25 }, "hang": func(j *Judged) { j.Hang = 70 },
	} {
		c := a
		change(&c)
		assert.False(t, Alike(&a, &c), name)
		assert.Len(t, unlike([]Judged{a, b, c}, 5), 2, name)
	}
	assert.Len(t, unlike([]Judged{a, b}, 5), 1)
	assert.Empty(t, unlike([]Judged{a}, 0))
}

// TestPickTakesBoth what rests on a face and what hangs least, each direction once.
func TestPickTakesBoth(t *testing.T) {
	m := mesh.Weld(shapes.Winged())
	list := Candidates(m, Options{Lean: 45})
	chosen := pick(list[1:], 10)
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
	assert.Len(t, pick(list[:3], 10), 3, "no more than there are")
	assert.Empty(t, pick(nil, 4))
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

// TestHollowNeverClimbs: leaning ends nowhere worse than it began.
func TestHollowNeverClimbs(t *testing.T) {
	for _, solid := range []*mesh.Soup{shapes.Figure(), shapes.Hook(), shapes.Winged(), shapes.NoisyBall(20, 2, 3, 5)} {
		s := newSurface(mesh.Weld(solid), 45, new(work.Tally))
		for _, d := range spread(12) {
			assert.LessOrEqual(t, s.score(s.hollow(d), Leaned).Air, s.score(d, Spread).Air+1)
		}
	}
}

// TestMergingIsGeometry: a body cut into ever finer triangles rests on the same faces.
func TestMergingIsGeometry(t *testing.T) {
	for name, solid := range map[string]*mesh.Soup{"T": shapes.T(), "prism": shapes.Cylinder(10, 30, 12), "wedge": shapes.Wedge(30)} {
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
