package mesh

import (
	"slices"
)

// None stands for no half-edge and no shell.
const None = ^uint32(0)

// Topology is how the triangles of a mesh hang together. Half-edge h is the side of
// triangle h/3 that runs from its corner h%3 to the next one. Triangles that name a
// corner twice, and second copies of a triangle, take no part in edges and shells.
type Topology struct {
	// Twin is, for each half-edge, the only other half-edge along the same edge, or
	// None at open and crowded edges and at triangles that take no part.
	Twin []uint32
	// Open are the half-edges without any neighbour, ascending.
	Open []uint32
	// Crowded are the half-edges along edges of more than two triangles; those of one
	// edge are the half-edges CrowdedAt[i] up to CrowdedAt[i+1] of the list.
	Crowded   []uint32
	CrowdedAt []uint32
	// Reversed are the half-edges whose twin runs the same way: two neighbours wound
	// against each other. The lower half-edge of each pair, ascending.
	Reversed []uint32
	// Zero are the triangles whose area is exactly zero, ascending.
	Zero []uint32
	// Duplicate are the triangles with the corners and winding of an earlier one,
	// ascending.
	Duplicate []uint32
	// Spare are those of them that the surface adds up without, ascending. The others
	// are needed: a face that two bodies have in common is there once for each.
	Spare []uint32
	// Shell is, for each triangle, the shell it belongs to, or None.
	Shell []uint32
	// Shells are the parts of the surface that hang together over edges of two
	// triangles, in the order of their first triangle.
	Shells []Shell
	open   bool
}

// Shell is one connected part of the surface.
type Shell struct {
	First     uint32 // its first triangle
	Triangles int
	Open      int     // half-edges without a neighbour
	Area      float64 // mm2
	Volume    float64 // mm3, signed; means something when the shell is closed
	Box       Box
	// Closed says that every edge is run through as often one way as the other, so
	// that the shell bounds a volume.
	Closed bool
}

// CrowdedEdges is the number of edges with more than two triangles.
func (t *Topology) CrowdedEdges() int { return max(0, len(t.CrowdedAt)-1) }

// CrowdedEdge returns the half-edges along crowded edge i.
func (t *Topology) CrowdedEdge(i int) []uint32 {
	return t.Crowded[t.CrowdedAt[i]:t.CrowdedAt[i+1]]
}

// Closed says that every edge of the mesh, without spare copies, is run through as
// often one way as the other, so that the surface bounds a volume.
func (t *Topology) Closed() bool { return !t.open && len(t.Shells) > 0 }

// Topology finds the edges and shells of a mesh, in time linear in its triangles. It
// works for up to 2^31 half-edges.
func (m *Mesh) Topology() *Topology {
	t := &Topology{Twin: make([]uint32, 3*len(m.Tris))}
	e := edges{mesh: m, t: t}
	e.chain()
	e.match()
	slices.Sort(t.Open)
	slices.Sort(t.Reversed)
	slices.Sort(t.Duplicate)
	t.Duplicate = slices.Compact(t.Duplicate)
	e.findSpare()
	m.findShells(t)
	return t
}

// edges gathers half-edges by their ends.
type edges struct {
	mesh *Mesh
	t    *Topology
	// head is, for each vertex, the last half-edge whose lower end it is, or None. Until
	// it is matched, a half-edge names the one before it in Twin: memory that is there
	// anyway, and none has to be asked for to sort them.
	head []uint32
	lane [lanes]lane
	copies
	group []uint64
}

// lanes is how many vertices are gathered at a time. Each step from one half-edge of a
// chain to the next waits for memory, and those of several chains wait together.
const lanes = 16

// laneRoom is for how many half-edges a chain has room from the start: most have six.
const laneRoom = 16

// lane is what was found along the chain of one vertex: for every half-edge its higher
// end (32 bits), its number (31 bits) and whether it runs from the lower end to the
// higher (1 bit).
type lane struct {
	next uint32
	list []uint64
}

