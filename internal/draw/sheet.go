package draw

import (
	"image/color"
	"math"

	"printlint/internal/mesh"
)

// Sheet is a plane that is drawn through a shape as a sheet of grey glass: where the sum of its
// normal times a place is the offset. Seen from its edge it is a line.
type Sheet struct {
	Normal mesh.Vec // unit vector
	Offset float64
}

// The sheet is seen through, its border and where it meets the surface are lines.
var sheetFill = color.NRGBA{0x48, 0x50, 0x58, 0x60}

// beyond is how far a sheet reaches beyond the shape, as a share of the shape's size.
const beyond = 0.06

// corners are those of a rectangle in the plane around the shape, above the bed.
func (s *Sheet) corners(m *mesh.Mesh) []mesh.Vec {
	n := s.Normal
	along := mesh.Vec{Z: 1}.Cross(n)
	if along.Len() < 1e-6 {
		along = mesh.Vec{X: 1}
	}
	along = along.Unit()
	rise := n.Cross(along)
	lowA, highA, lowR, highR := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, v := range m.Verts {
		p := mesh.Of64(v)
		a, r := along.Dot(p), rise.Dot(p)
		lowA, highA, lowR, highR = min(lowA, a), max(highA, a), min(lowR, r), max(highR, r)
	}
	rim := float64(beyond * m.Box().Size().Len())
	lowA, highA, lowR, highR = lowA-rim, highA+rim, lowR-rim, highR+rim
	if bed := float64(-s.Offset * n.Z); math.Abs(rise.Z) > 1e-6 { // the height of a place is bed + r * rise.Z
		if rise.Z > 0 {
			lowR = max(lowR, bed/rise.Z)
		} else {
			highR = min(highR, bed/rise.Z)
		}
	}
	foot := n.Scale(s.Offset)
	at := func(a, r float64) mesh.Vec { return foot.Add(along.Scale(a)).Add(rise.Scale(r)) }
	return []mesh.Vec{at(lowA, lowR), at(highA, lowR), at(highA, highR), at(lowA, highR)}
}

// sheet is a sheet laid in a picture.
type sheet struct {
	x, y       [4]float64 // its corners, in samples
	turn       float64    // 1 or -1, the way these go round
	toward     float64    // depth at sample (0, 0), and gained a sample to the right or down
	dx, dy     float64
	edgeOn     bool // it is seen from its edge, as a line
	line, ends [2]float64
}

// in lays the sheet in a picture.
func (s *Sheet) in(m *mesh.Mesh, f *projection) *sheet {
	n := f.view.turn(s.Normal)
	k := &sheet{turn: 1}
	for i, p := range s.corners(m) {
		k.x[i], k.y[i] = f.sample(p)
	}
	const thin = 0.02
	if math.Abs(n.Z) < thin {
		k.asLine(n)
		return k
	}
	if k.side(0, k.x[2], k.y[2]) < 0 {
		k.turn = -1
	}
	depth := func(x, y float64) float64 {
		right, up := (x-f.ox)/f.scale, (f.oy-y)/f.scale
		return (s.Offset - float64(n.X*right) - float64(n.Y*up)) / n.Z
	}
	k.toward = depth(0, 0)
	k.dx, k.dy = depth(1, 0)-k.toward, depth(0, 1)-k.toward
	return k
}

// onLine says whether the edge runs through a sample, where no more is seen of the sheet.
func (k *sheet) onLine(x, y float64) bool {
	x, y = x-k.x[0], y-k.y[0]
	if across := float64(k.line[0]*y) - float64(k.line[1]*x); math.Abs(across) > border {
		return false
	}
	along := float64(k.line[0]*x) + float64(k.line[1]*y)
	return along >= k.ends[0] && along <= k.ends[1]
}

// asLine lays a sheet that is seen from its edge: its direction, and where it ends, counted
// from its first corner.
func (k *sheet) asLine(n mesh.Vec) {
	k.edgeOn = true
	long := max(length(n.X, n.Y), 1e-9)
	k.line = [2]float64{n.Y / long, n.X / long} // square to the normal, y pointing down
	for i := range k.x {
		along := float64(k.line[0]*(k.x[i]-k.x[0])) + float64(k.line[1]*(k.y[i]-k.y[0]))
		k.ends = [2]float64{min(k.ends[0], along), max(k.ends[1], along)}
	}
}

// border is half the width of a line, in samples.
const border = 1.3

// side is how far a sample lies inside of an edge, in samples.
func (k *sheet) side(edge int, x, y float64) float64 {
	next := (edge + 1) % 4
	ex, ey := k.x[next]-k.x[edge], k.y[next]-k.y[edge]
	return (float64(ex*(y-k.y[edge])) - float64(ey*(x-k.x[edge]))) / max(length(ex, ey), 1e-9)
}

// depth is how far the plane lies towards the viewer.
func (k *sheet) depth(x, y int) float64 {
	return k.toward + float64(k.dx*(float64(x)+0.5)) + float64(k.dy*(float64(y)+0.5))
}

// over lays the sheet over the colour of a sample.
func (k *sheet) over(c color.NRGBA, front *depths, x, y int) color.NRGBA {
	if k.edgeOn {
		if k.onLine(float64(x)+0.5, float64(y)+0.5) {
			return ink
		}
		return c
	}
	if k.meets(front, x, y) {
		return ink
	}
	inside := math.Inf(1)
	for e := range 4 {
		inside = min(inside, float64(k.turn*k.side(e, float64(x)+0.5, float64(y)+0.5)))
	}
	if inside < -border || front.id[y*front.width+x] != none && float64(front.z[y*front.width+x]) > k.depth(x, y) {
		return c
	}
	if inside < border {
		return ink
	}
	return through(c, sheetFill)
}

// meets says whether the plane runs through the surface at a sample: a neighbour lies on the
// other side of it.
func (k *sheet) meets(front *depths, x, y int) bool {
	i := y*front.width + x
	if front.id[i] == none {
		return false
	}
	before := float64(front.z[i]) > k.depth(x, y)
	for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
		u, v := x+d[0], y+d[1]
		if u < 0 || v < 0 || u >= front.width || v >= front.height {
			continue
		}
		if j := v*front.width + u; front.id[j] != none && float64(front.z[j]) > k.depth(u, v) != before {
			return true
		}
	}
	return false
}

// through is a colour seen through another.
func through(c, glass color.NRGBA) color.NRGBA {
	if c.A == 0 {
		return glass
	}
	seen := mix(c, color.NRGBA{glass.R, glass.G, glass.B, c.A}, int(glass.A), 0xFF)
	seen.A = c.A + uint8(int(glass.A)*(0xFF-int(c.A))/0xFF)
	return seen
}
