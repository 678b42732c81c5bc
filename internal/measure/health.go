package measure

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

var healthSpec = spec{
	def: catalog.Measure{
		Name:  "mesh",
		Title: "whether the surface is whole",
		Doc: `A printable surface is closed and wound outward: every edge belongs to two triangles
that run through it in opposite ways. Each connected group of edges that break this is
a site, and so are all triangles without area, all second copies of triangles and all
triangles that cross each other. Corners belong together when they are at exactly the
same position. Much that is published has such faults and prints all the same; holes
are the ones that spoil a print, for where the surface has a hole there is no telling
inside from outside.`,
		Source: "the conditions of 3MF Core 1.x, 4.1 (manifold edges, consistent order, outward normals), by count instead of yes or no",
		Values: faultValues(catalog.Bool, "a closed shell that is wound inside out and is no cavity in another",
			catalog.Value{Name: "length", Unit: catalog.MM, Doc: "length of the site's edges"}),
		Model: faultValues(catalog.Number, "closed shells that are wound inside out and are no cavity in another",
			catalog.Value{Name: "triangles", Doc: "triangles in the file"},
			catalog.Value{Name: "shells", Doc: "parts of the surface that hang together over edges"},
			catalog.Value{Name: "area", Unit: catalog.MM2, Doc: "area of all triangles"},
			catalog.Value{Name: "volume", Unit: catalog.MM3, Doc: "volume, counted twice where bodies overlap; negative when inside out", Signed: true},
			catalog.Value{Name: "length", Unit: catalog.MM, Doc: "length of all open edges"}),
		PoseFree: true,
	},
	run: health,
}

// faultValues appends a value for every fault.
func faultValues(insideOut catalog.Unit, doc string, first ...catalog.Value) []catalog.Value {
	return append(first, []catalog.Value{
		{Name: "open", Doc: "edges of a single triangle: the rim of a hole"},
		{Name: "crowded", Doc: "edges of more than two triangles"},
		{Name: "reversed", Doc: "edges whose two triangles are wound against each other"},
		{Name: "inside_out", Unit: insideOut, Doc: doc},
		{Name: "zero", Doc: "triangles whose area is exactly zero"},
		{Name: "duplicate", Doc: "triangles with the same corners and winding as an earlier one"},
		{Name: "crossing", Doc: fmt.Sprintf("pairs of triangles that cross each other, counted up to %d", crossingLimit)},
	}...)
}

// The faults, in the order of faultValues.
const (
	faultOpen = iota
	faultCrowded
	faultReversed
	faultInsideOut
	faultZero
	faultDuplicate
	faultCrossing
	faults
)

// crossingLimit bounds the list of crossing triangles: a single pair says as much.
const crossingLimit = 10_000

func health(r *run, _ []float64) (Result, error) {
	m, t := r.body.Mesh, r.body.topology()
	tree, err := r.search()
	if err != nil {
		return Result{}, err
	}
	if err := r.ctx.Err(); err != nil {
		return Result{}, err
	}
	h := collector{mesh: m}
	h.edges(faultOpen, t.Open, func(int) []uint32 { return nil }, len(t.Open))
	h.crowded(t)
	h.edges(faultReversed, t.Reversed, func(i int) []uint32 { return []uint32{t.Twin[t.Reversed[i]]} }, len(t.Reversed))
	inverted, err := r.insideOut()
	if err != nil {
		return Result{}, err
	}
	h.shells(t, inverted)
	h.triangles(faultZero, t.Zero, len(t.Zero))
	h.triangles(faultDuplicate, t.Duplicate, len(t.Duplicate))
	crossing := tree.Crossings(r.ctx, m, t.Duplicate, crossingLimit, r.opt.Jobs)
	if err := work.Of(r.ctx).Err(); err != nil {
		return Result{}, err
	}
	tris := make([]uint32, 0, 2*len(crossing.Pairs))
	for _, p := range crossing.Pairs {
		tris = append(tris, p[0], p[1])
	}
	h.triangles(faultCrossing, tris, len(crossing.Pairs))

	out := Result{Sites: h.sites, Model: []float64{float64(len(m.Tris)), float64(len(t.Shells)), m.Area(), m.Volume(), h.open}}
	out.Model = append(out.Model, h.total[:]...)
	if crossing.Cut && len(crossing.Pairs) < crossingLimit {
		out.Undecided = "so many triangles lie in the same place that not all could be held against each other"
		out.Cure = tooMuchCure
	}
	return out, nil
}

// collector gathers sites and totals.
type collector struct {
	mesh  *mesh.Mesh
	sites []Site
	total [faults]float64
	open  float64
}

// site appends a site of one fault.
func (h *collector) site(fault int, count, length float64, at mesh.Vec, box mesh.Box, tris []uint32) {
	values := make([]float64, 1+faults)
	values[0], values[1+fault] = length, count
	h.sites = append(h.sites, Site{At: at, Box: box, Tris: tris[:min(len(tris), MaxTris)], Values: values})
	h.total[fault] += count
	if fault == faultOpen {
		h.open += length
	}
}

// triangles makes one site of all triangles with a fault. Its point is the middle of
// the lowest of them, so that it does not depend on the order in the file.
func (h *collector) triangles(fault int, tris []uint32, count int) {
	if count == 0 {
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
	h.site(fault, float64(count), 0, at, box, tris)
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
		if list, wanted := tris[s]; wanted && len(list) < MaxTris {
			tris[s] = append(list, uint32(i))
		}
	}
	for _, s := range inverted {
		box := t.Shells[s].Box
		h.site(faultInsideOut, 1, 0, box.Middle(), box, tris[s])
	}
}
