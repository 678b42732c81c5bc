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
		Doc: `A print holds to the bed by its first layer alone. A round body touches it with
next to nothing, a cube stood on an edge with a line; both come loose and are dragged
around. The footprint is taken through the middle of the first layer, the flat part
from faces that lie within 0.05 mm of the bed.`,
		Source: "own definition; the 0.05 mm is judgement, no source",
	}, newBaseVisitor, base)

// Footprint is the first layer.
type Footprint struct {
	Area   float64 `measure:"area,mm2" doc:"footprint of the first layer"`
	Flat   float64 `measure:"flat,mm2" doc:"part of it that lies flat on the bed"`
	Share  float64 `measure:"share" doc:"footprint as a share of the largest layer"`
	Width  float64 `measure:"width,mm" doc:"smallest width of the footprint's convex hull"`
	Pieces int     `measure:"pieces" doc:"separate pieces of the footprint"`
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
	n := 0
	for _, r := range layer.Runs {
		n += int(r.To - r.From)
	}
	v.largest = max(v.largest, n)
	if layer.K == 0 {
		v.first = n
		v.runs = slices.Clone(layer.Runs)
	}
}

// flatHeight is how far above the bed a face still counts as lying on it, in mm.
const flatHeight = 0.05

// flatCosine is the cosine of the tilt up to which a face counts as lying flat; judgement, no source. It
// lets the lowest cap of a large ball count and keeps the edge of a cube out.
const flatCosine = 0.97

func base(s *stack, v *baseVisitor, _ None) (*found[BaseSite, BaseModel], error) {
	area := s.grid.Area(v.first)
	flat, tris := flatOn(s.mesh)
	share := 0.0
	if v.largest > 0 {
		share = float64(v.first) / float64(v.largest)
	}
	_, pieces, _ := layers.Label(v.runs, nil)
	height := s.mesh.Box().Size().Z
	foot := Footprint{Area: area, Flat: min(flat, area), Share: share, Width: v.width(), Pieces: pieces}
	if len(tris) == 0 {
		tris = []uint32{lowest(s.mesh)}
	}
	box := s.mesh.Box()
	box.Max.Z = 0
	at := box.Min.Add(box.Max).Scale(0.5)
	out := &found[BaseSite, BaseModel]{model: BaseModel{foot, height}}
	out.add(Site{At: s.place.Back(at), Box: s.place.BackBox(box), Tris: tris}, BaseSite{foot, height})
	return out, nil
}

// flatOn sums the parts of faces that lie on the bed, and lists them.
func flatOn(m *mesh.Mesh) (area float64, tris []uint32) {
	for i, t := range m.Tris {
		if m.Verts[t[0]][2] > flatHeight && m.Verts[t[1]][2] > flatHeight && m.Verts[t[2]][2] > flatHeight {
			continue
		}
		low := lowArea(m, i)
		area += low
		if low > 0 && m.Normal(i).Z < 0 {
			tris = append(tris, uint32(i))
		}
	}
	return area, tris
}

// lowArea is the area, seen from above, of the part of a triangle within
// flatHeight of the bed.
func lowArea(m *mesh.Mesh, i int) float64 {
	if n := m.Normal(i); math.Abs(n.Z) < flatCosine*n.Len() {
		return 0
	}
	a, b, c := m.Corners(i)
	var part []mesh.Vec
	corners := [3]mesh.Vec{a, b, c}
	for j, p := range corners {
		q := corners[(j+1)%3]
		if p.Z <= flatHeight {
			part = append(part, p)
		}
		if (p.Z <= flatHeight) != (q.Z <= flatHeight) {
			part = append(part, p.Add(q.Sub(p).Scale((flatHeight-p.Z)/(q.Z-p.Z))))
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
