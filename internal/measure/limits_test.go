package measure

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// What was measured before the limit stays, and what was not is undecided and no error.
func TestLimitLeavesWhatWasFound(t *testing.T) {
	body := NewBody(mesh.Weld(shapes.Ball(10, 24)))
	ctx := work.Start(context.Background(), 10*time.Microsecond) // less than a search tree costs
	results, err := body.Measure(ctx, AsIs, process, Options{}, all())
	require.NoError(t, err)
	assert.ErrorIs(t, work.Of(ctx).Err(), work.ErrLimit)
	require.Equal(t, "size", registry[0].definition().Name)
	assert.InDelta(t, 20, results[0].Model[2], 0.5)
	// The mesh is the first that counts work; what stands before it only reads the corners.
	counts := slices.Index(registry, anyMeasure(Mesh))
	require.Positive(t, counts)
	for _, r := range results[:counts] {
		assert.Empty(t, r.Undecided)
	}
	for i, r := range results[counts:] {
		assert.Contains(t, r.Undecided, "limit of work", registry[counts+i].definition().Name)
		assert.Contains(t, r.Cure, "--time-limit")
		assert.Empty(t, r.Sites)
	}
}

func TestSignalEndsTheWhole(t *testing.T) {
	ctx, cancel := context.WithCancel(work.Start(context.Background(), time.Second))
	cancel()
	_, err := NewBody(mesh.Weld(shapes.Cube(10))).Measure(ctx, AsIs, process, Options{}, all())
	assert.ErrorIs(t, err, context.Canceled)
}

// What is too much for one measure leaves the others alone, and is said in its own words.
func TestTooMuchIsOfOneMeasure(t *testing.T) {
	r := evaluationOf(&call{ctx: work.Start(context.Background(), time.Second), body: NewBody(mesh.Weld(shapes.Cube(10)))}, process)
	for _, c := range []struct {
		err   error
		words string
	}{
		{fmt.Errorf("a million walls lie over each other: %w", work.ErrTooMuch), "a million walls lie over each other"},
		{fmt.Errorf("place: %w", &Undecided{"two words", "cure"}), "two words"},
		{work.Of(r.ctx).Part(1).Spend(2), work.ErrTooMuch.Error()},
	} {
		out, err := r.decide(func() (Result, error) { return Result{}, c.err })
		require.NoError(t, err)
		assert.Equal(t, c.words, out.Undecided)
		assert.NotEmpty(t, out.Cure)
	}
	_, err := r.decide(func() (Result, error) { return Result{}, assert.AnError })
	assert.ErrorIs(t, err, assert.AnError, "other errors are told")
	out, err := r.decide(func() (Result, error) { return Size.measure(r, nil) })
	require.NoError(t, err)
	assert.Empty(t, out.Undecided)
}

// Of what is far larger than the bed only the size and the mesh are judged, at once.
func TestFarTooLarge(t *testing.T) {
	for _, c := range []struct {
		name  string
		soup  *mesh.Triangles
		words string
	}{
		{"plate of 100 m", shapes.Box(shapes.Vec{}, shapes.Vec{X: 1e5, Y: 1e5, Z: 2}), "far larger than the bed"},
		{"post of 100 m", shapes.Box(shapes.Vec{}, shapes.Vec{X: 10, Y: 10, Z: 1e5}), "far larger than the bed"},
		{"part of 1.01 m", shapes.Scale(shapes.Cube(20), 50.5), "far larger than the bed"},
		{"part of 0.99 m", shapes.Scale(shapes.Cube(20), 49.5), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			results, err := NewBody(mesh.Weld(c.soup)).Measure(context.Background(), AsIs, process, Options{},
				[]Request{{Measure: "size"}, {Measure: "mesh"}, {Measure: "wall"}, {Measure: "base"}})
			require.NoError(t, err)
			for i, r := range results {
				if i < 2 || c.words == "" {
					assert.Empty(t, r.Undecided)
				} else {
					assert.Contains(t, r.Undecided, c.words)
					assert.Contains(t, r.Cure, "is its unit right?")
					assert.NotContains(t, r.Cure, "triangles")
				}
			}
		})
	}
	open := process
	open.Bed = [3]float64{}
	results, err := NewBody(mesh.Weld(shapes.Box(shapes.Vec{}, shapes.Vec{X: 1, Y: 1, Z: 1e5}))).
		Measure(context.Background(), AsIs, open, Options{}, []Request{{Measure: "base"}})
	require.NoError(t, err)
	assert.Contains(t, results[0].Undecided, "layers")
	assert.NotEmpty(t, results[0].Cure)
}

func TestFlatIsSaid(t *testing.T) {
	sheet := &mesh.Triangles{Corners: []mesh.Point{{0, 0, 0}, {30, 0, 0}, {30, 30, 0}, {0, 0, 0}, {30, 30, 0}, {0, 30, 0}}}
	for name, s := range map[string]*mesh.Triangles{
		"lying": sheet, "standing": shapes.Turn(sheet, shapes.X, 90), "leaning": shapes.Turn(shapes.Turn(sheet, shapes.X, 33), shapes.Z, 20),
		"line": {Corners: []mesh.Point{{0, 0, 0}, {1, 1, 1}, {2, 2, 2}}},
	} {
		r := take(t, s, "overhang")
		assert.Contains(t, r.Undecided, "the model is flat", name)
		assert.NotEmpty(t, r.Cure, name)
	}
	assert.Empty(t, take(t, shapes.Slab(0.3), "overhang").Undecided)
}

// Each angle that rules ask about takes memory of the size of the model; past a stated
// sum what hangs is undecided. The same angle twice is one.
func TestAnglesThatRulesAskAboutAreBounded(t *testing.T) {
	plate := NewBody(mesh.Weld(shapes.Box(shapes.Vec{}, shapes.Vec{X: 570, Y: 570, Z: 1})))
	hanging := func(angles int) Result {
		var list []Request
		for i := range 2 * angles {
			list = append(list, Request{"overhang", []float64{40 + float64(i/2)/10}})
		}
		results, err := plate.Measure(context.Background(), AsIs, process, Options{}, list)
		require.NoError(t, err)
		return results[0]
	}
	assert.Empty(t, hanging(12).Undecided)
	assert.Equal(t, "the rules ask about 200 angles, which is too many for a model of this size", hanging(200).Undecided)
}
