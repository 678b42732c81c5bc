package layers

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// sweptBy sweeps after the sweep was changed.
func sweptBy(t *testing.T, m *mesh.Mesh, opt Options, change func(*sweep)) *seen {
	t.Helper()
	g, err := NewGrid(m.Box(), 0.5, 0.2)
	require.NoError(t, err)
	s, err := newSweep(m, g, opt)
	require.NoError(t, err)
	change(s)
	s.index()
	out := &seen{grid: &g}
	require.NoError(t, s.run(context.Background(), []Visitor{out}))
	require.Zero(t, out.unlike)
	return out
}

// Layers that are copied, outlines that are added up by cell, and blocks of any size show
// what cutting every layer and sorting every row shows.
func TestShortCutsShowTheSame(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"table":             shapes.Table(),
		"turned table":      shapes.Turn(shapes.Table(), shapes.Z, 31),
		"drilled block":     shapes.Drilled(8, 24),
		"T":                 shapes.T(),
		"ball":              shapes.Ball(6, 24),
		"comb":              shapes.Comb(60, 8, 6, 0.15, 0.2),
		"boxes in the same": shapes.Coincident(90, 9, 0.01),
		"nested, turned":    shapes.Nested(25, 12, true),
		"soup":              shapes.RandomTriangles(60, 14, dice.Seed(t)),
	} {
		t.Run(name, func(t *testing.T) {
			m, _ := mesh.Weld(soup).Posed(mesh.Identity)
			alike := 0
			want := sweptBy(t, m, Options{Tilt: 40}, func(s *sweep) {
				for k, yes := range s.plan.alike {
					if yes {
						alike++
					}
					s.plan.alike[k] = false
				}
			})
			if name == "table" || name == "comb" {
				assert.Greater(t, alike, 5, "layers that are copied")
			}
			for _, jobs := range []int{1, 2, 5} {
				for _, size := range []int{1, 3, 16} {
					got := sweptBy(t, m, Options{Tilt: 40, Jobs: jobs}, func(s *sweep) { s.size = size })
					require.Equal(t, want, got, "%d workers, blocks of %d", jobs, size)
				}
			}
			got := sweptBy(t, m, Options{Tilt: 40}, func(s *sweep) { s.size, s.dense = 1, true })
			require.Equal(t, want, got, "added up by cell")
		})
	}
}

// A row of any number of crossings is filled alike whether it is sorted or added up.
func TestCrowdedRowLikeSorted(t *testing.T) {
	r := dice.New(t)
	g := Grid{Cols: 90, Rows: 4, Words: 2, Cell: 1, Height: 1, Layers: 1}
	s := &sweep{grid: &g, m: new(mesh.Mesh), plan: &plan{alike: make([]bool, 1)}}
	c := new(cutter)
	c.reset(s)
	open := 0
	for range 2000 {
		var list []crossing
		for range r.IntN(70) {
			list = append(list, c.crossing(2, int32(r.IntN(90)), r.IntN(2) == 0))
		}
		added, closed := c.crowdedRow(nil, 2, list)
		sorted, closedToo := c.rowRuns(nil, 2, list)
		require.Equal(t, sorted, added)
		require.Equal(t, closedToo, closed)
		if !closed {
			open++
		}
	}
	assert.Greater(t, open, 100)
	assert.Less(t, open, 2000)
}

// What a sweep would cost is foreseen: as much as it comes to, or a little more, and what
// is too much is said before anything is cut.
func TestSweepForeseesItsCost(t *testing.T) {
	m, _ := mesh.Weld(shapes.Turn(shapes.NoisyBall(8, 0.4, 4, 5), shapes.X, 20)).Posed(mesh.Identity)
	g, err := NewGrid(m.Box(), 0.1, 0.1)
	require.NoError(t, err)
	s, err := newSweep(m, g, Options{Tilt: 40})
	require.NoError(t, err)
	met := 0
	b := s.newBlock()
	for i := range len(s.heads) - 1 {
		for _, t := range s.tris[s.heads[i]:s.heads[i+1]] {
			b.cut.triangle(s.m.Tris[t], i*s.size, min((i+1)*s.size, g.Layers))
		}
		for k := range b.cut.pending {
			met += len(b.cut.pending[k])
			b.cut.pending[k] = b.cut.pending[k][:0]
		}
	}
	foreseen := int64(0)
	for _, n := range s.plan.crossings {
		foreseen += n
	}
	assert.Greater(t, foreseen, int64(met)*9/10)
	assert.Less(t, foreseen, int64(met)*4)

	for name, soup := range map[string]*mesh.Triangles{
		"soup": shapes.RandomTriangles(4000, 100, dice.Seed(t)), "nested": shapes.Nested(1000, 100, false), "fan": shapes.EdgeFan(4000, 50),
	} {
		m, _ := mesh.Weld(soup).Posed(mesh.Identity)
		g, err := NewGrid(m.Box(), 0.2, 0.1)
		require.NoError(t, err)
		ctx := work.Start(context.Background(), 0)
		left := work.Of(ctx).Left()
		err = Sweep(ctx, m, g, Options{Tilt: 45}, &seen{grid: &g})
		assert.ErrorIs(t, err, work.ErrTooMuch, name)
		assert.ErrorContains(t, err, "million", name)
		assert.Zero(t, left-work.Of(ctx).Left(), name)
	}
}

func TestSweepHearsTheLimit(t *testing.T) {
	m, _ := mesh.Weld(shapes.Ball(20, 60)).Posed(mesh.Identity)
	g, err := NewGrid(m.Box(), 0.1, 0.1)
	require.NoError(t, err)
	for _, jobs := range []int{1, 3} {
		ctx := work.Start(context.Background(), 1_000_000) // a million units
		v := NewTops(&g)
		assert.ErrorIs(t, Sweep(ctx, m, g, Options{Tilt: 45, Jobs: jobs}, v), work.ErrLimit)
	}
}
