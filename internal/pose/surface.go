package pose

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// surface is what the search knows of a mesh: its hull, and its area gathered by the
// direction it faces.
type surface struct {
	m      *mesh.Mesh
	limit  float64 // sine of the angle past which an underside hangs
	box    mesh.Box
	center mesh.Vec // of mass
	hull   *hull    // nil when the mesh is flat
	ends   []mesh.Vec
	bins   []facingBin
	heads  []int32 // triangles of bin i are tris[heads[i]:heads[i+1]]
	tris   []uint32
	tally  *work.Tally // once it says no, what is found is of no use
}

// What steps of the search cost in work, about: a corner or a bin looked at along one
// direction, and a triangle held against the bed or taken in at the start.
const (
	cornerCost   = 2
	binCost      = 3
	triangleCost = 20
)

// facingBin gathers triangles that face nearly the same way.
type facingBin struct {
	facing mesh.Vec // unit, their mean
	area   mesh.Vec // sum of area times normal
	// moment is the sum of area times normal times centroid, row by row: with it the
	// volume below them down to the bed needs no look at single triangles.
	moment [9]float64
}

// binSide is the cells along an edge of the cube that the sphere is divided by; a
// cell is 2 to 4 degrees wide.
const binSide = 32

// binOf returns the cell of the cube that a direction falls in.
func binOf(n mesh.Vec) int {
	c := [3]float64{n.X, n.Y, n.Z}
	k := 0
	for i := 1; i < 3; i++ {
		if math.Abs(c[i]) > math.Abs(c[k]) {
			k = i
		}
	}
	at := func(x float64) int {
		return min(max(int((x/math.Abs(c[k])+1)*binSide/2), 0), binSide-1)
	}
	side := 2 * k
	if c[k] < 0 {
		side++
	}
	return (side*binSide+at(c[(k+1)%3]))*binSide + at(c[(k+2)%3])
}

// hullSlack is how far a point may lie outside of the hull, in mm: far below what
// counts as lying on the bed. Judgement, no source.
const hullSlack = 0.005

func newSurface(m *mesh.Mesh, angle float64, tally *work.Tally) *surface {
	tally.Add(3 * triangleCost * int64(len(m.Tris)))
	s := &surface{m: m, tally: tally, limit: math.Sin(min(angle+angleSlack, 90) * math.Pi / 180), box: m.Box()}
	points := make([]mesh.Vec, len(m.Verts))
	for i, p := range m.Verts {
		points[i] = mesh.Of64(p)
	}
	if s.hull = hullOf(points, max(hullSlack, s.box.Size().Len()*1e-6), tally); s.hull != nil {
		s.ends = s.hull.corners()
	} else {
		s.ends = points
	}
	s.center = massCenter(m, s.box)
	s.gather()
	return s
}

// angleSlack, in degrees, keeps faces drawn at exactly the limit from hanging: as for the layers, a
// facet of 0.1 mm in float32 or six digits turns by up to 0.06 degrees (computed).
const angleSlack = 0.2

// gather sorts the triangles by the direction they face.
func (s *surface) gather() {
	cell := make([]int32, len(s.m.Tris))
	count := make([]int32, 6*binSide*binSide)
	for t := range s.m.Tris {
		n := s.m.Normal(t)
		cell[t] = -1
		if n != (mesh.Vec{}) {
			cell[t] = int32(binOf(n))
			count[cell[t]]++
		}
	}
	number := make([]int32, len(count))
	s.heads = []int32{0}
	for i, n := range count {
		if n > 0 {
			number[i] = int32(len(s.heads) - 1)
			s.heads = append(s.heads, s.heads[len(s.heads)-1]+n)
		}
	}
	s.bins = make([]facingBin, len(s.heads)-1)
	s.tris = make([]uint32, s.heads[len(s.bins)])
	next := slices.Clone(s.heads)
	for t, c := range cell {
		if c >= 0 {
			b := number[c]
			s.tris[next[b]] = uint32(t)
			next[b]++
			s.bins[b].add(s.m, t)
		}
	}
	for i := range s.bins {
		s.bins[i].facing = s.bins[i].area.Unit()
	}
}

func (b *facingBin) add(m *mesh.Mesh, t int) {
	p, q, r := m.Corners(t)
	n := q.Sub(p).Cross(r.Sub(p)).Scale(0.5)
	c := p.Add(q).Add(r).Scale(1.0 / 3)
	b.area = b.area.Add(n)
	for i, x := range [3]float64{n.X, n.Y, n.Z} {
		b.moment[3*i] += float64(x * c.X)
		b.moment[3*i+1] += float64(x * c.Y)
		b.moment[3*i+2] += float64(x * c.Z)
	}
}

// massCenter is the centre of mass of a solid body; of a surface that encloses hardly
// anything it is that of the surface.
func massCenter(m *mesh.Mesh, box mesh.Box) mesh.Vec {
	o := box.Middle()
	var sum mesh.Vec
	total := 0.0
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		a, b, c = a.Sub(o), b.Sub(o), c.Sub(o)
		v := a.Dot(b.Cross(c))
		total += v
		sum = sum.Add(a.Add(b).Add(c).Scale(v))
	}
	size := box.Size()
	if math.Abs(total) <= 1e-6*size.X*size.Y*size.Z {
		return m.Centroid()
	}
	return o.Add(sum.Scale(1 / (4 * total)))
}

// most bounds how many faces of each kind are looked at.
const (
	mostRests = 80
	mostFlats = 12
)

// leastFlat is the area, in mm2, from which a bin counts as a large flat face.
// Judgement, no source.
const leastFlat = 9.0

// flats lists the directions that most area faces, the largest first.
func (s *surface) flats() []mesh.Vec {
	order := make([]int, 0, len(s.bins))
	size := make([]float64, len(s.bins))
	for i := range s.bins {
		if size[i] = s.bins[i].area.Len(); size[i] >= leastFlat {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return -cmpRough(size[a], size[b]) })
	var list []mesh.Vec
	for _, i := range order[:min(len(order), mostFlats)] {
		list = append(list, s.bins[i].facing)
	}
	return list
}

// cmpRough compares two values that carry rounding: nearly equal ones are equal, so
// that the fixed order decides between symmetric faces.
func cmpRough(a, b float64) int { return cmp.Compare(rough(a), rough(b)) }

// rough cuts a value to about five digits.
func rough(x float64) float64 {
	if x == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-4)
	return math.Round(x/step) * step
}
