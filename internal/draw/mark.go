package draw

import (
	"math"

	"printlint/internal/finding"
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// Mark is a finding as a picture shows it.
type Mark struct {
	// Number is what stands on its badge.
	Number int
	// Level decides colour, hatching and the shape of the badge.
	Level finding.Level
	// At and Box are its place, in mm in the file's own frame.
	At  mesh.Vec
	Box mesh.Box
	// Tris are triangles of the place. Whole says that they are all of them, so that
	// nothing else belongs to it.
	Tris  []uint32
	Whole bool
	// Stands says that it is about how a body stands, and At its centre of mass.
	Stands bool
}

// downLevel is the level of what is no finding: the faces that go down on the bed when the
// model is turned. Findings that reports show are never of that level.
const downLevel = finding.None

// marked says which triangles belong to which marks.
type marked struct {
	marks []Mark
	place mesh.Placement
	boxes []mesh.Box // of the marks, above the bed
	head  []int32    // by triangle: 1 + index of its first entry, 0 where it has none
	list  []markEntry
	tris  []uint32 // every triangle with an entry, rising
}

type markEntry struct{ mark, next int32 }

// boxSlack is how far outside of a finding's box, in mm, its surface is still
// painted: boxes come from cells and layers, surfaces do not end on them. Judgement, no source.
const boxSlack = 0.15

// markedOf finds the triangles of the marks on a mesh that lies on the bed. Marks come in the order of the report, the
// worst first; where two claim a place, the first is shown.
func markedOf(m *mesh.Mesh, place mesh.Placement, marks []Mark) *marked {
	k := &marked{marks: marks, place: place}
	if len(marks) == 0 {
		return k
	}
	k.head = make([]int32, len(m.Tris))
	for i := range marks {
		k.boxes = append(k.boxes, boxTo(place, marks[i].Box).Grow(boxSlack))
	}
	for i := len(marks) - 1; i >= 0; i-- {
		if !k.onSurface(m, i) {
			continue
		}
		for _, t := range marks[i].Tris {
			k.add(t, i)
		}
		if !marks[i].Whole {
			k.spread(m, i)
		}
	}
	for t, h := range k.head {
		if h != 0 {
			k.tris = append(k.tris, uint32(t))
		}
	}
	return k
}

// onSurface says whether a mark speaks of its triangles: its place lies on one of them.
// A finding about a body as a whole, such as where its weight lies, only borrows one.
func (k *marked) onSurface(m *mesh.Mesh, mark int) bool {
	const near = 1.0 // mm
	at := k.place.To(k.marks[mark].At)
	for _, t := range k.marks[mark].Tris {
		if int(t) >= len(m.Tris) {
			continue
		}
		box := mesh.EmptyBox()
		a, b, c := m.Corners(int(t))
		for _, p := range [3]mesh.Vec{a, b, c} {
			box.Include(p)
		}
		n := m.Normal(int(t)).Unit()
		if box.Contains(at, near) && math.Abs(n.Dot(at.Sub(a))) <= near {
			return true
		}
	}
	return false
}

func (k *marked) add(t uint32, mark int) {
	if int(t) >= len(k.head) {
		return
	}
	for e := k.head[t]; e != 0; e = k.list[e-1].next {
		if k.list[e-1].mark == int32(mark) {
			return
		}
	}
	k.list = append(k.list, markEntry{int32(mark), k.head[t]})
	k.head[t] = int32(len(k.list))
}

// spread adds the triangles in the box of a mark that are like those it lists: a site
// lists only so many. It does so only where all of them are undersides.
func (k *marked) spread(m *mesh.Mesh, mark int) {
	least := 90.0
	for _, t := range k.marks[mark].Tris {
		tilt, down := tiltOf(m, t)
		if !down {
			return
		}
		least = min(least, tilt)
	}
	if len(k.marks[mark].Tris) == 0 {
		return
	}
	box := &k.boxes[mark]
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		if !box.Contains(a, 0) || !box.Contains(b, 0) || !box.Contains(c, 0) {
			continue
		}
		if tilt, down := tiltOf(m, uint32(t)); down && tilt >= least {
			k.add(uint32(t), mark)
		}
	}
}

func tiltOf(m *mesh.Mesh, t uint32) (tilt float64, down bool) {
	if int(t) >= len(m.Tris) {
		return 0, false
	}
	tri := &m.Tris[t]
	return layers.Tilt(m.Verts[tri[0]], m.Verts[tri[1]], m.Verts[tri[2]])
}

// at returns the mark that a place on a triangle belongs to, or -1. The place is in mm
// above the bed.
func (k *marked) at(t int32, p mesh.Vec) int {
	if k.head == nil || t < 0 {
		return -1
	}
	for e := k.head[t]; e != 0; e = k.list[e-1].next {
		mark := int(k.list[e-1].mark)
		if k.boxes[mark].Contains(p, 0) {
			return mark
		}
	}
	return -1
}

// boxTo returns the box, above the bed, of a box in the file's own frame.
func boxTo(place mesh.Placement, b mesh.Box) mesh.Box {
	m := &place.M
	back := mesh.Placement{M: mesh.Transposed(m)}
	box := back.BackBox(b)
	box.Min.Z -= place.Drop
	box.Max.Z -= place.Drop
	return box
}
