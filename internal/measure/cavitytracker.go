package measure

import (
	"printlint/internal/geom"
	"printlint/internal/layers"
)

// void is a body of empty cells.
type void struct {
	volume int        // cells of all layers
	area   int        // cells of its largest piece in one layer
	first  layers.Run // of its lowest layer
	box    cellBox
}

// mostBodies bounds the bodies and voids that are followed at a time or were joined to
// others, where a mesh of noise has one in every layer everywhere.
const mostBodies = 100_000

// outside is the number of what is no void: all that reaches the air around the model.
const outside int32 = 0

// cavityTracker joins the empty cells of the layers into voids.
type cavityTracker struct {
	grid *layers.Grid
	// open says that all empty cells of the layer below are outside, as they are of
	// most layers of most parts; what follows is then not kept.
	open           bool
	below, now     []layers.Run     // empty runs
	belowOf, nowOf []int32          // the void of each
	label          geom.Sets[int32] // joins the runs of one layer
	owner          []int32          // by the first run of a piece: its void
	area           []int            // by the first run of a piece: its cells
	voids          []void
	sets           geom.Sets[int32]
}

func newCavityTracker(s *stack, _ None) *cavityTracker {
	v := followed(s, &cavityTracker{grid: &s.grid, voids: make([]void, 1), sets: geom.Sets[int32]{outside}})
	s.atTop = append(s.atTop, v.finish)
	return v
}

func (v *cavityTracker) follow(k int, below, now *sections, _ []link) {
	if len(v.voids) > mostBodies {
		return
	}
	same := below == now
	if k == 0 || v.open && (same || now.holes == 0) {
		v.open = true // what the bed covers is open later
		return
	}
	if same {
		clear(v.area) // each piece goes on in the void it has
		v.place(k)
		return
	}
	if v.open {
		v.now = v.emptyRuns(v.now[:0], below.runs)
		v.nowOf = append(v.nowOf[:0], make([]int32, len(v.now))...)
	}
	v.below, v.now = v.now, v.below
	v.belowOf, v.nowOf = v.nowOf, v.belowOf
	v.now = v.emptyRuns(v.now[:0], now.runs)
	v.label = joinSides(v.now, v.label)
	v.meet()
	v.place(k)
	v.open = true
	for _, h := range v.nowOf {
		v.open = v.open && v.sets.Root(h) == outside
	}
}

// emptyRuns appends the runs of a whole plane that are not solid.
func (v *cavityTracker) emptyRuns(out, solid []layers.Run) []layers.Run {
	return emptyRuns(out, solid, cellRect{[2]int32{0, int32(v.grid.Words) * 64}, [2]int32{0, int32(v.grid.Rows)}})
}

// emptyRuns appends the runs of a rectangle of cells that are not solid, of which all lie in it.
func emptyRuns(out, solid []layers.Run, in cellRect) []layers.Run {
	i := 0
	for row := in.row[0]; row < in.row[1]; row++ {
		from := in.col[0]
		for ; i < len(solid) && solid[i].Row == row; i++ {
			if from < solid[i].From {
				out = append(out, layers.Run{Row: row, From: from, To: solid[i].From})
			}
			from = solid[i].To
		}
		if from < in.col[1] {
			out = append(out, layers.Run{Row: row, From: from, To: in.col[1]})
		}
	}
	return out
}

// joinSides joins the runs of one plane that share a side. Cells that meet in a
// corner only stay apart, as the solid cells beside them are joined there.
func joinSides(runs []layers.Run, s geom.Sets[int32]) geom.Sets[int32] {
	s = s[:0].Grow(len(runs))
	j := 0
	for i := range runs {
		r := &runs[i]
		for runs[j].Row < r.Row-1 || runs[j].Row == r.Row-1 && runs[j].To <= r.From {
			j++
		}
		for n := j; runs[n].Row == r.Row-1 && runs[n].From < r.To; n++ {
			s.Join(int32(n), int32(i))
		}
	}
	return s
}

// meet gives each piece of the layer the void below it, and joins voids that
// meet in it. The piece of the first run holds the margin around the model: it is
// the outside.
func (v *cavityTracker) meet() {
	v.owner, v.area = fill(v.owner, len(v.now)), append(v.area[:0], make([]int, len(v.now))...)
	v.owner[0] = outside
	layers.EachOverlap(v.below, v.now, func(a, b int) {
		own := &v.owner[v.label.Root(int32(b))]
		if void := v.belowOf[a]; *own == none {
			*own = void
		} else if *own != void {
			v.join(*own, void)
		}
	})
}

// join makes one void of two, under the lower number: that one began in the lower layer, or
// in the same. The outside stays the outside.
func (v *cavityTracker) join(a, b int32) {
	a, b = min(v.sets.Root(a), v.sets.Root(b)), max(v.sets.Root(a), v.sets.Root(b))
	if a == b {
		return
	}
	v.sets.Join(a, b)
	p, q := &v.voids[a], &v.voids[b]
	p.volume, p.area = p.volume+q.volume, max(p.area, q.area)
	p.box.include(&q.box)
}

// place adds the runs of layer k to their voids, new ones where nothing is below.
func (v *cavityTracker) place(k int) {
	v.nowOf = v.nowOf[:0]
	for i := range v.now {
		root := v.label.Root(int32(i))
		if v.owner[root] == outside {
			v.nowOf = append(v.nowOf, outside)
			continue
		}
		r := &v.now[i]
		box := cellBox{[2]int32{r.From, r.To}, [2]int32{r.Row, r.Row + 1}, [2]int32{int32(k), int32(k) + 1}}
		own := v.owner[root]
		if own == none {
			own = int32(len(v.voids))
			v.voids = append(v.voids, void{first: *r, box: box})
			v.sets = v.sets.Grow(len(v.voids))
		}
		own = v.sets.Root(own)
		v.owner[root] = own
		v.nowOf = append(v.nowOf, own)
		h := &v.voids[own]
		n := int(r.To - r.From)
		v.area[root] += n
		h.volume, h.area = h.volume+n, max(h.area, v.area[root])
		h.box.include(&box)
	}
}

// finish opens what is still open upward at the top.
func (v *cavityTracker) finish() error {
	if v.open {
		return nil
	}
	for _, h := range v.nowOf {
		v.join(h, outside)
	}
	return nil
}
