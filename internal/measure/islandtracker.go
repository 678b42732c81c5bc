package measure

import (
	"slices"
	"sort"

	"printlint/internal/layers"
)

// followScratch is scratch for following islands. What it does in a layer depends on the
// islands that live and what they meet, not on the whole layer.
type followScratch struct {
	rows  []int32 // where the runs of each row begin
	owner []int32 // of each run: 1 + the living island that met it first or last, or 0
	queue []int32
}

// follow takes the living islands one layer up. A component that also rests on
// solid cells of the layer below that belong to no island has joined.
func (v *islandTracker) follow(below, layer *layers.Layer) {
	v.above = layer.Runs
	v.index(v.above, v.grid.Rows)
	v.islandCells.Clear()
	for _, f := range v.open {
		for _, r := range f.now {
			v.islandCells.Fill(int(r.Row), int(r.From), int(r.To))
		}
	}
	v.restSolid.SetDifference(below.Solid, v.islandCells)
	open := v.open[:0]
	for i, f := range v.open {
		if v.step(f, int32(i+1), layer) {
			open = append(open, f)
		}
	}
	v.open = open
}

// index notes where rows begin and that no run is owned.
func (w *followScratch) index(runs []layers.Run, rows int) {
	w.rows = slices.Grow(w.rows[:0], rows+1)[:rows+1]
	at := 0
	for row := range w.rows {
		for at < len(runs) && int(runs[at].Row) < row {
			at++
		}
		w.rows[row] = int32(at)
	}
	w.owner = slices.Grow(w.owner[:0], len(runs))[:len(runs)]
	clear(w.owner)
}

// meet calls f for the runs of a row that come within reach cells of [from, to).
func (v *islandTracker) meet(row, from, to, reach int32, f func(i int32)) {
	if row < 0 || int(row) >= v.grid.Rows {
		return
	}
	list := v.above[v.rows[row]:v.rows[row+1]]
	n := sort.Search(len(list), func(i int) bool { return list[i].To+reach > from })
	for ; n < len(list) && list[n].From < to+reach; n++ {
		f(v.rows[row] + int32(n))
	}
}

// step moves one island up a layer and reports whether it still floats. It spreads
// from the runs above the island to all that hang together with them, until it meets
// what stands or another island.
func (v *islandTracker) step(f *islandTrack, id int32, layer *layers.Layer) bool {
	v.queue = v.queue[:0]
	take := func(i int32) {
		if v.owner[i] == id {
			return
		}
		if v.owner[i] != 0 {
			f.joins = true // an island that began before
		}
		v.owner[i] = id
		v.queue = append(v.queue, i)
	}
	for _, r := range f.now {
		v.meet(r.Row, r.From, r.To, 0, take)
	}
	area := 0
	for n := 0; n < len(v.queue) && !f.joins; n++ {
		r := v.above[v.queue[n]]
		if v.restSolid.CountIn(int(r.Row), int(r.From), int(r.To)) > 0 {
			f.joins = true // what stands
		}
		area += int(r.To - r.From)
		v.meet(r.Row-1, r.From, r.To, 1, take)
		v.meet(r.Row+1, r.From, r.To, 1, take)
	}
	if f.joins || len(v.queue) == 0 {
		return false
	}
	slices.Sort(v.queue)
	f.now = f.now[:0]
	for _, i := range v.queue {
		f.now = append(f.now, v.above[i])
	}
	f.widest, f.end = max(f.widest, area), layer.K+1
	return true
}
