package measure

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/geom"
	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// all is every measure with its defaults.
func all() []Request {
	var list []Request
	for _, m := range Catalog() {
		list = append(list, Request{Measure: m.Name})
	}
	return list
}

// costOf takes every measure and returns what it came to, by name, and the work.
func costOf(t *testing.T, s *mesh.Triangles, jobs int) (map[string]Result, int64) {
	t.Helper()
	ctx := work.Start(context.Background(), 0)
	left := work.Of(ctx).Left()
	list := all()
	results, err := NewBody(mesh.Weld(s)).Measure(ctx, AsIs, process, Options{Jobs: jobs}, list)
	require.NoError(t, err)
	by := map[string]Result{}
	for i, q := range list {
		by[q.Measure] = results[i]
	}
	return by, left - work.Of(ctx).Left()
}

// What is small to write and hard to judge is judged or undecided within a stated cost, of
// which a second of one core has a thousand million units.
func TestCrowdsCostLittle(t *testing.T) {
	const most = 3_500_000_000
	crowds := map[string]func(uint64) *mesh.Triangles{}
	for _, c := range shapes.Crowds() {
		crowds[c.Name] = c.Make
	}
	for name, says := range map[string]map[string]string{ // by measure, why it is undecided
		"soup-500":         {"wall": "too many of its faces lie over each other to search them for thin walls"},
		"soup-4000":        {"base": "million"},
		"sheets-flat-1000": {"gap": "thin gaps"},
		"nested-1000":      {"island": "million"},
		"edge-fan-4000":    {"mesh": "lie in the same place", "detail": "too many of its faces lie over each other to look among them for letters"},
		"needles-3000":     {"island": "more than 10000 pieces of it begin in the air"},
		"comb-2000":        {"base": ""},
		"coincident-1000":  {"overhang": ""},
		"cubes-8000":       {"island": ""},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, crowds, name)
			results, cost := costOf(t, crowds[name](dice.Seed(t)), 2)
			assert.Less(t, cost, int64(most))
			assert.Positive(t, cost)
			for measure, why := range says {
				assert.Equal(t, why == "", results[measure].Undecided == "", measure)
				assert.Contains(t, results[measure].Undecided, why)
			}
		})
	}
}

// The same is found whatever the number of workers, and what is undecided is so with all.
func TestCrowdsWithAnyNumberOfWorkers(t *testing.T) {
	for name, s := range map[string]*mesh.Triangles{
		"soup": shapes.RandomTriangles(60, 20, dice.Seed(t)), "needles": shapes.Needles(150, 25, .4, dice.Seed(t)),
		"sheets": shapes.Sheets(80, 12, .1, .1), "comb": shapes.Comb(60, 12, 8, .15, .15),
		"nested": shapes.Nested(40, 16, true), "coincident": shapes.Coincident(30, 8, 0), "shifted": shapes.Coincident(30, 8, .01),
		"floating": shapes.Floating(60, 1, 4), "fan": shapes.EdgeFan(60, 12), "overlapping": shapes.Overlapping(15, 20, dice.Seed(t)),
	} {
		want, _ := costOf(t, s, 1)
		for _, jobs := range []int{2, 5} {
			got, _ := costOf(t, s, jobs)
			require.Equal(t, want, got, "%s, %d workers", name, jobs)
		}
	}
	fan := shapes.EdgeFan(3500, 50)
	want, _ := costOf(t, fan, 1)
	got, _ := costOf(t, fan, 2)
	assert.Equal(t, want, got, "what is too much")
	assert.NotEmpty(t, want["mesh"].Undecided)
}

// Pieces too small to matter alone matter together: each is told the area of all that are
// no larger, but for those that join at once.
func TestSpecksTogether(t *testing.T) {
	together := func(s *mesh.Triangles) []float64 { return values(t, "island", take(t, s, "island"), "together") }
	one := together(shapes.Floating(1, 1, 1))
	require.Len(t, one, 1)
	assert.InDelta(t, 1, one[0], 0.2)
	for _, v := range together(shapes.Floating(30, 1, 1)) {
		assert.InDelta(t, 30, v, 3)
	}
	small := shapes.Move(shapes.Box(shapes.Vec{}, shapes.Vec{X: .5, Y: .5, Z: 1}), shapes.Vec{X: 20, Y: 2, Z: 12})
	large := shapes.Move(shapes.Cube(6), shapes.Vec{X: 30, Y: 2, Z: 12})
	list := together(shapes.Join(shapes.Floating(1, 1, 1), small, large))
	require.Len(t, list, 3)
	assert.InDelta(t, 1.25, list[0], 0.3, "the large one is not held against the small ones")
	assert.InDelta(t, .25, list[1], 0.15)
	assert.InDelta(t, 37.25, list[2], 1.5)
	// The lowest point of a cap that hangs down joins at once.
	cap := shapes.Join(shapes.Box(shapes.Vec{}, shapes.Vec{X: 20, Y: 20, Z: 3}), shapes.Move(shapes.Cube(4), shapes.Vec{X: 22, Z: 2.85}),
		shapes.Box(shapes.Vec{X: 19, Z: 3}, shapes.Vec{X: 24, Y: 4, Z: 4}))
	for _, v := range together(cap) {
		assert.Zero(t, v)
	}
}

// The hull of two feet is that of their hulls.
func TestHullOfHulls(t *testing.T) {
	r := dice.New(t)
	blob := func(row int32) (runs []layers.Run) {
		for range 1 + r.IntN(12) {
			from := int32(r.IntN(60))
			runs = append(runs, layers.Run{Row: row, From: from, To: from + 1 + int32(r.IntN(9))})
			row++
		}
		return runs
	}
	var h hullBuilder
	for range 500 {
		a, b := blob(int32(r.IntN(20))), blob(int32(40+r.IntN(20)))
		want := slices.Clone(h.of(slices.Concat(a, b)))
		corners := append(slices.Clone(h.of(b)), h.of(a)...)
		require.Equal(t, geom.Hull(want), geom.Hull(corners))
	}
}
