package measure

import (
	"slices"

	"printlint/internal/geom"
	"printlint/internal/layers"
)

// piece is a connected piece of one layer. Cells that meet in a corner are joined.
type piece struct {
	area           int64 // cells
	x2, y2         int64 // sums over its cells of twice the middle, in cells
	minCol, maxCol int32 // cells [minCol, maxCol)
	minRow, maxRow int32 // rows [minRow, maxRow)
}

// sections are the pieces of one layer.
type sections struct {
	runs   []layers.Run
	of     []int32 // the piece of each run
	pieces []piece // in the order of their first runs
	holes  int     // bodies of empty cells that the pieces shut in, seen sideways only
	sets   geom.Sets[int32]
	// The runs sorted by piece, made when first asked for, and where each piece begins.
	groups  []layers.Run
	heads   []int32
	grouped bool
}

// link joins a piece to one of the layer below it that shares a cell with it.
type link struct{ below, piece int32 }

// take finds the pieces that runs make.
func (s *sections) take(runs []layers.Run) {
	s.runs = append(s.runs[:0], runs...)
	s.sets, _, s.holes = layers.Label(s.runs, s.sets)
	s.of, s.pieces = s.of[:0], s.pieces[:0]
	for i, r := range s.runs {
		root := s.sets.Root(int32(i))
		id := int32(len(s.pieces))
		if int(root) == i {
			s.pieces = append(s.pieces, piece{minCol: r.From, maxCol: r.To, minRow: r.Row})
		} else {
			id = s.of[root]
		}
		s.of = append(s.of, id)
		q := &s.pieces[id]
		n := int64(r.To - r.From)
		q.area += n
		q.x2 += n * int64(r.From+r.To)
		q.y2 += n * int64(2*r.Row+1)
		q.minCol, q.maxCol, q.maxRow = min(q.minCol, r.From), max(q.maxCol, r.To), r.Row+1
	}
	s.grouped = false
}

// group sorts the runs by piece, by counting.
func (s *sections) group() {
	s.heads = append(s.heads[:0], make([]int32, len(s.pieces)+1)...)
	for _, id := range s.of {
		s.heads[id+1]++
	}
	for i := range s.pieces {
		s.heads[i+1] += s.heads[i]
	}
	if cap(s.groups) < len(s.runs) {
		s.groups = make([]layers.Run, len(s.runs)+len(s.runs)/2)
	}
	s.groups = s.groups[:len(s.runs)]
	for i := len(s.runs) - 1; i >= 0; i-- {
		id := s.of[i] + 1
		s.heads[id]--
		s.groups[s.heads[id]] = s.runs[i]
	}
	// Each end has become its own beginning: take it back by one place.
	copy(s.heads, s.heads[1:])
	s.heads[len(s.pieces)] = int32(len(s.runs))
}

// runsOf are the runs of one piece, by rows.
func (s *sections) runsOf(id int32) []layers.Run {
	if !s.grouped {
		s.group()
		s.grouped = true
	}
	return s.groups[s.heads[id]:s.heads[id+1]]
}

// follower takes the pieces of one layer after another, from the bed up. Links are
// sorted by nothing and may repeat; below and now are the same where the layer is like
// the one below. None of what is handed over may be kept.
type follower interface {
	follow(k int, below, now *sections, links []link)
}

// sectionVisitor finds the pieces of each layer once for all its followers.
type sectionVisitor struct {
	below, now *sections
	links      []link
	followers  []follower
}

func newSectionVisitor(followers ...follower) *sectionVisitor {
	return &sectionVisitor{below: new(sections), now: new(sections), followers: followers}
}

func (v *sectionVisitor) Visit(_, layer *layers.Layer) {
	v.links = v.links[:0]
	below := v.now
	if slices.Equal(layer.Runs, v.now.runs) { // straight walls: most layers of most parts
		for i := range v.now.pieces {
			v.links = append(v.links, link{int32(i), int32(i)})
		}
	} else {
		v.below, v.now = v.now, v.below
		v.now.take(layer.Runs)
		v.join()
	}
	for _, f := range v.followers {
		f.follow(layer.K, below, v.now, v.links)
	}
}

// join links the pieces of the layer to those below that share a cell with them.
func (v *sectionVisitor) join() {
	last := link{-1, -1}
	layers.EachOverlap(v.below.runs, v.now.runs, func(a, b int) {
		if l := (link{v.below.of[a], v.now.of[b]}); l != last {
			v.links = append(v.links, l)
			last = l
		}
	})
}
