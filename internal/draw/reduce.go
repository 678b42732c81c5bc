package draw

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"math"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/mesh"
)

// Shape is a model with few triangles above the bed, for turning on a screen.
type Shape struct {
	Min     [3]float64 `json:"min"`     // corner of its box, in mm
	Step    float64    `json:"step"`    // mm of one unit of Corners
	Corners Packed     `json:"corners"` // x, y, z a vertex, from Min on
	Tris    Packed     `json:"tris"`    // three vertices a triangle
	Levels  []uint8    `json:"levels"`  // of each triangle: 0, or 1 + the rank of the level of its finding
	Marks   []Pin      `json:"marks"`
}

// Pin is the number of a finding at its place above the bed, in mm.
type Pin struct {
	Number int           `json:"number"`
	Level  finding.Level `json:"level"`
	At     [3]float64    `json:"at"`
}

// Packed are numbers that JSON carries as bytes in base64, two a number, the low one first.
type Packed []uint16

// MarshalJSON packs the numbers.
func (p Packed) MarshalJSON() ([]byte, error) {
	b := make([]byte, 0, 2*len(p))
	for _, x := range p {
		b = binary.LittleEndian.AppendUint16(b, x)
	}
	return json.Marshal(b)
}

// maxPins is how many numbers a Shape holds before they hide it.
const maxPins = 40

// maxShape is the most triangles of a Shape: what 16 bits can number, and more than a
// picture of a hand's width shows.
const maxShape = 20000

// Reduce makes a Shape of at most about most triangles of a model in a pose. Vertices
// that fall into one cell of a grid become one (J. Rossignac, P. Borrel,
// "Multi-resolution 3D approximations for rendering complex scenes", 1993; from memory).
func Reduce(m *mesh.Mesh, matrix [9]float64, marks []Mark, most int) *Shape {
	posed, place := lay(m, matrix)
	most = max(1, min(most, maxShape))
	k := markedOf(posed, place, marks)
	r := &reducer{m: posed, box: posed.Box()}
	if len(posed.Tris) <= most && len(posed.Verts) <= math.MaxUint16 {
		r.keepAll()
	} else {
		r.cluster(most)
	}
	s := r.shape(k)
	for i := range marks[:min(len(marks), maxPins)] {
		at := place.To(marks[i].At)
		s.Marks = append(s.Marks, Pin{marks[i].Number, marks[i].Level, [3]float64{finding.Round(at.X), finding.Round(at.Y), finding.Round(at.Z)}})
	}
	return s
}

// reducer gives every vertex a cluster.
type reducer struct {
	m      *mesh.Mesh
	box    mesh.Box
	cell   []int32 // by vertex
	middle []mesh.Vec
}

func (r *reducer) keepAll() {
	r.cell = make([]int32, len(r.m.Verts))
	for i, v := range r.m.Verts {
		r.cell[i] = int32(i)
		r.middle = append(r.middle, mesh.Of64(v))
	}
}

// gridCells bounds the cells of the grid that clusters come from.
const gridCells = 1 << 21

// cluster finds the finest grid whose clusters keep within the number of triangles: a
// closed surface has twice as many triangles as vertices.
func (r *reducer) cluster(most int) {
	low, high := 2, 256 // cells along the longest side
	for low+1 < high {
		mid := (low + high) / 2
		if r.lay(mid) <= most/2 {
			low = mid
		} else {
			high = mid
		}
	}
	r.middle = make([]mesh.Vec, r.lay(low))
	count := make([]float64, len(r.middle))
	for i, v := range r.m.Verts {
		c := r.cell[i]
		r.middle[c] = r.middle[c].Add(mesh.Of64(v))
		count[c]++
	}
	for c := range r.middle {
		r.middle[c] = r.middle[c].Scale(1 / count[c])
	}
}

// lay gives each vertex the cluster of its cell and returns how many there are, or more
// than enough where the grid is too fine.
func (r *reducer) lay(n int) int {
	size := r.box.Size()
	step := max(size.X, size.Y, size.Z) / float64(n)
	along := func(x float64) int { return int(x/step) + 1 }
	nx, ny, nz := along(size.X), along(size.Y), along(size.Z)
	if step <= 0 || nx*ny*nz > gridCells {
		return math.MaxInt32
	}
	first := make([]int32, nx*ny*nz)
	r.cell = slices.Grow(r.cell[:0], len(r.m.Verts))[:len(r.m.Verts)]
	used := int32(0)
	for i, v := range r.m.Verts {
		p := mesh.Of64(v).Sub(r.box.Min)
		cell := (min(int(p.Z/step), nz-1)*ny+min(int(p.Y/step), ny-1))*nx + min(int(p.X/step), nx-1)
		if first[cell] == 0 {
			used++
			first[cell] = used
		}
		r.cell[i] = first[cell] - 1
	}
	return int(used)
}

// joined is a triangle between three clusters.
type joined struct {
	sorted [3]int32
	tri    [3]int32
	level  uint8
}

// shape writes the triangles that three clusters are left of, each once.
func (r *reducer) shape(k *marked) *Shape {
	var list []joined
	for t, tri := range r.m.Tris {
		j := joined{tri: [3]int32{r.cell[tri[0]], r.cell[tri[1]], r.cell[tri[2]]}}
		if j.tri[0] == j.tri[1] || j.tri[1] == j.tri[2] || j.tri[2] == j.tri[0] {
			continue
		}
		j.sorted, j.level = j.tri, r.level(k, t)
		slices.Sort(j.sorted[:])
		list = append(list, j)
	}
	// Sorted so that a level comes before none, the worst first.
	slices.SortStableFunc(list, func(a, b joined) int {
		return cmp.Or(slices.Compare(a.sorted[:], b.sorted[:]), cmp.Compare(a.level-1, b.level-1))
	})
	list = slices.CompactFunc(list, func(a, b joined) bool { return a.sorted == b.sorted })
	size := r.box.Size()
	s := &Shape{Min: [3]float64{r.box.Min.X, r.box.Min.Y, r.box.Min.Z}, Marks: []Pin{}, Step: max(size.X, size.Y, size.Z, 1e-6) / math.MaxUint16}
	number := make([]int32, len(r.middle))
	for i := range list {
		if len(s.Corners)/3+3 > math.MaxUint16 {
			break
		}
		for _, c := range list[i].tri {
			if number[c] == 0 {
				s.add(r.middle[c].Sub(r.box.Min))
				number[c] = int32(len(s.Corners) / 3)
			}
			s.Tris = append(s.Tris, uint16(number[c]-1))
		}
		s.Levels = append(s.Levels, list[i].level)
	}
	return s
}

func (s *Shape) add(p mesh.Vec) {
	for _, x := range [3]float64{p.X, p.Y, p.Z} {
		s.Corners = append(s.Corners, uint16(max(0, min(math.Round(x/s.Step), math.MaxUint16))))
	}
}

// level is the level of the mark that the middle of a triangle belongs to, as
// Shape.Levels.
func (r *reducer) level(k *marked, t int) uint8 {
	a, b, c := r.m.Corners(t)
	mark := k.at(int32(t), a.Add(b).Add(c).Scale(1.0/3))
	if mark < 0 {
		return 0
	}
	return 1 + uint8(min(k.marks[mark].Level.Rank(), finding.Note.Rank()))
}
