package added

import (
	"math"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// Walls stand under a bridge and cut it into equal spans. The box is that of the underside,
// the bridge crosses it along x where alongX is said, else along y. They reach from a floor
// into the underside.
func Walls(box mesh.Box, alongX bool, count int, thickness, floor float64) *mesh.Triangles {
	out := &mesh.Triangles{}
	for i := range count {
		share := float64(i+1) / float64(count+1)
		lo, hi := box.Min, box.Max
		if alongX {
			x := lo.X + float64(share*(hi.X-lo.X))
			lo.X, hi.X = x-thickness/2, x+thickness/2
		} else {
			y := lo.Y + float64(share*(hi.Y-lo.Y))
			lo.Y, hi.Y = y-thickness/2, y+thickness/2
		}
		outline := []geom.Point{{X: lo.X, Y: lo.Y}, {X: hi.X, Y: lo.Y}, {X: hi.X, Y: hi.Y}, {X: lo.X, Y: hi.Y}}
		out.Corners = append(out.Corners, prism(outline, floor, box.Max.Z+sink)...)
	}
	return out
}

// Plate is a plate on the bed, of one thickness, below all that lies lower than reach and below
// the middle of the surface, with a rim of so many mm around. It is nil where nothing lies there.
func Plate(m *mesh.Mesh, reach, thickness, rim float64) (solid *mesh.Triangles, size mesh.Vec) {
	var points []geom.Point
	add := func(x, y float64) {
		// The corners of a square are as far out as the rim on every side.
		for _, d := range [4][2]float64{{-rim, -rim}, {rim, -rim}, {rim, rim}, {-rim, rim}} {
			points = append(points, geom.Point{X: x + d[0], Y: y + d[1]})
		}
	}
	for _, v := range m.Verts {
		if float64(v[2]) <= reach {
			add(float64(v[0]), float64(v[1]))
		}
	}
	if len(points) == 0 {
		return nil, size
	}
	c := m.Centroid()
	add(c.X, c.Y)
	hull := geom.Hull(points)
	box := mesh.EmptyBox()
	for _, p := range hull {
		box.Include(mesh.Vec{X: p.X, Y: p.Y})
	}
	size = box.Size()
	size.Z = thickness
	return &mesh.Triangles{Corners: prism(hull, 0, thickness)}, size
}

// prism is a convex outline, counter-clockwise, between two heights.
func prism(outline []geom.Point, low, high float64) []mesh.Point {
	at := func(p geom.Point, z float64) mesh.Point { return mesh.Point{float32(p.X), float32(p.Y), float32(z)} }
	var out []mesh.Point
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		out = append(out, at(p, low), at(q, low), at(q, high), at(p, low), at(q, high), at(p, high))
		if i > 0 && i+1 < len(outline) {
			first := outline[0]
			out = append(out, at(first, low), at(q, low), at(p, low), at(first, high), at(p, high), at(q, high))
		}
	}
	return out
}

// Thickness of a wall under a bridge: enough lines to stand. Judgement, no source.
func Thickness(line float64) float64 { return math.Max(3*line, 1.2) }
