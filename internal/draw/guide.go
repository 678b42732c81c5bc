package draw

import (
	"math"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// Guides are what helps to read a picture, in pixels: a report draws them over it, so
// that they stay sharp.
type Guides struct {
	// Axes are where x, y and z of the file end, seen from where they meet.
	Axes [3][2]float64
	// Scale is how many pixels a millimetre across the line of sight is long, and Bar a
	// round length in mm for a bar to show it.
	Scale, Bar float64
	// Arrow is the way the model turns to lie as advised, from its tail to its head; empty
	// where it does not.
	Arrow [][2]float64
	// Feet are the feet of bodies that tip.
	Feet []Foot
	// Pieces are where the numbers of pieces stand.
	Pieces []PieceAt
}

// PieceAt is where the number of a piece stands, in the middle of what is seen of it.
type PieceAt struct {
	Number int // from 1
	X, Y   float64
}

// Foot is what a body stands on, and where its weight pulls.
type Foot struct {
	Outline       [][2]float64 // of what holds it, on the bed
	Weight, Below [2]float64   // its centre of mass, and the point of the bed below it
}

const (
	axisLong = 24 // pixels, of an axis that lies across the line of sight
	barLong  = 48 // pixels, the least of a bar
)

// guides lays out what helps to read a picture of a model in a view.
func guides(m *mesh.Mesh, k *marked, f *projection, opt *Options) Guides {
	g := Guides{Scale: f.scale / grain}
	g.Bar = roundLength(barLong / g.Scale)
	for i, e := range [3]mesh.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		t := f.view.turn(mesh.Turn(&k.place.M, e))
		g.Axes[i] = [2]float64{axisLong * t.X, -axisLong * t.Y}
	}
	if opt.Next != ([9]float64{}) {
		g.Arrow = arrow(m, f, opt.Next)
	}
	for i := range k.marks {
		if k.marks[i].Stands {
			g.Feet = append(g.Feet, k.foot(m, f, i))
		}
	}
	return g
}

// leastTurn is the angle in degrees below which a turn has no arrow: nobody would see it.
const leastTurn = 5

// arrow is an arc over the model, about the axis of the turn: as long as the turn, but
// never so short that its way could not be told.
func arrow(m *mesh.Mesh, f *projection, next [9]float64) [][2]float64 {
	from := mesh.Vec{X: next[6], Y: next[7], Z: next[8]} // what shall point up
	up := mesh.Vec{Z: 1}
	angle := math.Atan2(from.Cross(up).Len(), from.Dot(up))
	if angle < leastTurn*math.Pi/180 {
		return nil
	}
	axis := from.Cross(up)
	if axis.Len() < 1e-6 { // upside down: over the side that the viewer sees best
		axis = mesh.Vec{X: -f.view.Toward.X, Y: -f.view.Toward.Y}
	}
	axis = axis.Unit()
	side := axis.Cross(up)
	box := m.Box()
	middle := box.Middle()
	size := box.Size()
	wide := math.Abs(float64(side.X*size.X)) + math.Abs(float64(side.Y*size.Y))
	radius := max(0.5*size.Z, 0.35*wide) + 9*grain/f.scale
	sweep := max(math.Pi/3, min(angle, 0.95*math.Pi))
	const steps = 24
	var line [][2]float64
	for i := range steps + 1 {
		// From over one side to over the other, the way the turn goes.
		sine, cosine := math.Sincos(sweep * (float64(i)/steps - 0.5))
		x, y := f.sample(middle.Add(up.Scale(radius * cosine)).Add(side.Scale(radius * sine)))
		line = append(line, [2]float64{x / grain, y / grain})
	}
	return line
}

// foot is the hull of what of a mark's body lies on the bed, and the plumb line from the
// mark's place, which is its centre of mass.
func (k *marked) foot(m *mesh.Mesh, f *projection, mark int) Foot {
	const lies = 0.05 // mm; what lies lower than that touches the bed
	box := &k.boxes[mark]
	var points []geom.Point
	for _, v := range m.Verts {
		p := mesh.Of64(v)
		if p.Z < lies && box.Contains(mesh.Vec{X: p.X, Y: p.Y, Z: box.Min.Z}, 0) {
			points = append(points, geom.Point{X: p.X, Y: p.Y})
		}
	}
	on := func(p mesh.Vec) [2]float64 {
		x, y := f.sample(p)
		return [2]float64{x / grain, y / grain}
	}
	var foot Foot
	for _, p := range geom.Hull(points) {
		foot.Outline = append(foot.Outline, on(mesh.Vec{X: p.X, Y: p.Y}))
	}
	at := k.place.To(k.marks[mark].At)
	foot.Weight, foot.Below = on(at), on(mesh.Vec{X: at.X, Y: at.Y})
	return foot
}

// goesDown marks the faces that lie on the bed in another way up, as no finding does.
func goesDown(m *mesh.Mesh, next [9]float64) Mark {
	turned, _ := lay(m, next)
	k := Mark{Level: downLevel, Box: mesh.EmptyBox(), Whole: true}
	for t := range turned.Tris {
		a, b, c := turned.Corners(t)
		if max(a.Z, b.Z, c.Z) > 0.05 || turned.Normal(t).Z >= 0 {
			continue
		}
		if a, b, c = m.Corners(t); len(k.Tris) == 0 {
			k.At = a.Add(b).Add(c).Scale(1.0 / 3)
		}
		k.Tris = append(k.Tris, uint32(t))
		for _, p := range [3]mesh.Vec{a, b, c} {
			k.Box.Include(p)
		}
	}
	return k
}

// CommonScale is how many pixels a millimetre may be long so that a model fits a picture
// of that size in every one of these ways up, from any side.
func CommonScale(m *mesh.Mesh, width, height int, ways ...[9]float64) float64 {
	scale := math.Inf(1)
	for _, w := range ways {
		turned, _ := lay(m, w)
		around := cornersOf(turned.Box())
		for side := range sides {
			for _, v := range [2]View{Above(side), Below(side)} {
				f := fit(v, around, width, height, margin(1))
				scale = min(scale, f.scale)
			}
		}
	}
	return scale
}

// cornersOf is a mesh of the corners of a box alone.
func cornersOf(box mesh.Box) *mesh.Mesh {
	around := &mesh.Mesh{}
	for i := range 8 {
		corner := mesh.Of32(box.Min)
		for axis, most := range [3]float64{box.Max.X, box.Max.Y, box.Max.Z} {
			if i>>axis&1 == 1 {
				corner[axis] = float32(most)
			}
		}
		around.Verts = append(around.Verts, corner)
	}
	return around
}
