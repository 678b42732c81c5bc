package measure

import (
	"slices"

	"printlint/internal/layers"
	"printlint/internal/measure/hang"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// stack is one sweep over the layers of a posed mesh and all that was taken on the
// way, so that the model is cut once whatever is asked of it.
type stack struct {
	mesh    *mesh.Mesh
	place   mesh.Placement
	grid    layers.Grid
	base    *baseVisitor
	islands *islandVisitor
	low     *lowFinder // made where an island is placed
	filling *fillingVisitor
	bodies
	hangs   map[float64]*hang.Collector // by the lean from which a cell hangs
	patches map[float64][]hang.Patch
	heavy   map[float64]error // why the patches of a lean could not be weighed
}

// defaultCell is the side of a cell where the process does not ask for a finer one.
const defaultCell = 0.1

// cell chooses the side of a cell: a quarter of a line at most, so that a line's
// edge is never lost between cells.
func (r *run) cell() float64 {
	if r.opt.Cell > 0 {
		return r.opt.Cell
	}
	return min(defaultCell, r.process.Line/4)
}

// layers sweeps the model once and returns what was found, or why that cannot be.
func (r *run) layers() (*stack, error) { return r.stack.get(r.sweep) }

func (r *run) sweep() (*stack, error) {
	s := &stack{hangs: map[float64]*hang.Collector{}, patches: map[float64][]hang.Patch{}, heavy: map[float64]error{}}
	if err := r.fit(); err != nil {
		return nil, err
	}
	whole, err := r.mended()
	if err != nil {
		return nil, err
	}
	s.mesh, s.place = whole.Mesh.Posed(r.pose.M)
	if s.grid, err = layers.NewGrid(s.mesh.Box(), r.process.Layer, r.cell()); err != nil {
		return nil, unlaid(err)
	}
	leans := slices.Compact(slices.Sorted(slices.Values(r.leans)))
	if err := fitLeans(&s.grid, len(leans)); err != nil {
		return nil, err
	}
	tops := layers.NewTops(&s.grid)
	s.base = newBaseVisitor(&s.grid)
	s.islands = newIslandVisitor(&s.grid, tops)
	s.filling = &fillingVisitor{}
	visitors := []layers.Visitor{tops, s.base, s.islands, s.filling}
	visitors = append(visitors, s.bodies.visitors(r, &s.grid)...)
	room := hang.NewRoom(work.Of(r.ctx), len(s.mesh.Tris))
	least := 90.0
	for _, lean := range leans {
		c := hang.NewCollector(&s.grid, tops, room, lean)
		s.hangs[lean] = c
		visitors = append(visitors, c)
		least = min(least, c.Lean())
	}
	// Of a surface with one side only, what looks up may be an underside.
	opt := layers.Options{Lean: least, TwoSided: whole.Twisted > 0, Jobs: r.opt.Jobs}
	if err := layers.Sweep(r.ctx, s.mesh, s.grid, opt, visitors...); err != nil {
		return nil, err
	}
	if err := room.Close(); err != nil {
		return nil, err
	}
	s.bodies.finish()
	return s, nil
}

// patchesOf weighs the patches of one lean, once.
func (r *run) patchesOf(lean float64) (*stack, []hang.Patch, error) {
	s, err := r.layers()
	if err != nil {
		return nil, nil, err
	}
	if list, ok := s.patches[lean]; ok {
		return s, list, s.heavy[lean]
	}
	list, err := s.hangs[lean].Patches(work.Of(r.ctx), s.mesh, hang.Options{Least: r.process.Line + s.grid.Cell, Reaches: r.reaches, Carry: r.process.Bridge})
	s.patches[lean], s.heavy[lean] = list, err
	return s, list, err
}

// clipTris bounds the triangles of a site, the telling one first.
func clipTris(first uint32, rest []uint32) []uint32 {
	list := []uint32{first}
	for _, t := range rest {
		if t != first && len(list) < MaxTris {
			list = append(list, t)
		}
	}
	return list
}
