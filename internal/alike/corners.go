package alike

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// corners are the distinct corners of a shape, those within a tolerance of each other taken
// for one, to be found by place.
type corners struct {
	m         *mesh.Mesh
	tolerance float64
	cell      float64
	slots     []uint32 // 1 + vertex, 0 where free; a power of two of them
	same      []uint32 // by vertex: the one it is taken for
	list      []uint32 // the distinct ones
}

func cornersOf(m *mesh.Mesh, tolerance float64) *corners {
	size := 16
	for size < 2*len(m.Verts) {
		size *= 2
	}
	c := &corners{m: m, tolerance: tolerance, cell: 8 * tolerance, slots: make([]uint32, size), same: make([]uint32, len(m.Verts))}
	for i := range m.Verts {
		p := mesh.Of64(m.Verts[i])
		if at, ok := c.find(p, tolerance); ok {
			c.same[i] = at
			continue
		}
		c.same[i] = uint32(i)
		c.list = append(c.list, uint32(i))
		slot := c.slot(c.cellOf(p.X), c.cellOf(p.Y), c.cellOf(p.Z))
		for c.slots[slot] != 0 {
			slot = (slot + 1) & (size - 1)
		}
		c.slots[slot] = uint32(i) + 1
	}
	return c
}

func (c *corners) cellOf(x float64) int64 { return int64(math.Floor(x / c.cell)) }

func (c *corners) slot(x, y, z int64) int {
	h := uint64(x)*0x9e3779b97f4a7c15 ^ uint64(y)*0xc2b2ae3d27d4eb4f ^ uint64(z)*0x165667b19e3779f9
	return int((h ^ h>>29) & uint64(len(c.slots)-1))
}

// find returns the distinct corner nearest to a place, if one lies within d of it.
func (c *corners) find(p mesh.Vec, d float64) (nearest uint32, ok bool) {
	best := float64(d * d)
	for x := c.cellOf(p.X - d); x <= c.cellOf(p.X+d); x++ {
		for y := c.cellOf(p.Y - d); y <= c.cellOf(p.Y+d); y++ {
			for z := c.cellOf(p.Z - d); z <= c.cellOf(p.Z+d); z++ {
				for slot := c.slot(x, y, z); c.slots[slot] != 0; slot = (slot + 1) & (len(c.slots) - 1) {
					v := c.slots[slot] - 1
					away := mesh.Of64(c.m.Verts[v]).Sub(p)
					if d2 := away.Dot(away); d2 <= best {
						best, nearest, ok = d2, v, true
					}
				}
			}
		}
	}
	return nearest, ok
}

// looseAt is how far apart corners may lie under a placement: what both files rounded, up
// to what a look-up can reach.
func (p *pair) looseAt(factor float64) float64 {
	return min(p.now.tolerance+float64(rounding*p.was.far*factor), p.now.corners.cell)
}

// maxLooks is how many placements are tried by surface where all corners fall on corners
// and the triangles between them are others. Judgement.
const maxLooks = 12

// byCorners places one shape on the other and says whether each corner of the one falls on
// one of the other, and each triangle. Where only the triangles are others, as of a square
// that is cut the other way, the surfaces decide.
func (p *pair) byCorners(at Placement) (r Result, ok bool, err error) {
	loose := p.looseAt(at.Factor)
	from := make([]uint32, len(p.was.Verts)) // by distinct corner of the former shape
	hit := make([]bool, len(p.now.Verts))
	found, farthest := 0, 0.0
	list := p.was.corners.list
	for n := range list {
		v := list[probe(n, len(list))]
		to := at.To(mesh.Of64(p.was.Verts[v]))
		near, ok := p.now.corners.find(to, loose)
		if !ok {
			return r, false, nil
		}
		farthest = max(farthest, mesh.Of64(p.now.Verts[near]).Sub(to).Len())
		if from[v] = near; !hit[near] {
			hit[near] = true
			found++
		}
	}
	if found < len(p.now.corners.list) {
		return r, false, nil
	}
	was, now := p.was.faces(from, at.Mirrors()), p.now.faces(nil, false)
	kept, inverted := sharedFaces(was, now)
	if kept == len(was) && kept == len(now) {
		return Result{Same: true, Placement: at, Within: farthest, Inverted: inverted}, true, nil
	}
	if p.looks++; p.looks > maxLooks {
		return r, false, nil
	}
	r, err = p.bySurface(at, nearly)
	return r, r.Same, err
}

// probe visits n places out of order, so that a misfit shows early.
func probe(i, n int) int {
	const stride = 7919 // a prime
	if n%stride == 0 {
		return i
	}
	return int(int64(i) * stride % int64(n))
}

// face is a triangle by the corners that it is taken for, rising, with whether it runs
// through them so.
type face struct {
	at     [3]uint32
	rising bool
	tri    uint32
}

// faces lists the triangles of a shape that have three corners, sorted; by the corners of
// the other shape where from says which these are.
func (s *side) faces(from []uint32, mirrored bool) []face {
	list := make([]face, 0, len(s.Tris))
	for t := range s.Tris {
		f := face{rising: !mirrored, tri: uint32(t)}
		for k, v := range s.Tris[t] {
			if f.at[k] = s.corners.same[v]; from != nil {
				f.at[k] = from[f.at[k]]
			}
		}
		swap := func(i, j int) {
			if f.at[i] > f.at[j] {
				f.at[i], f.at[j], f.rising = f.at[j], f.at[i], !f.rising
			}
		}
		swap(0, 1)
		swap(1, 2)
		swap(0, 1)
		if f.at[0] != f.at[1] && f.at[1] != f.at[2] {
			list = append(list, f)
		}
	}
	slices.SortFunc(list, compareFaces)
	return list
}

func compareFaces(a, b face) int {
	return cmp.Or(cmp.Compare(a.at[0], b.at[0]), cmp.Compare(a.at[1], b.at[1]), cmp.Compare(a.at[2], b.at[2]),
		cmp.Compare(way(a.rising), way(b.rising)))
}

func way(rising bool) int {
	if rising {
		return 1
	}
	return 0
}

// sharedFaces counts the triangles that both lists hold, and those of them that face the
// other way.
func sharedFaces(was, now []face) (kept, inverted int) {
	bothHave(was, now, func(a, b *face) {
		kept++
		if a.rising != b.rising {
			inverted++
		}
	})
	return kept, inverted
}

// bothHave goes through the triangles that both lists hold.
func bothHave(was, now []face, use func(a, b *face)) {
	for i, j := 0, 0; i < len(was) && j < len(now); {
		a, b := &was[i], &now[j]
		switch order := cmp.Or(cmp.Compare(a.at[0], b.at[0]), cmp.Compare(a.at[1], b.at[1]), cmp.Compare(a.at[2], b.at[2])); {
		case order < 0:
			i++
		case order > 0:
			j++
		default:
			use(a, b)
			i, j = i+1, j+1
		}
	}
}
