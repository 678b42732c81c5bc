package measure

import (
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/layers"
)

// layerOf fills a layer with runs.
func layerOf(g *layers.Grid, k int, runs []layers.Run) *layers.Layer {
	p := layers.NewPlane(g)
	for _, r := range runs {
		p.Fill(int(r.Row), int(r.From), int(r.To))
	}
	return &layers.Layer{K: k, Solid: p, Runs: p.AppendRuns(nil)}
}

// recorder keeps what a follower is told, by the pieces' first cells.
type recorder struct {
	of   map[[2]int32]int32 // the piece of each cell of the last layer
	seen map[link]bool
	now  *sections
}

func (r *recorder) follow(_ int, _, now *sections, links []link) {
	r.now, r.seen, r.of = now, map[link]bool{}, map[[2]int32]int32{}
	for _, l := range links {
		r.seen[l] = true
	}
	for i, run := range now.runs {
		for c := run.From; c < run.To; c++ {
			r.of[[2]int32{c, run.Row}] = now.of[i]
		}
	}
}

// Two random layers: pieces, their sums and their links, against floods and sums
// over every cell.
func TestSectionsAgainstCells(t *testing.T) {
	for seed := uint64(1); seed <= 80; seed++ {
		rng := rand.New(rand.NewPCG(seed, 5))
		share := 0.1 + 0.6*rng.Float64()
		g, lower := randomRuns(rng, 16, 70, share)
		_, upper := randomRuns(rng, 16, 70, share)
		if rng.IntN(4) == 0 {
			upper = lower
		}
		rec := new(recorder)
		v := newSectionVisitor(rec)
		v.Visit(nil, layerOf(g, 0, lower))
		assert.Empty(t, rec.seen, "nothing is below the first layer")
		below := rec.of
		v.Visit(nil, layerOf(g, 1, upper))
		want := map[link]bool{}
		for c, id := range rec.of {
			if under, ok := below[c]; ok {
				want[link{under, id}] = true
			}
		}
		assert.Equal(t, want, rec.seen, "seed %d", seed)
		requirePieces(t, seed, rec)
	}
}

// requirePieces holds every piece to the cells that are joined in it.
func requirePieces(t *testing.T, seed uint64, rec *recorder) {
	t.Helper()
	in := func(c [3]int) bool { _, ok := rec.of[[2]int32{int32(c[0]), int32(c[1])}]; return ok }
	seen := map[[3]int]bool{}
	count := 0
	for c, id := range rec.of {
		from := [3]int{int(c[0]), int(c[1])}
		if seen[from] {
			continue
		}
		count++
		var want piece
		want.minCol, want.minRow = 1<<30, 1<<30
		for _, n := range flood(from, levelSteps, in) {
			seen[n] = true
			x, y := int32(n[0]), int32(n[1])
			require.Equal(t, id, rec.of[[2]int32{x, y}], "seed %d", seed)
			want.area++
			want.x2, want.y2 = want.x2+int64(2*x+1), want.y2+int64(2*y+1)
			want.minCol, want.maxCol = min(want.minCol, x), max(want.maxCol, x+1)
			want.minRow, want.maxRow = min(want.minRow, y), max(want.maxRow, y+1)
		}
		assert.Equal(t, want, rec.now.pieces[id], "seed %d", seed)
		runs := rec.now.runsOf(id)
		area := int64(0)
		for _, r := range runs {
			area += int64(r.To - r.From)
		}
		assert.Equal(t, want.area, area, "seed %d: runs of a piece", seed)
		assert.True(t, sort.SliceIsSorted(runs, func(i, j int) bool { return runs[i].Row < runs[j].Row }), "seed %d", seed)
	}
	assert.Len(t, rec.now.pieces, count, "seed %d", seed)
}

// Random layers of single cells, one upon the other: hollows against a flood of the
// empty cells, corners and all.
func TestHollowsAgainstCells(t *testing.T) {
	found, opened, closed := 0, false, false
	for seed := uint64(1); seed <= 90; seed++ {
		rng := rand.New(rand.NewPCG(seed, 6))
		share := 0.2 + 0.75*rng.Float64()
		const rows, cols, tall = 14, 14, 8
		var g *layers.Grid
		var stack [tall][]layers.Run
		for k := range stack {
			if g, stack[k] = randomRuns(rng, rows, cols, share); k > 0 && rng.IntN(4) == 0 {
				stack[k] = stack[k-1]
			}
		}
		v := newCavityTracker(stackOn(g), None{})
		layer := newSectionVisitor(v)
		was := true
		solid := map[[3]int]bool{}
		for k, runs := range stack {
			layer.Visit(nil, layerOf(g, k, runs))
			opened, closed = opened || k > 1 && v.open && !was, closed || was && !v.open
			was = v.open
			for _, r := range runs {
				for c := r.From; c < r.To; c++ {
					solid[[3]int{int(c), int(r.Row), k}] = true
				}
			}
		}
		require.NoError(t, v.finish())
		var got []int
		for i := 1; i < len(v.voids); i++ {
			if int(v.sets.Root(int32(i))) == i {
				got = append(got, v.voids[i].volume)
			}
		}
		want := sealedCells(solid, [3]int{cols, rows, tall})
		sort.Ints(got)
		assert.Equal(t, want, got, "seed %d", seed)
		found += len(want)
	}
	assert.Greater(t, found, 100, "too few hollows to tell anything")
	assert.True(t, opened && closed, "layers without and with something shut in must follow each other both ways")
}

// sealedCells lists, in order, the sizes of the bodies of empty cells that touch no
// side of the whole.
func sealedCells(solid map[[3]int]bool, size [3]int) (list []int) {
	seen := map[[3]int]bool{}
	for k := range size[2] {
		for j := range size[1] {
			for i := range size[0] {
				from := [3]int{i, j, k}
				if solid[from] || seen[from] {
					continue
				}
				open := false
				body := flood(from, emptySteps, func(n [3]int) bool {
					for d, x := range n {
						if x < 0 || x >= size[d] {
							open = true
							return false
						}
					}
					return !solid[n]
				})
				for _, n := range body {
					seen[n] = true
				}
				if !open {
					list = append(list, len(body))
				}
			}
		}
	}
	sort.Ints(list)
	return list
}
