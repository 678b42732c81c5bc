package measure

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// labelled is an island visitor that follows the obvious way: it labels the whole
// layer and asks of every component what it rests on.
type labelled struct{ *islandTracker }

func (v labelled) Visit(below, layer *layers.Layer) {
	if layer.K == 0 {
		return
	}
	v.runs = layer.Solid.AppendRuns(nil)
	v.sets, _, _ = layers.Label(v.runs, nil)
	ground := layers.NewPlane(v.grid)
	for _, f := range v.open {
		for _, r := range f.now {
			ground.Fill(int(r.Row), int(r.From), int(r.To))
		}
	}
	stands := layers.NewPlane(v.grid)
	stands.SetDifference(below.Solid, ground)
	held, owner := map[int32]bool{}, map[int32]*islandTrack{}
	layers.EachOverlap(v.runs, stands.AppendRuns(nil), func(a, _ int) { held[v.sets.Root(int32(a))] = true })
	var alive []*islandTrack
	for _, f := range v.open {
		mine := map[int32]bool{}
		layers.EachOverlap(v.runs, f.now, func(a, _ int) {
			root := v.sets.Root(int32(a))
			mine[root] = true
			f.joins = f.joins || held[root] || owner[root] != nil && owner[root] != f
			owner[root] = f
		})
		if f.joins || len(mine) == 0 {
			continue
		}
		f.now = nil
		area := 0
		for i, r := range v.runs {
			if mine[v.sets.Root(int32(i))] {
				f.now = append(f.now, r)
				area += int(r.To - r.From)
			}
		}
		f.widest, f.end = max(f.widest, area), layer.K+1
		alive = append(alive, f)
	}
	v.open = nil
	v.islandTracker.Visit(below, layer) // nothing lives: it only begins new ones
	v.open = append(alive, v.open...)
}

// foam is a block of cells of 1 mm, each solid by chance.
func foam(n int, solid float64, seed uint64) *mesh.Triangles {
	rng := rand.New(rand.NewPCG(seed, 1))
	filled := make([]bool, n*n*n)
	for i := range filled {
		filled[i] = rng.Float64() < solid
	}
	at := make([]float64, n+1)
	for i := range at {
		at[i] = float64(i)
	}
	return shapes.Blocks(at, at, at, func(i, j, k int) bool { return filled[(k*n+j)*n+i] })
}

// TestIslandsAreFollowedAsByLabelling holds the quick way against the obvious one on
// bodies full of islands that split, meet and end.
func TestIslandsAreFollowedAsByLabelling(t *testing.T) {
	for seed := range uint64(6) {
		solid := 0.05 + 0.05*float64(seed)
		m := mesh.Weld(foam(14, solid, seed))
		g, err := layers.NewGrid(m.Box(), 0.5, 0.25)
		require.NoError(t, err)
		s := stackOn(&g)
		quick, slow := newIslandTracker(s, None{}), labelled{newIslandTracker(s, None{})}
		require.NoError(t, layers.Sweep(t.Context(), m, g, layers.Options{}, s.tops(), s.carriers(), quick, slow))
		require.NotEmpty(t, quick.islands, "seed %d", seed)
		require.Len(t, quick.islands, len(slow.islands), "seed %d", seed)
		for i, f := range quick.islands {
			w := slow.islands[i]
			assert.Equal(t, []int{w.start, w.end, w.area, w.widest, w.drop}, []int{f.start, f.end, f.area, f.widest, f.drop}, "seed %d, island %d", seed, i)
			assert.Equal(t, w.joins, f.joins, "seed %d, island %d", seed, i)
			assert.Equal(t, w.runs, f.runs, "seed %d, island %d", seed, i)
		}
	}
}

// BenchmarkIslands is a body that is nearly nothing but islands.
func BenchmarkIslands(b *testing.B) {
	m := mesh.Weld(foam(40, 0.08, 1))
	n := 0
	for b.Loop() {
		got, err := NewBody(m).Measure(b.Context(), AsIs, process, Options{}, []Request{{"island", nil}})
		require.NoError(b, err)
		n += len(got[0].Sites)
	}
	require.Positive(b, n)
	b.ReportMetric(float64(len(m.Tris)), "triangles")
}
