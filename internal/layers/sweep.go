package layers

import (
	"context"
	"slices"
	"sync"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Layer is one filled layer, valid only during the visit.
type Layer struct {
	K     int
	Solid *Plane
	// Runs are those of Solid, by rows, left to right.
	Runs []Run
	// Rows [From, To) hold every cell in which the layer differs from the one below.
	From, To int
	// Spans are the steep undersides between the cut below and this one, in the
	// order of the triangles.
	Spans []Span
	// OpenRows counts rows whose outline did not close; UsedRows counts all rows met.
	OpenRows, UsedRows int
}

// Visitor looks at the layers in order, from the bed up. Below is the layer
// underneath, empty for the first; neither may be kept.
type Visitor interface {
	Visit(below, layer *Layer)
}

// Options say what a sweep collects and how wide it works.
type Options struct {
	// Tilt is the least tilt, in degrees from vertical, whose spans are collected.
	Tilt float64
	// TwoSided collects spans of upper sides too, for meshes whose winding lies.
	TwoSided bool
	// Jobs bounds the workers; 0 or 1 works in the caller alone.
	Jobs int
}

// planeBudget bounds the bytes of planes in one block, so that the window over a
// large model stays small.
const planeBudget = 4 << 20

// blockLayers is how many layers one worker fills at a time where planes are small, and
// markBudget bounds what their outlines and undersides come to.
const (
	blockLayers = 16
	markBudget  = 1 << 20
)

// Sweep cuts, fills and shows every layer of the mesh to the visitors, in order.
// It returns the context's error when that ends first, and one that wraps
// work.ErrTooMuch where the outlines are longer than can be followed. Workers never
// change what the visitors see.
func Sweep(ctx context.Context, m *mesh.Mesh, g Grid, opt Options, visitors ...Visitor) error {
	s, err := newSweep(m, g, opt)
	if err != nil {
		return err
	}
	return s.run(ctx, visitors)
}

// newSweep foresees what the sweep costs and lays it out.
func newSweep(m *mesh.Mesh, g Grid, opt Options) (*sweep, error) {
	s := &sweep{grid: &g, m: m, opt: opt}
	s.level = make([]int32, len(m.Verts))
	for i := range m.Verts {
		s.level[i] = int32(g.planesBelow(float64(m.Verts[i][2])))
	}
	p := s.estimate()
	if err := s.check(p); err != nil {
		return nil, err
	}
	s.plan = p
	s.size = min(max(min(planeBudget/(g.Rows*g.Words*8+1), int(markBudget/(p.most+1))), 1), blockLayers)
	if p.most > markBudget/4 {
		s.opt.Jobs = 1 // so that memory is that of one layer, and alike ones follow each other
		s.dense = int64(g.Rows)*int64(g.Cols+1) < 4*p.most
	}
	s.index()
	return s, nil
}

type sweep struct {
	grid  *Grid
	m     *mesh.Mesh
	opt   Options
	size  int // layers a block
	plan  *plan
	dense bool // outlines are added up by cell, one layer at a time
	level []int32
	// heads and tris list the triangles of each block one after the other.
	heads []int32
	tris  []uint32
}

// reach is the blocks a triangle takes part in: those of the cuts it crosses and of
// the gap above its highest corner.
func (s *sweep) reach(t mesh.Tri) (first, last int) {
	a, b, c := s.level[t[0]], s.level[t[1]], s.level[t[2]]
	top := s.grid.Layers - 1
	first, last = int(min(a, b, c)), min(int(max(a, b, c)), top)
	return min(first, top) / s.size, last / s.size
}

// index lists the triangles of each block.
func (s *sweep) index() {
	blocks := (s.grid.Layers + s.size - 1) / s.size
	s.heads = make([]int32, blocks+1)
	for _, t := range s.m.Tris {
		first, last := s.reach(t)
		for b := first; b <= last; b++ {
			if !s.copied(b) {
				s.heads[b+1]++
			}
		}
	}
	for b := range blocks {
		s.heads[b+1] += s.heads[b]
	}
	s.tris = make([]uint32, s.heads[blocks])
	next := slices.Clone(s.heads[:blocks])
	for i, t := range s.m.Tris {
		first, last := s.reach(t)
		for b := first; b <= last; b++ {
			if !s.copied(b) {
				s.tris[next[b]] = uint32(i)
				next[b]++
			}
		}
	}
}

// copied says that a block is no more than the layer below it once more.
func (s *sweep) copied(block int) bool { return s.size == 1 && s.opt.Jobs <= 1 && s.plan.alike[block] }

// block is the filled layers of one stretch.
type block struct {
	cut    *cutter
	spans  *spanFinder
	layers []Layer
	next   int // the layer after the last one filled
}

// spare are blocks of sweeps that are done: their lists and planes serve the next
// model, since fresh memory takes longer than what is written into it.
var spare = sync.Pool{New: func() any { return &block{cut: new(cutter), spans: new(spanFinder)} }}

// newBlock makes a block ready, out of one that is done where there is one.
func (s *sweep) newBlock() *block {
	b := spare.Get().(*block)
	b.cut.reset(s)
	b.next = 0
	b.spans.reset(s.grid, s.m, s.level, s.opt)
	for len(b.layers) < s.size {
		b.layers = append(b.layers, Layer{Solid: new(Plane)})
		b.cut.pending = append(b.cut.pending, nil)
		b.spans.spans = append(b.spans.spans, nil)
	}
	for i := range b.layers {
		b.layers[i].Solid.reset(s.grid)
	}
	return b
}

// release keeps the block for another sweep.
func (b *block) release() {
	b.cut.m, b.cut.level, b.cut.alike, b.cut.cells, b.spans.m, b.spans.level = nil, nil, nil, nil, nil, nil
	spare.Put(b)
}

// fill cuts and fills the layers of block index.
func (s *sweep) fill(b *block, index int) []Layer {
	first := index * s.size
	last := min(first+s.size, s.grid.Layers)
	for i := range b.spans.spans {
		b.spans.spans[i] = b.spans.spans[i][:0]
	}
	b.cut.follows = first > 0 && b.next == first
	b.next = last
	for _, t := range s.tris[s.heads[index]:s.heads[index+1]] {
		b.cut.triangle(s.m.Tris[t], first, last)
		b.spans.triangle(t, first, last)
	}
	for k := first; k < last; k++ {
		l := &b.layers[k-first]
		l.K, l.Spans = k, b.spans.spans[k-first]
		if s.plan.alike[k] && (k > first || b.cut.follows) {
			if below := &b.layers[(k-first+s.size-1)%s.size]; below != l {
				l.copy(below)
			}
			continue
		}
		l.Solid.Clear()
		l.OpenRows = b.cut.fill(k-first, l)
		l.UsedRows = l.Solid.High - l.Solid.Low
	}
	return b.layers[:last-first]
}

// copy makes the layer like the one below.
func (l *Layer) copy(below *Layer) {
	l.Solid.SetRows(below.Solid, below.Solid.Low, below.Solid.High)
	l.Runs = append(l.Runs[:0], below.Runs...)
	l.OpenRows, l.UsedRows = below.OpenRows, below.UsedRows
}

// run fills blocks on up to Jobs workers and visits them in order.
func (s *sweep) run(ctx context.Context, visitors []Visitor) error {
	below := &Layer{K: -1, Solid: NewPlane(s.grid)}
	tally := work.Of(ctx).Tally()
	visit := func(list []Layer) {
		under := below
		for i := range list {
			if !tally.Add(s.cost(&list[i], len(visitors))) {
				return
			}
			list[i].From, list[i].To = list[i].Solid.changedFrom(under.Solid)
			for _, v := range visitors {
				v.Visit(under, &list[i])
			}
			under = &list[i]
		}
		below.K = under.K
		below.Solid.SetRows(under.Solid, 0, s.grid.Rows)
	}
	blocks := len(s.heads) - 1
	if s.opt.Jobs <= 1 || blocks == 1 {
		b := s.newBlock()
		defer b.release()
		for i := range blocks {
			if err := ctx.Err(); err != nil {
				return err
			}
			visit(s.fill(b, i))
			if err := tally.Err(); err != nil {
				return err
			}
		}
		return tally.Close()
	}
	if err := s.runWide(ctx, blocks, visit); err != nil {
		return err
	}
	return tally.Close()
}

// What parts of a layer cost, in units of work: a word of a plane for each visitor, a
// run for all of them, and an outline or underside in a row.
const (
	wordCost = 2
	runCost  = 30
	markCost = 6
)

// cost is what cutting and looking at a layer costs, about.
func (s *sweep) cost(l *Layer, visitors int) int64 {
	words := int64(s.grid.Words) * int64(l.Solid.High-l.Solid.Low)
	return words*int64(visitors)*wordCost + int64(len(l.Runs))*runCost +
		(s.plan.crossings[l.K]+s.plan.spans[l.K])*markCost
}

// runWide keeps a bounded number of blocks in flight and hands them over in order.
func (s *sweep) runWide(ctx context.Context, blocks int, visit func([]Layer)) error {
	jobs := min(s.opt.Jobs, blocks)
	type filled struct {
		b    *block
		list []Layer
	}
	free := make(chan *block, jobs+1)
	for range jobs + 1 {
		free <- nil // a block is made by the worker that first needs it
	}
	done := make([]chan filled, blocks)
	for i := range done {
		done[i] = make(chan filled, 1)
	}
	// A worker takes a block first and an index second: the lowest index in flight
	// then always has a block, so the visits never wait for one that cannot come.
	next := make(chan int)
	stop := make(chan struct{})
	var workers work.Group
	for range jobs {
		workers.Go(func() {
			for {
				var b *block
				select {
				case b = <-free:
				case <-stop:
					return
				}
				i, more := <-next
				if !more {
					return
				}
				if b == nil {
					b = s.newBlock()
				}
				done[i] <- filled{b, s.fill(b, i)}
			}
		})
	}
	workers.Go(func() {
		defer close(next)
		for i := range blocks {
			select {
			case next <- i:
			case <-stop:
				return
			}
		}
	})
	err := func() error {
		defer close(stop) // also where a visitor panics: nobody waits for what will not come
		for i := range blocks {
			select {
			case f := <-done[i]:
				visit(f.list)
				free <- f.b
			case <-workers.Broken():
				return nil
			}
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		return nil
	}()
	workers.Wait()
	close(free)
	for b := range free {
		if b != nil {
			b.release()
		}
	}
	return err
}