// chain hangs every half-edge into the chain of its lower end.
func (e *edges) chain() {
	m, twin := e.mesh, e.t.Twin
	head := make([]uint32, len(m.Verts))
	for i := range head {
		head[i] = None
	}
	e.head = head
	for i, tri := range m.Tris {
		h := uint32(3 * i)
		a, b, c := tri[0], tri[1], tri[2]
		own := twin[h : h+3 : h+3]
		if a == b || b == c || c == a {
			own[0], own[1], own[2] = None, None, None
			continue
		}
		low := min(a, b)
		own[0], head[low] = head[low], h
		low = min(b, c)
		own[1], head[low] = head[low], h+1
		low = min(c, a)
		own[2], head[low] = head[low], h+2
	}
}

// match goes through the vertices and pairs the half-edges with the same ends.
func (e *edges) match() {
	room := make([]uint64, lanes*laneRoom)
	for k := range e.lane {
		e.lane[k].list = room[k*laneRoom : k*laneRoom : (k+1)*laneRoom]
	}
	for v := 0; v < len(e.head); v += lanes {
		n := min(lanes, len(e.head)-v)
		e.gather(e.head[v : v+n])
		for k := range n {
			b := e.lane[k].list
			sortShort(b)
			for i := 0; i < len(b); {
				j := i + 1
				for j < len(b) && b[j]>>32 == b[i]>>32 {
					j++
				}
				e.edge(b[i:j])
				i = j
			}
		}
	}
	if len(e.t.Crowded) > 0 {
		e.t.CrowdedAt = append(e.t.CrowdedAt, uint32(len(e.t.Crowded)))
	}
}

// gather follows the chains of some vertices side by side, a step of each in turn, and
// takes them apart.
func (e *edges) gather(heads []uint32) {
	for k, h := range heads {
		l := &e.lane[k]
		l.next, l.list = h, l.list[:0]
	}
	for more := true; more; {
		more = false
		for k := range heads {
			l := &e.lane[k]
			h := l.next
			if h == None {
				continue
			}
			more = true
			l.next = e.t.Twin[h]
			e.t.Twin[h] = None
			from, to := e.mesh.Ends(h)
			packed := uint64(to)<<32 | uint64(h)<<1 | 1
			if to < from {
				packed = uint64(from)<<32 | uint64(h)<<1
			}
			l.list = append(l.list, packed)
		}
	}
}

// sortShort sorts by insertion while there are few: most vertices have three
// half-edges in their bucket.
func sortShort(b []uint64) {
	if len(b) > 24 {
		slices.Sort(b)
		return
	}
	for i := 1; i < len(b); i++ {
		x := b[i]
		j := i
		for j > 0 && b[j-1] > x {
			b[j] = b[j-1]
			j--
		}
		b[j] = x
	}
}

func half(packed uint64) uint32 { return uint32(packed) >> 1 }

// edge records one edge, given all the half-edges along it.
func (e *edges) edge(group []uint64) {
	if len(group) == 2 && (group[0]^group[1])&1 != 0 {
		a, b := half(group[0]), half(group[1])
		e.t.Twin[a], e.t.Twin[b] = b, a
		return
	}
	whole := balance(group)
	if len(group) > 1 {
		group = e.dropCopies(group, whole)
	}
	if whole != 0 && balance(group) != 0 {
		e.t.open = true
	}
	switch len(group) {
	case 1:
		e.t.Open = append(e.t.Open, half(group[0]))
	case 2:
		a, b := half(group[0]), half(group[1])
		e.t.Twin[a], e.t.Twin[b] = b, a
		if (group[0]^group[1])&1 == 0 {
			e.t.Reversed = append(e.t.Reversed, min(a, b))
		}
	default:
		e.t.CrowdedAt = append(e.t.CrowdedAt, uint32(len(e.t.Crowded)))
		for _, p := range group {
			e.t.Crowded = append(e.t.Crowded, half(p))
		}
	}
}
