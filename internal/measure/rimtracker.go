package measure

import (
	"math"

	"printlint/internal/geom"
	"printlint/internal/layers"
)

// airHole is one hole found.
type airHole struct {
	layer, area int
	width       float64 // cells
	reach       int     // cells
	share       float64
	drop        int // layers
	at          layers.Run
	box         cellBox
}

// farthestReach bounds how far what carries is looked for, in mm.
const farthestReach = 10

// rimTracker finds holes with hanging rims layer by layer.
type rimTracker struct {
	grid    *layers.Grid
	tops    *layers.Tops
	carries *layers.Carriers
	least   int // cells of hanging rim on both sides
	found   []airHole
	open    []airHole // of the layer below
	far     []layers.Run
	empty   []layers.Run
	seeds   []layers.Run
	sets    geom.Sets[int32]
	huller  hullBuilder
}

func newRimTracker(s *stack, _ None) *rimTracker {
	g, tops, carries := &s.grid, s.tops(), s.carriers()
	return visit(s, &rimTracker{grid: g, tops: tops, carries: carries, least: max(1, int(s.process.Line/g.Cell+.5))})
}

// Visit looks for holes in a layer.
func (v *rimTracker) Visit(_, layer *layers.Layer) {
	if v.carries.Bed || v.carries.Far.Empty() || len(v.found) > mostSites {
		v.open = v.open[:0]
		return
	}
	v.far = v.carries.Far.AppendRuns(v.far[:0])
	if v.findSeeds(layer.Runs); len(v.seeds) == 0 {
		v.open = v.open[:0]
		return
	}
	v.findHoles(layer)
}

// findSeeds lists the gaps between runs of one row beside which enough hangs on both sides.
func (v *rimTracker) findSeeds(runs []layers.Run) {
	v.seeds = v.seeds[:0]
	at := 0
	for i := 1; i < len(runs); i++ {
		a, b := runs[i-1], runs[i]
		if a.Row != b.Row {
			continue
		}
		for at < len(v.far) && (v.far[at].Row < a.Row || v.far[at].Row == a.Row && v.far[at].To < a.To) {
			at++
		}
		if at+1 >= len(v.far) {
			return
		}
		l, r := v.far[at], v.far[at+1]
		if l.Row == a.Row && l.To == a.To && int(l.To-l.From) >= v.least && r.Row == a.Row && r.From == b.From && int(r.To-r.From) >= v.least {
			v.seeds = append(v.seeds, layers.Run{Row: a.Row, From: a.To, To: b.From})
		}
	}
}

// findHoles joins the empty cells of the layer and looks at each hole with a seed in it.
func (v *rimTracker) findHoles(layer *layers.Layer) {
	// With a margin of one cell: what touches it is no hole.
	v.empty = emptyRuns(v.empty[:0], layer.Runs, cellRect{[2]int32{-1, int32(v.grid.Cols + 1)}, [2]int32{-1, int32(v.grid.Rows + 1)}})
	v.sets, _, _ = layers.Label(v.empty, v.sets)
	members := map[int32][]layers.Run{} // of holes with seeds; walked in the order of the seeds
	n := 0
	for _, s := range v.seeds {
		for v.empty[n] != s {
			n++
		}
		members[v.sets.Root(int32(n))] = nil
	}
	for i, r := range v.empty {
		root := v.sets.Root(int32(i))
		if list, wanted := members[root]; wanted {
			members[root] = append(list, r)
		}
	}
	var now []airHole
	n = 0
	for _, s := range v.seeds {
		for v.empty[n] != s {
			n++
		}
		root := v.sets.Root(int32(n))
		list := members[root]
		if list == nil {
			continue
		}
		members[root] = nil
		if h, ok := v.hole(list, layer); ok {
			now = append(now, h)
			if !v.goesOn(&h) {
				v.found = append(v.found, h)
			}
		}
	}
	v.open = append(v.open[:0], now...)
}

// hole measures a hole, and is false where it is open to the outside or where something
// carries its rim nearby.
func (v *rimTracker) hole(list []layers.Run, layer *layers.Layer) (h airHole, ok bool) {
	if list[0].Row < 0 || list[0].From < 0 {
		return h, false
	}
	h = airHole{layer: layer.K, at: list[len(list)/2], box: cellBox{
		col: [2]int32{list[0].From, list[0].To}, row: [2]int32{list[0].Row, list[len(list)-1].Row + 1},
		layer: [2]int32{int32(layer.K), int32(layer.K) + 1}}}
	solid, far := 0, 0
	for _, r := range list {
		h.area += int(r.To - r.From)
		h.box.col = [2]int32{min(h.box.col[0], r.From), max(h.box.col[1], r.To)}
		for row := int(r.Row) - 1; row <= int(r.Row)+1; row++ {
			solid += v.count(layer.Solid, row, int(r.From)-1, int(r.To)+1)
			far += v.count(v.carries.Far, row, int(r.From)-1, int(r.To)+1)
		}
	}
	if h.box.col[0] < 0 || solid == 0 || v.carriedWithin(list, v.least) {
		return h, false
	}
	h.share = float64(far) / float64(solid)
	h.width, _ = geom.Width(v.huller.of(list))
	h.reach = v.reach(list)
	if col := int(h.at.From) - 1; layer.Solid.Get(col, int(h.at.Row)) {
		h.drop = layer.K - v.tops.Under(col, int(h.at.Row))
	}
	return h, true
}

// reach is how many cells the nearest one that carries lies from a hole.
func (v *rimTracker) reach(list []layers.Run) int {
	least, most := 0, int(farthestReach/v.grid.Cell) // carried within most, and not within least
	if !v.carriedWithin(list, most) {
		return most
	}
	for most-least > 1 {
		if middle := (least + most) / 2; v.carriedWithin(list, middle) {
			most = middle
		} else {
			least = middle
		}
	}
	return least
}

// carriedWithin says that a cell that carries lies within so many cells of a hole, along rows
// or columns or aslant.
func (v *rimTracker) carriedWithin(list []layers.Run, cells int) bool {
	for _, r := range list {
		for d := -cells; d <= cells; d++ {
			across := int(math.Sqrt(float64(cells*cells - d*d)))
			if v.count(v.carries.Solid, int(r.Row)+d, int(r.From)-across, int(r.To)+across) > 0 {
				return true
			}
		}
	}
	return false
}

// goesOn says that a hole was found in the layer below: a steep funnel has a hanging rim in
// each layer.
func (v *rimTracker) goesOn(h *airHole) bool {
	for i := range v.open {
		o := &v.open[i].box
		if o.col[0] <= h.box.col[1] && o.col[1] >= h.box.col[0] && o.row[0] <= h.box.row[1] && o.row[1] >= h.box.row[0] {
			return true
		}
	}
	return false
}

// count is the number of cells of [from, to) of a row that are set; what is off the grid is not.
func (v *rimTracker) count(p *layers.Plane, row, from, to int) int {
	return p.CountIn(row, max(from, 0), min(to, v.grid.Cols))
}
