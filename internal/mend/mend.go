// Package mend makes a closed, consistently wound working copy of a damaged surface,
// so that it is cut into layers like the shape it was meant to be, and keeps account
// of what had to be guessed on the way.
//
// It rests on one fact: the edges along which a surface does not add up (those that
// are run through more often one way than the other) always form closed loops, for a
// boundary has no boundary. Sheets spanned over these loops close any surface; whether
// they lie where the missing ones lay is another question, and Account answers it.
//
// Lengths are mm. A surface that needs nothing is handed back as it is.
package mend

import (
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// Mended is a surface that adds up along every edge.
type Mended struct {
	// Mesh keeps the numbers of the triangles it was made from. Those left out have
	// three times the same corner; those beyond the original number fill holes.
	Mesh *mesh.Mesh
	// Beside names, for each triangle that fills a hole, an original one at its rim.
	Beside []uint32
	// First is a triangle beside the hole that took most guessing, mesh.None where none did.
	First uint32
	Account
}

// Account is what was done to a surface, and how much of it was guessed.
type Account struct {
	Copies    int     // second copies of triangles left out
	Pairs     int     // triangles left out because they lie back to back
	Turned    int     // triangles wound the other way round
	Stitched  int     // corners moved onto others to close seams
	Widest    float64 // how far apart the seams were stitched, mm
	Membranes int     // triangles left out because they divide the inside of a body
	Twisted   int     // edges of one-sided surfaces, where there is no telling sides
	Holes     int     // holes filled
	Area      float64 // of the original surface, mm2
	Filled    float64 // area spanned over holes, mm2
	Capped    float64 // the part of Filled that closes flat ends, beyond which nothing lies, mm2
	// Guessed is the part of Filled that neither continues a face beside it nor lies
	// in the plane of its rim, over holes whose rim is so far from flat that it
	// matters where the sheet lies, mm2.
	Guessed float64
	// Depth is the farthest that the rim of such a hole is from flat, mm.
	Depth float64
	// Cancelled counts bodies that are wound inside out and are neither the walls of a
	// hollow nor by themselves: where they touch or overlap others, one reading fills
	// what another empties.
	Cancelled int
	// Loose is the area of sheets that enclose nothing, mm2: what they were part of
	// could not be found out, and they vanish from the layers.
	Loose float64
}

// Original returns the triangle of the file that stands for triangle t of the mended
// mesh.
func (m *Mended) Original(t uint32) uint32 {
	if i := int(t) - (len(m.Mesh.Tris) - len(m.Beside)); i >= 0 {
		return m.Beside[i]
	}
	return t
}

// Mend closes and orients a surface. Tree is asked for a search tree over the original
// mesh only where a shell may be inside out and nothing else has been changed. It counts
// its work, and returns why that had to stop.
func Mend(meter *work.Meter, m *mesh.Mesh, t *mesh.Topology, tree func() (*spatial.Tree, error)) (whole *Mended, err error) {
	tally := meter.Tally()
	defer func() {
		if caught := recover(); caught != nil && caught != any(stopped) {
			panic(caught)
		}
		if ended := tally.Close(); ended != nil {
			whole, err = nil, ended
		}
	}()
	w := &mending{verts: m.Verts, tris: m.Tris, topo: t, given: len(m.Tris), first: mesh.None, tally: &tally}
	damaged, inverted := w.examine()
	if !damaged && !inverted {
		return &Mended{Mesh: m, First: mesh.None}, nil
	}
	w.tris = append([]mesh.Tri(nil), m.Tris...)
	if damaged {
		w.Area = m.Area()
		w.leaveOutCopies()
		w.leaveOutPairs()
		w.stitch()
		w.orient()
		r := w.rims()
		w.flipParts(r)
		w.leaveOutMembranes(r)
		w.fillHoles(r)
		// Copies stay from here on: a sheet that lies on a face is there to cancel it.
		w.topo = w.mesh().Topology()
		w.findLoose()
		tree = w.search
	}
	if err := w.turnShells(tree); err != nil {
		return nil, err
	}
	if err := w.findCancelled(); err != nil {
		return nil, err
	}
	return &Mended{Mesh: w.mesh(), Beside: w.beside, First: w.first, Account: w.Account}, nil
}

// mending is a surface being mended.
type mending struct {
	verts  []mesh.Point
	tris   []mesh.Tri
	topo   *mesh.Topology
	given  int // triangles of the original
	beside []uint32
	first  uint32           // a triangle beside the hole that took most guessing
	most   float64          // the area guessed there
	unsure []uint32         // a triangle of each shell that may be wound the wrong way round
	paired []facing         // one of each two triangles that were left out back to back
	hits   []spatial.RayHit // scratch
	tally  *work.Tally
	Account
}

// What steps cost in work, about: one of a triangle, a corner or an edge looked at, a
// corner put in order for stitching, a look from a place through the surface, and each
// triangle that it meets there.
const (
	stepCost = 10
	sortCost = 300
	lookCost = 3000
	hitCost  = 200
)

// stopped is raised where work may not go on, and caught in Mend, which tells why: the
// steps of mending are many and small, and each would have to hand an error on.
const stopped = "no work is left"

// spend counts steps of work, and stops the mending where it may not go on.
func (w *mending) spend(units int) {
	if w.tally != nil && !w.tally.Add(int64(units)) {
		panic(stopped)
	}
}

func (w *mending) mesh() *mesh.Mesh { return &mesh.Mesh{Verts: w.verts, Tris: w.tris} }

// refresh finds edges and shells anew, and leaves out copies that have come about.
func (w *mending) refresh() {
	w.topo = w.mesh().Topology()
	w.leaveOutCopies()
}

// leaveOut takes a triangle out of the surface and keeps its number.
func (w *mending) leaveOut(t uint32) {
	v := w.tris[t][0]
	w.tris[t] = mesh.Tri{v, v, v}
}

// leaveOutCopies leaves out all second copies, for they are no part of any edge of the
// topology. One that was needed, as a face that two bodies have in common, comes back
// as the sheet over the hole it leaves.
func (w *mending) leaveOutCopies() {
	for _, t := range w.topo.Duplicate {
		w.leaveOut(t)
	}
	w.Copies += len(w.topo.Duplicate)
}

// leaveOutPairs leaves out triangles that lie back to back.
func (w *mending) leaveOutPairs() {
	list := pairs(w.mesh(), w.topo)
	if len(list) == 0 {
		return
	}
	for _, t := range list {
		if f := facingOf(w.tris[t], t); f.even {
			w.paired = append(w.paired, f)
		}
		w.leaveOut(t)
	}
	w.Pairs += len(list)
	w.refresh()
}

// flip winds a triangle the other way round.
func (w *mending) flip(t uint32) {
	w.tris[t][1], w.tris[t][2] = w.tris[t][2], w.tris[t][1]
	w.Turned++
}

func (w *mending) search() (*spatial.Tree, error) { return spatial.Build(w.mesh(), nil, 1) }

// at returns the position of a vertex.
func (w *mending) at(v uint32) mesh.Vec { return mesh.Of64(w.verts[v]) }

// normal returns the normal of a triangle with twice its area as length.
func (w *mending) normal(t uint32) mesh.Vec {
	return w.mesh().Normal(int(t))
}

// examine says whether a surface does not add up, or is wound against itself, and
// whether a closed part of it may be inside out.
func (w *mending) examine() (damaged, inverted bool) {
	m, t := w.mesh(), w.topo
	if len(t.Spare) > 0 || len(t.Shells) > 0 && !t.Closed() || len(pairs(m, t)) > 0 {
		return true, false
	}
	for _, volume := range w.bodies().volume {
		inverted = inverted || volume < 0
	}
	return false, inverted
}
