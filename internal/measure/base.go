package measure

import (
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/geom"
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// Base is the measure of the first layer.
var Base = overLayers(
	catalog.Measure{
		Name:  "base",
		Title: "what the first layer puts on the bed",
		Doc: `Only its first layer holds a print on the bed. A round body touches the bed with next
to nothing, a cube on its edge with a line; both come loose. The foot is measured
through the middle of the first layer. Faces within 0.05 mm of the bed lie flat on it.
So do level ones, tilted by at most 1°, within half of the first layer, since the nozzle
presses that layer on. What is level above that, up to 1 mm, counts as a floor: it was
meant to lie on the bed, and something sticks out below it.`,
		Source: "own definition; 0.05 mm, 1° and 1 mm are judgement, no source",
	}, newBaseVisitor, base)

// Footprint is the first layer.
type Footprint struct {
	Area   float64 `measure:"area,mm2" doc:"footprint of the first layer"`
	Flat   float64 `measure:"flat,mm2" doc:"part of it that lies flat on the bed" sample:"4"`
	Share  float64 `measure:"share" doc:"footprint as a share of the largest layer" sample:"0.2"`
	Width  float64 `measure:"width,mm" doc:"smallest width of the footprint's convex hull"`
	Pieces int     `measure:"pieces" doc:"separate pieces of the footprint"`
	Floor  float64 `measure:"floor,mm2" doc:"level faces that look down, above half of the first layer and up to 1 mm above the bed" sample:"900"`
	Lift   float64 `measure:"lift,mm" doc:"mean height of these above the bed; 0 where there are none" sample:"0.26"`
}

// BaseSite is the place of the first layer.
type BaseSite struct {
	Footprint
	Height float64 `measure:"height,mm" doc:"height of the model, which the footprint must hold"`
}

// BaseModel says the same of the whole model.
type BaseModel struct {
	Footprint
	Height float64 `measure:"height,mm" doc:"height of the model"`
}

// baseVisitor keeps the first layer and the size of the largest.
type baseVisitor struct {
	grid    *layers.Grid
	runs    []layers.Run
	first   int
	largest int
}

func newBaseVisitor(s *stack, _ None) *baseVisitor { return visit(s, &baseVisitor{grid: &s.grid}) }

func (v *baseVisitor) Visit(_, layer *layers.Layer) {
	n := layers.Cells(layer.Runs)
	v.largest = max(v.largest, n)
	if layer.K == 0 {
		v.first = n
		v.runs = slices.Clone(layer.Runs)
	}
}

// footHeight is how far above the bed a face still counts as lying on it whatever its tilt, in mm.
// Judgement, no source.
const footHeight = 0.05

// footCosine is the cosine of the tilt up to which a face counts as lying on the bed that near to it; judgement,
// no source. It lets the lowest cap of a large ball count and keeps the edge of a cube out.
const footCosine = 0.97

// levelCosine is the cosine of the tilt up to which a face counts as level, 1 deg: what is tilted less is
// pressed on the bed by the first layer over its middle. Judgement, no source.
const levelCosine = 0.99985

// floorHeight is up to how far above the bed a level face may be what was meant to lie on it, in mm. Judgement,
// no source.
const floorHeight = 1

func base(s *stack, v *baseVisitor, _ None) (*found[BaseSite, BaseModel], error) {
	area := s.grid.Area(v.first)
	low := lowFaces{pressed: max(footHeight, s.grid.Height/2)}
	low.sum(s.mesh)
	share := 0.0
	if v.largest > 0 {
		share = float64(v.first) / float64(v.largest)
	}
	_, pieces, _ := layers.Label(v.runs, nil)
	height := s.mesh.Box().Size().Z
	foot := Footprint{Area: area, Flat: min(low.flat, area), Share: share, Width: v.width(), Pieces: pieces, Floor: low.floor}
	if low.floor > 0 {
		foot.Lift = low.lift / low.floor
	}
	tris := low.tris
	if len(tris) == 0 {
		tris = []uint32{lowest(s.mesh)}
	}
	out := &found[BaseSite, BaseModel]{model: BaseModel{foot, height}}
	site := s.onBed()
	site.Tris = tris
	out.add(site, BaseSite{foot, height})
	return out, nil
}

// onBed is the place where the model stands.
func (s *stack) onBed() Site {
	box := s.mesh.Box()
	box.Max.Z = 0
	return Site{At: s.place.Back(box.Middle()), Box: s.place.BackBox(box)}
}

// lowFaces adds up the faces near the bed, in mm and mm2 seen from above.
type lowFaces struct {
	pressed float64 // up to here a level face is pressed on the bed
	flat    float64 // what lies on the bed
	tris    []uint32
	floor   float64 // level faces over the first layer's middle, up to floorHeight
	lift    float64 // their heights, each times its area
}

// sum takes all faces, and lists those that lie on the bed.
func (l *lowFaces) sum(m *mesh.Mesh) {
	for i, t := range m.Tris {
		if min(m.Verts[t[0]][2], m.Verts[t[1]][2], m.Verts[t[2]][2]) > floorHeight {
			continue
		}
		n := m.Normal(i)
		cosine := math.Abs(n.Z) / n.Len()
		limit := footHeight
		if cosine >= levelCosine {
			limit = l.pressed
		}
		if !(cosine >= footCosine) { // NaN where a face has no area
			continue
		}
		low := lowArea(m, i, limit)
		l.flat += low
		if low > 0 && n.Z < 0 {
			l.tris = append(l.tris, uint32(i))
		}
		if cosine >= levelCosine && n.Z < 0 {
			a, b, c := m.Corners(i)
			if z := (a.Z + b.Z + c.Z) / 3; z > l.pressed && z <= floorHeight {
				l.floor += -n.Z / 2
				l.lift += float64(z * (-n.Z / 2))
			}
		}
	}
}

// lowArea is the area, seen from above, of the part of a triangle within a height of the bed.
func lowArea(m *mesh.Mesh, i int, height float64) float64 {
	a, b, c := m.Corners(i)
	if min(a.Z, b.Z, c.Z) > height {
		return 0
	}
	var part []mesh.Vec
	corners := [3]mesh.Vec{a, b, c}
	for j, p := range corners {
		q := corners[(j+1)%3]
		if p.Z <= height {
			part = append(part, p)
		}
		if (p.Z <= height) != (q.Z <= height) {
			part = append(part, p.Add(q.Sub(p).Scale((height-p.Z)/(q.Z-p.Z))))
		}
	}
	double := 0.0
	for j := range part {
		p, q := part[j], part[(j+1)%len(part)]
		double += float64(p.X*q.Y) - float64(q.X*p.Y)
	}
	return math.Abs(double) / 2
}

// lowest is the first triangle with a corner on the bed.
func lowest(m *mesh.Mesh) uint32 {
	best, at := float32(math.MaxFloat32), 0
	for i, t := range m.Tris {
		for _, v := range t {
			if z := m.Verts[v][2]; z < best {
				best, at = z, i
			}
		}
	}
	return uint32(at)
}

// width is the smallest distance between two parallel lines that hold the footprint.
func (v *baseVisitor) width() float64 {
	width, _ := geom.Width(new(hullBuilder).of(v.runs))
	return width * v.grid.Cell
}
