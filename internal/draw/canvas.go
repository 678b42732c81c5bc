package draw

import (
	"math"

	"printlint/internal/mesh"
)

// fine is how many steps a sample is divided into for the corners of triangles.
// Corners lie on whole steps, and what they cover is decided in whole numbers, so that
// neighbours meet without a gap and alike on every machine.
const fine = 16

// vertex is a vertex in the picture.
type vertex struct {
	x, y int32   // in steps
	z    float64 // mm towards the viewer
}

// none marks a sample on which nothing falls.
const none = -1

// depths is a buffer of what lies nearest to the viewer on each sample.
type depths struct {
	width, height int
	z             []float32
	id            []int32 // triangle, or none
}

// reset makes the buffer ready for a picture of that size.
func (d *depths) reset(width, height int) {
	n := width * height
	d.width, d.height = width, height
	if cap(d.id) < n {
		d.z, d.id = make([]float32, n), make([]int32, n)
	}
	d.z, d.id = d.z[:n], d.id[:n]
	for i := range d.id {
		d.id[i] = none
		d.z[i] = float32(math.Inf(-1))
	}
}

// at returns the point above the bed that lies on the middle of a sample, by its index.
func (d *depths) at(f *projection, i int) mesh.Vec {
	return f.at(float64(i%d.width)+0.5, float64(i/d.width)+0.5, float64(d.z[i]))
}

// project lays the vertices of a mesh in the picture.
func project(m *mesh.Mesh, f *projection, into []vertex) []vertex {
	into = into[:0]
	for _, p := range m.Verts {
		v := mesh.Of64(p)
		x, y := f.sample(v)
		into = append(into, vertex{steps(x), steps(y), f.view.Toward.Dot(v)})
	}
	return into
}

// steps rounds a coordinate in samples to whole steps, within what a picture can be.
func steps(x float64) int32 {
	return int32(math.Floor(max(-1e6, min(x, 1e6))*fine + 0.5))
}

// triangle draws one triangle and returns how many samples were looked at. Of two at the
// same depth the first drawn stays.
func (d *depths) triangle(id int32, a, b, c vertex) (samples int32) {
	area := edge(a, b, c.x, c.y)
	if area == 0 {
		return 0
	}
	if area < 0 {
		b, c, area = c, b, -area
	}
	left, right := span(min(a.x, b.x, c.x), max(a.x, b.x, c.x), d.width)
	top, bottom := span(min(a.y, b.y, c.y), max(a.y, b.y, c.y), d.height)
	if left >= right || top >= bottom {
		return 0
	}
	plane := depthPlaneOf(a, b, c, area)
	for y := top; y < bottom; y++ {
		py := y*fine + fine/2
		x0 := left*fine + fine/2
		ea, eb, ec := edge(b, c, x0, py), edge(c, a, x0, py), edge(a, b, x0, py)
		da, db, dc := -int64(c.y-b.y)*fine, -int64(a.y-c.y)*fine, -int64(b.y-a.y)*fine
		row := int(y) * d.width
		for x := left; x < right; x++ {
			if ea >= 0 && eb >= 0 && ec >= 0 {
				i := row + int(x)
				if z := plane.at(x*fine+fine/2, py); z > d.z[i] {
					d.z[i], d.id[i] = z, id
				}
			}
			ea, eb, ec = ea+da, eb+db, ec+dc
		}
	}
	return (right - left) * (bottom - top)
}

// edge is positive where (x, y) lies on the inner side of the edge from p to q, and
// twice the area of the triangle, in steps.
func edge(p, q vertex, x, y int32) int64 {
	return int64(q.x-p.x)*int64(y-p.y) - int64(q.y-p.y)*int64(x-p.x)
}

// span returns the samples whose middles lie between two coordinates in steps.
func span(low, high int32, size int) (from, to int32) {
	from = (low + fine/2 - 1) >> 4
	to = (high-fine/2)>>4 + 1
	return max(from, 0), min(to, int32(size))
}

// depthPlane gives the depth of a triangle at any place of the picture.
type depthPlane struct {
	x, y      int32
	z, gx, gy float64
	low, high float64
}

func depthPlaneOf(a, b, c vertex, area int64) depthPlane {
	bx, by, bz := float64(b.x-a.x), float64(b.y-a.y), b.z-a.z
	cx, cy, cz := float64(c.x-a.x), float64(c.y-a.y), c.z-a.z
	n := float64(area)
	return depthPlane{
		x: a.x, y: a.y, z: a.z,
		gx:  (float64(bz*cy) - float64(cz*by)) / n,
		gy:  (float64(cz*bx) - float64(bz*cx)) / n,
		low: min(a.z, b.z, c.z), high: max(a.z, b.z, c.z),
	}
}

// at stays within the corners' depths: what is seen nearly from its edge is steep, and
// rounding a corner would throw its depth far off.
func (p *depthPlane) at(x, y int32) float32 {
	z := p.z + float64(p.gx*float64(x-p.x)) + float64(p.gy*float64(y-p.y))
	return float32(max(p.low, min(z, p.high)))
}
