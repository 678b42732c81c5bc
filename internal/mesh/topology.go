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
	for i := range t.Twin {
		t.Twin[i] = None
	}
	e := edges{mesh: m, t: t}
	e.bucket()
	e.match()
	slices.Sort(t.Open)
	slices.Sort(t.Reversed)
	slices.Sort(t.Duplicate)
	t.Duplicate = slices.Compact(t.Duplicate)
	e.findSpare()
	m.findShells(t)
	m.findZero(t)
	return t
}

// edges sorts half-edges by their ends.
type edges struct {
	mesh *Mesh
	t    *Topology
	// at[v] is where the half-edges whose lower end is v begin in list.
	at []uint32
	// list packs, for every half-edge, its higher end (32 bits), its number (31 bits)
	// and whether it runs from the lower end to the higher (1 bit).
	list  []uint64
	group []uint64
	copies
}

// bucket puts every half-edge into the bucket of its lower end by a counting sort.
func (e *edges) bucket() {
	m := e.mesh
	e.at = make([]uint32, len(m.Verts)+2)
	count := e.at[2:]
	for _, tri := range m.Tris {
		a, b, c := tri[0], tri[1], tri[2]
		if a == b || b == c || c == a {
			continue
		}
		count[min(a, b)]++
		count[min(b, c)]++
		count[min(c, a)]++
	}
	sum := uint32(0)
	for i, n := range e.at {
		sum += n
		e.at[i] = sum
	}
	e.list = make([]uint64, sum)
	next := e.at[1:]
	for i, tri := range m.Tris {
		a, b, c := tri[0], tri[1], tri[2]
		if a == b || b == c || c == a {
			continue
		}
		h := uint64(3 * i)
		e.put(next, a, b, h)
		e.put(next, b, c, h+1)
		e.put(next, c, a, h+2)
	}
}

func (e *edges) put(next []uint32, from, to uint32, h uint64) {
	packed := uint64(to)<<32 | h<<1 | 1
	low := from
	if to < from {
		low, packed = to, uint64(from)<<32|h<<1
	}
	e.list[next[low]] = packed
	next[low]++
}

// match goes through the buckets and pairs the half-edges with the same ends.
func (e *edges) match() {
	for v := range e.mesh.Verts {
		b := e.list[e.at[v]:e.at[v+1]]
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
	if len(e.t.Crowded) > 0 {
		e.t.CrowdedAt = append(e.t.CrowdedAt, uint32(len(e.t.Crowded)))
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
