package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Mesh is the measure of whether the surface is whole.
var Mesh = define(
	catalog.Measure{
		Name:  "mesh",
		Title: "whether the surface is whole",
		Doc: `A printable surface is closed and faces outward: every edge belongs to two triangles
that run through it in opposite ways. Edges that break this and touch each other make one
place. So do all triangles without area, all second copies of triangles, and all
triangles that cross each other. Corners belong together if they are at exactly the same
position. Much that people publish has such faults and prints all the same. Holes are what
spoils a print: where the surface has a hole, nobody can tell inside from outside.`,
		Source:   "the conditions of 3MF Core 1.x, 4.1 (manifold edges, consistent order, outward normals), by count instead of yes or no",
		PoseFree: true,
	}, nil, health)

// EdgeFaults counts edges.
type EdgeFaults struct {
	Open     int `measure:"open" doc:"edges of a single triangle: the rim of a hole" sample:"3"`
	Crowded  int `measure:"crowded" doc:"edges of more than two triangles" sample:"2"`
	Reversed int `measure:"reversed" doc:"edges whose two triangles are wound against each other" sample:"4"`
}

// TriangleFaults counts triangles.
type TriangleFaults struct {
	Zero      int `measure:"zero" doc:"triangles whose area is exactly zero" sample:"5"`
	Duplicate int `measure:"duplicate" doc:"triangles with the same corners and winding as an earlier one" sample:"12"`
	Crossing  int `measure:"crossing" doc:"pairs of triangles that cross each other, counted up to 10000"`
}

// MeshSite is one fault: only its own count is not 0.
type MeshSite struct {
	Length float64 `measure:"length,mm" doc:"length of the site's edges" sample:"6.5"`
	EdgeFaults
	InsideOut bool `measure:"inside_out" doc:"a closed shell that is wound inside out and is no cavity in another"`
	TriangleFaults
}

// MeshModel is the mesh in numbers.
type MeshModel struct {
	Triangles int     `measure:"triangles" doc:"triangles in the file"`
	Shells    int     `measure:"shells" doc:"parts of the surface that hang together over edges"`
	Area      float64 `measure:"area,mm2" doc:"area of all triangles"`
	Volume    float64 `measure:"volume,mm3,signed" doc:"volume, counted twice where bodies overlap; negative when inside out"`
	Length    float64 `measure:"length,mm" doc:"length of all open edges"`
	EdgeFaults
	InsideOut int `measure:"inside_out" doc:"closed shells that are wound inside out and are no cavity in another"`
	TriangleFaults
}

// crossingLimit bounds the list of crossing triangles: a single pair says as much. The
// words of TriangleFaults tell it.
const crossingLimit = 10_000

func health(r *evaluation, _ None) (*found[MeshSite, MeshModel], error) {
	m, t := r.body.Mesh, r.body.topology()
	tree, err := r.search()
	if err != nil {
		return nil, err
	}
	if err := r.ctx.Err(); err != nil {
		return nil, err
	}
	h := collector{mesh: m}
	h.edges(t.Open, func(n int) EdgeFaults { return EdgeFaults{Open: n} }, func(int) []uint32 { return nil })
	h.crowded(t)
	h.edges(t.Reversed, func(n int) EdgeFaults { return EdgeFaults{Reversed: n} },
		func(i int) []uint32 { return []uint32{t.Twin[t.Reversed[i]]} })
	inverted, err := r.insideOut()
	if err != nil {
		return nil, err
	}
	h.shells(t, inverted)
	h.triangles(t.Zero, TriangleFaults{Zero: len(t.Zero)})
	h.triangles(t.Duplicate, TriangleFaults{Duplicate: len(t.Duplicate)})
	crossing := tree.Crossings(r.ctx, m, t.Duplicate, crossingLimit, r.opt.Jobs)
	if err := work.Of(r.ctx).Err(); err != nil {
		return nil, err
	}
	tris := make([]uint32, 0, 2*len(crossing.Pairs))
	for _, p := range crossing.Pairs {
		tris = append(tris, p[0], p[1])
	}
	h.triangles(tris, TriangleFaults{Crossing: len(crossing.Pairs)})

	h.model.Triangles, h.model.Shells, h.model.Area, h.model.Volume = len(m.Tris), len(t.Shells), m.Area(), m.Volume()
	if crossing.Cut && len(crossing.Pairs) < crossingLimit {
		h.undecided = Undecided{"so many triangles lie in the same place that not all could be held against each other", tooMuchCure}
	}
	return &h.found, nil
}

// collector gathers sites and adds them up.
type collector struct {
	mesh *mesh.Mesh
	found[MeshSite, MeshModel]
}

// site appends a site and counts it.
func (h *collector) site(v MeshSite, at mesh.Vec, box mesh.Box, tris []uint32) {
	h.add(Site{At: at, Box: box, Tris: tris}, v)
	m := &h.model
	m.Open += v.Open
	m.Crowded += v.Crowded
	m.Reversed += v.Reversed
	m.Zero += v.Zero
	m.Duplicate += v.Duplicate
	m.Crossing += v.Crossing
	if v.InsideOut {
		m.InsideOut++
	}
	if v.Open > 0 {
		m.Length += v.Length
	}
}

// triangles makes one site of all triangles with a fault. Its point is the middle of
// the lowest of them, so that it does not depend on the order in the file.
func (h *collector) triangles(tris []uint32, faults TriangleFaults) {
	if len(tris) == 0 {
		return
	}
	box := mesh.EmptyBox()
	var at mesh.Vec
	for i, t := range tris {
		a, b, c := h.mesh.Corners(int(t))
		box.Include(a)
		box.Include(b)
		box.Include(c)
		if m := a.Add(b).Add(c).Scale(1. / 3); i == 0 || lower(m, at) {
			at = m
		}
	}
	h.site(MeshSite{TriangleFaults: faults}, at, box, tris)
}

// lower orders points by z, then x, then y.
func lower(a, b mesh.Vec) bool {
	if a.Z != b.Z {
		return a.Z < b.Z
	}
	if a.X != b.X {
		return a.X < b.X
	}
	return a.Y < b.Y
}

// shells makes a site of each shell that is inside out. There may be as many of them as a
// file has room for, so their triangles are looked for together.
func (h *collector) shells(t *mesh.Topology, inverted []uint32) {
	tris := make(map[uint32][]uint32, len(inverted))
	for _, s := range inverted {
		tris[s] = nil
	}
	for i, s := range t.Shell {
		if list, wanted := tris[s]; wanted {
			tris[s] = append(list, uint32(i))
		}
	}
	for _, s := range inverted {
		box := t.Shells[s].Box
		h.site(MeshSite{InsideOut: true}, box.Middle(), box, tris[s])
	}
}
