package measure

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/measure/thin"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// fragment is one or several small closed shells that touch each other and nothing else.
type fragment struct {
	volume float64 // mm3
	box    mesh.Box
	at     mesh.Vec // on its surface, as near to the middle of the box as that comes
	tris   []uint32
}

// lump is what hangs together over edges, those of more than two triangles among them: where bodies
// are drawn face to face, the surface of one falls into several shells.
type lump struct {
	fragment
	closed bool
	turned bool // wound inside out
	small  bool
	held   bool // belongs to a larger body; told of the first of a set
}

// fragmentFinder joins small lumps that touch, and finds out which touch a larger one.
type fragmentFinder struct {
	*evaluation
	query spatial.Query
	tally work.Tally
	lumps []lump
	of    []uint32 // by shell
	sets  geom.Sets[uint32]
}

// What the search may cost, in units of work, beside what the number of triangles allows:
// bodies that lie over each other make every one of them near every other.
const (
	fragmentCost = 50_000_000
	fragmentEach = 4000
	withinCost   = 300 // to hold two triangles against each other
)

// findFragments lists the fragments in the order of their first triangles.
func findFragments(r *evaluation, share float64) ([]fragment, error) {
	tree, err := r.search()
	if err != nil {
		return nil, err
	}
	inverted, err := r.insideOut()
	if err != nil {
		return nil, err
	}
	f := &fragmentFinder{evaluation: r, query: spatial.Query{Tree: tree}}
	f.tally = work.Of(r.ctx).Part(fragmentCost + fragmentEach*int64(len(r.body.Mesh.Tris))).Tally()
	f.gatherLumps(inverted)
	limit := share * f.largest()
	if !f.markSmall(limit) {
		return nil, nil
	}
	for i := range f.lumps {
		if f.lumps[i].small {
			f.join(uint32(i))
		}
	}
	if err := f.tally.Close(); errors.Is(err, work.ErrTooMuch) {
		return nil, fmt.Errorf("too many of its bodies lie over each other to look for small pieces: %w", work.ErrTooMuch)
	} else if err != nil {
		return nil, err
	}
	return f.apart(limit), nil
}

// gatherLumps joins shells along crowded edges and sums each lump up.
func (f *fragmentFinder) gatherLumps(inverted []uint32) {
	t := f.body.topology()
	sets := geom.Sets[uint32](nil).Grow(len(t.Shells))
	for i := range t.CrowdedEdges() {
		edge := t.CrowdedEdge(i)
		for _, h := range edge[1:] {
			sets.Join(t.Shell[edge[0]/3], t.Shell[h/3])
		}
	}
	order, starts := sets.Members()
	f.lumps, f.of = make([]lump, len(starts)-1), make([]uint32, len(t.Shells))
	for g := range f.lumps {
		l := &f.lumps[g]
		l.box, l.closed = mesh.EmptyBox(), true
		for _, s := range order[starts[g]:starts[g+1]] {
			shell := &t.Shells[s]
			f.of[s] = uint32(g)
			l.volume += shell.Volume
			l.box.IncludeBox(shell.Box)
			l.closed = l.closed && shell.Open == 0
			_, turned := slices.BinarySearch(inverted, s)
			l.turned = l.turned || turned
		}
	}
	for _, h := range t.Reversed {
		f.lumps[f.of[t.Shell[h/3]]].closed = false
	}
}

// largest is the volume of the largest closed lump.
func (f *fragmentFinder) largest() (most float64) {
	for i := range f.lumps {
		if l := &f.lumps[i]; l.closed {
			most = max(most, math.Abs(l.volume))
		}
	}
	return most
}

