package measure

import (
	"math"

	"printlint/internal/geom"
	"printlint/internal/layers"
)

// columnTrack is a part of the stack that has been narrow so far.
type columnTrack struct {
	start  int        // layer
	widths []float32  // mm, of each layer from start on; infinite within a collar
	rects  []cellRect // and where they lie
	collar int        // layers of the collar that it ends with
	box    cellBox
	braced bool
}

// cellRect is a rectangle of cells.
type cellRect struct{ col, row [2]int32 }

// columnTracker follows pieces that are narrow from layer to layer, each as long as
// it goes over into exactly one piece that is narrow too.
type columnTracker struct {
	grid       *layers.Grid
	width      float64        // mm, up to which a piece is narrow
	line       float64        // mm, the least that is laid
	below, now []*columnTrack // of each piece, nil where it is not narrow
	up, down   []int32        // of each piece below and now: the only one that it goes over into, or none or many
	done       []columnTrack
	huller     hullBuilder
	spare      []*columnTrack
}

// What a piece goes over into, where it is not one piece.
const (
	none int32 = -1
	many int32 = -2
)

func newColumnTracker(s *stack, p ColumnParams) *columnTracker {
	v := followed(s, &columnTracker{grid: &s.grid, width: p.Width, line: s.process.Line})
	s.atTop = append(s.atTop, v.finish)
	return v
}

func (v *columnTracker) follow(k int, below, now *sections, links []link) {
	if len(v.done) > mostSites {
		return
	}
	v.below, v.now = v.now, v.below[:0]
	v.up, v.down = fill(v.up, len(below.pieces)), fill(v.down, len(now.pieces))
	for _, l := range links {
		v.up[l.below] = only(v.up[l.below], l.piece)
		v.down[l.piece] = only(v.down[l.piece], l.below)
	}
	for i := range now.pieces {
		var s *columnTrack
		d := v.down[i]
		if d >= 0 && v.up[d] == int32(i) {
			s = v.below[d]
		}
		width, ok := v.narrow(now, int32(i))
		if !ok && !s.passes(v.grid.Height) {
			v.now = append(v.now, nil)
			continue
		}
		box := boxOf(k, &now.pieces[i])
		if s == nil {
			s = v.begin(k, box)
		} else {
			v.below[d] = nil
		}
		if ok {
			s.box.include(&box)
			s.widths, s.collar = append(s.widths, float32(width)), 0
		} else {
			s.widths, s.collar = append(s.widths, float32(math.Inf(1))), s.collar+1
		}
		s.rects = append(s.rects, cellRect{box.col, box.row})
		v.now = append(v.now, s)
	}
	v.brace(links)
	for _, s := range v.below {
		v.end(s)
	}
}

// fill makes n numbers that say none.
func fill(list []int32, n int) []int32 {
	list = list[:0]
	for range n {
		list = append(list, none)
	}
	return list
}

// only adds one to what is the only one so far.
func only(so, id int32) int32 {
	if so == none || so == id {
		return id
	}
	return many
}

// narrow reports whether a piece is narrow in every direction, and its width. The
// box tells most pieces that are not.
func (v *columnTracker) narrow(s *sections, id int32) (width float64, ok bool) {
	p, cell := &s.pieces[id], v.grid.Cell
	longest := float64(columnLength*v.width) + cell
	if float64(p.maxCol-p.minCol-1)*cell > longest || float64(p.maxRow-p.minRow-1)*cell > longest {
		return 0, false
	}
	width, diameter := geom.Width(v.huller.of(s.runsOf(id)))
	return width * cell, width*cell <= v.width+cell && diameter*cell <= longest
}

// passes says that one more wide layer is a collar still: no taller, to half a layer, than
// the column is wide.
func (s *columnTrack) passes(height float64) bool {
	return s != nil && (float64(s.collar)+.5)*height <= float64(s.widths[len(s.widths)-1-s.collar])
}

func (v *columnTracker) begin(k int, box cellBox) *columnTrack {
	if n := len(v.spare); n > 0 {
		s := v.spare[n-1]
		v.spare = v.spare[:n-1]
		*s = columnTrack{start: k, widths: s.widths[:0], rects: s.rects[:0], box: box}
		return s
	}
	return &columnTrack{start: k, box: box}
}

// brace marks what ends here because it joins something that also rests elsewhere.
func (v *columnTracker) brace(links []link) {
	for _, l := range links {
		if s := v.below[l.below]; s != nil && v.down[l.piece] == many {
			s.braced = true
		}
	}
}

// end keeps what is long enough to be a column.
func (v *columnTracker) end(s *columnTrack) {
	if s == nil {
		return
	}
	s.widths = s.widths[:len(s.widths)-s.collar] // a head is no collar
	if _, ratio := s.weakest(v.grid, v.line); ratio >= columnLeast {
		v.done = append(v.done, *s)
		return
	}
	v.spare = append(v.spare, s)
}

// finish ends what reaches the top.
func (v *columnTracker) finish() error {
	for _, s := range v.now {
		v.end(s)
	}
	v.now = nil
	return nil
}

// weakest finds the layer on which the tallest part stands for its width, and how
// many times as tall that part is. Less than a line is never laid.
func (s *columnTrack) weakest(g *layers.Grid, line float64) (at int, ratio float64) {
	ratio = math.Inf(-1)
	for i, w := range s.widths {
		if r := float64(len(s.widths)-i) * g.Height / max(float64(w), line); r > ratio {
			at, ratio = i, r
		}
	}
	return at, ratio
}