// markSmall marks the closed lumps below a volume, but for hollows, and gives them their
// triangles. It says whether there is one.
func (f *fragmentFinder) markSmall(limit float64) (some bool) {
	for i := range f.lumps {
		l := &f.lumps[i]
		l.small = l.closed && math.Abs(l.volume) < limit && (l.volume >= 0 || l.turned)
		l.volume = math.Abs(l.volume)
		some = some || l.small
	}
	if some {
		for i, s := range f.body.topology().Shell {
			if s != mesh.None && f.lumps[f.of[s]].small {
				l := &f.lumps[f.of[s]]
				l.tris = append(l.tris, uint32(i))
			}
		}
		f.sets = geom.Sets[uint32](nil).Grow(len(f.lumps))
	}
	return some
}

// held says that a lump is known to belong to a larger body.
func (f *fragmentFinder) held(i uint32) bool { return f.lumps[f.sets.Root(i)].held }

// join finds what a small lump touches.
func (f *fragmentFinder) join(i uint32) {
	if f.held(i) {
		return
	}
	if f.inside(i) {
		f.lumps[f.sets.Root(i)].held = true
		return
	}
	shell := f.body.topology().Shell
	for _, tri := range f.lumps[i].tris {
		own := f.corners(tri)
		box := mesh.EmptyBox()
		for _, p := range own {
			box.Include(p)
		}
		f.query.Near(box, thin.Touching, func(other uint32) bool {
			if shell[other] == mesh.None || f.sets.Root(f.of[shell[other]]) == f.sets.Root(i) {
				return true
			}
			their := f.corners(other)
			f.query.Cost += withinCost
			if spatial.Within(&own, &their, thin.Touching) {
				f.touch(i, f.of[shell[other]])
			}
			return !f.held(i)
		})
		cost := f.query.Cost
		f.query.Cost = 0
		if !f.tally.Add(cost) || f.held(i) {
			return
		}
	}
}

// touch notes that a small lump touches another one.
func (f *fragmentFinder) touch(i, other uint32) {
	held := !f.lumps[other].small || f.held(other)
	f.sets.Join(i, other)
	f.lumps[f.sets.Root(i)].held = held
}

// inside says that another body encloses a small lump, looked at from just outside the
// largest of its triangles.
func (f *fragmentFinder) inside(i uint32) bool {
	m, largest, size := f.body.Mesh, uint32(0), -1.0
	for _, t := range f.lumps[i].tris {
		if a := m.Normal(int(t)).Len(); a > size {
			largest, size = t, a
		}
	}
	c := f.corners(largest)
	n := m.Normal(int(largest)).Unit()
	if f.lumps[i].turned {
		n = n.Scale(-1)
	}
	p := c[0].Add(c[1]).Add(c[2]).Scale(1. / 3).Add(n.Scale(4 * f.query.Tree.Resolution()))
	return f.query.Winding(p, n) != 0
}

func (f *fragmentFinder) corners(tri uint32) [3]mesh.Vec {
	a, b, c := f.body.Mesh.Corners(int(tri))
	return [3]mesh.Vec{a, b, c}
}

// apart makes a fragment of every set that no larger body holds and that is small together.
func (f *fragmentFinder) apart(limit float64) []fragment {
	var out []fragment
	order, starts := f.sets.Members()
	for g := range starts[:len(starts)-1] {
		members := order[starts[g]:starts[g+1]]
		if first := &f.lumps[members[0]]; !first.small || first.held {
			continue
		}
		one := fragment{box: mesh.EmptyBox()}
		for _, i := range members {
			l := &f.lumps[i]
			one.volume += l.volume
			one.box.IncludeBox(l.box)
			one.tris = append(one.tris, l.tris...)
		}
		if one.volume < limit {
			one.at = f.nearest(one.tris, one.box.Middle())
			out = append(out, one)
		}
	}
	return out
}

// nearest is the point of some triangles that is nearest to p.
func (f *fragmentFinder) nearest(tris []uint32, p mesh.Vec) (at mesh.Vec) {
	least := math.Inf(1)
	for _, t := range tris {
		c := f.corners(t)
		q := spatial.NearestOnTriangle(p, c[0], c[1], c[2])
		if d := q.Sub(p); d.Dot(d) < least {
			at, least = q, d.Dot(d)
		}
	}
	return at
}
