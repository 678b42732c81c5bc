package draw

import "printlint/internal/mesh"

// View is the direction from which a model on the bed is looked at. The three are unit
// vectors and stand square to each other.
type View struct {
	// Right, Up and Toward point to the right and the top of the picture and to the viewer.
	Right, Up, Toward mesh.Vec
	// Words say where the viewer stands.
	Words string
}

// direction is a horizontal unit vector to the viewer.
type direction struct {
	x, y  float64
	words string
}

// The sides a model can be looked at from, as horizontal unit vectors to the viewer: a
// triangle of 3, 4 and 5, so that no sine has to be computed and every machine has the
// same view. The first is shown where nothing speaks for another.
var sides = [4]direction{
	{0.6, -0.8, "the front, a little from the right"},
	{0.8, 0.6, "the right, a little from the back"},
	{-0.8, -0.6, "the left, a little from the front"},
	{-0.6, 0.8, "the back, a little from the left"},
}

// How high the viewer stands: 28 degrees above the bed (8, 15, 17), or 37 below (3, 4, 5).
const (
	aboveSine, aboveCosine = 8.0 / 17, 15.0 / 17
	belowSine, belowCosine = -0.6, 0.8
)

// Above returns the three-quarter view from above, from one of four sides.
func Above(side int) View {
	return look(side, aboveSine, aboveCosine, "seen from above, from ")
}

// Beside returns the view along the bed, which is a line in it.
func Beside(side int) View {
	straight := [4]direction{{0, -1, "the front"}, {1, 0, "the right"}, {-1, 0, "the left"}, {0, 1, "the back"}}
	return lookFrom(straight[side&3], 0, 1, "seen along the bed, from ")
}

// InFront returns the view from above on what lies in rows along x, in which none hides the next
// (7, 24, 25).
func InFront() View {
	return lookFrom(direction{0.28, -0.96, "the front"}, aboveSine, aboveCosine, "seen from above, from ")
}

// FromAbove are the four views from above.
func FromAbove() []View { return fromAll(Above) }

// FromBelow are the four views of the underside.
func FromBelow() []View { return fromAll(Below) }

// FromBeside are the four views along the bed.
func FromBeside() []View { return fromAll(Beside) }

func fromAll(from func(side int) View) []View {
	return []View{from(0), from(1), from(2), from(3)}
}

// Below returns the view of the underside, as through a bed of glass.
func Below(side int) View {
	return look(side, belowSine, belowCosine, "seen from below, through the bed, from ")
}

func look(side int, sine, cosine float64, words string) View {
	return lookFrom(sides[side&3], sine, cosine, words)
}

func lookFrom(d direction, sine, cosine float64, words string) View {
	return View{
		Right:  mesh.Vec{X: -d.y, Y: d.x},
		Up:     mesh.Vec{X: -sine * d.x, Y: -sine * d.y, Z: cosine},
		Toward: mesh.Vec{X: cosine * d.x, Y: cosine * d.y, Z: sine},
		Words:  words + d.words,
	}
}

// projection is how a view is laid on the samples of a picture.
type projection struct {
	view   View
	scale  float64  // samples a mm
	ox, oy float64  // the sample on which the origin falls
	middle mesh.Vec // of what is shown, in the view
}

// fit lays the model and its bed in the middle of width by height samples, at least
// margin samples from the border.
func fit(v View, m *mesh.Mesh, width, height, margin int) projection {
	box := mesh.EmptyBox()
	for _, p := range m.Verts {
		box.Include(v.turn(mesh.Of64(p)))
	}
	own := m.Box()
	for _, c := range [4]mesh.Vec{own.Min, own.Max, {X: own.Min.X, Y: own.Max.Y}, {X: own.Max.X, Y: own.Min.Y}} {
		box.Include(v.turn(mesh.Vec{X: c.X, Y: c.Y})) // the bed below
	}
	size := box.Size()
	room := func(pixels int) float64 { return float64(max(pixels-2*margin, 1)) }
	f := projection{view: v, scale: room(width) / max(size.X, 1e-6)}
	f.scale = min(f.scale, room(height)/max(size.Y, 1e-6))
	f.middle = box.Middle()
	f.rescale(f.scale, width, height)
	return f
}

// rescale gives the view a scale, what it shows staying in the middle.
func (f *projection) rescale(scale float64, width, height int) {
	f.scale = scale
	f.ox = float64(width)/2 - float64(f.middle.X*scale)
	f.oy = float64(height)/2 + float64(f.middle.Y*scale)
}

// turn takes a point above the bed into the view: right, up, toward the viewer.
func (v View) turn(p mesh.Vec) mesh.Vec {
	return mesh.Vec{X: v.Right.Dot(p), Y: v.Up.Dot(p), Z: v.Toward.Dot(p)}
}

// sample returns where a point above the bed falls, in samples, y pointing down.
func (f *projection) sample(p mesh.Vec) (x, y float64) {
	t := f.view.turn(p)
	return f.ox + float64(t.X*f.scale), f.oy - float64(t.Y*f.scale)
}

// onBed returns the point at z = 0 that falls on a sample, in a view that does not look along
// the bed.
func (f *projection) onBed(x, y float64) mesh.Vec {
	p := f.at(x, y, 0)
	// From there straight along the line of sight until the height is gone.
	return p.Sub(f.view.Toward.Scale(p.Z / f.view.Toward.Z))
}

// at returns the point that falls on a sample and lies depth mm towards the viewer.
func (f *projection) at(x, y, depth float64) mesh.Vec {
	v := &f.view
	right, up := (x-f.ox)/f.scale, (f.oy-y)/f.scale
	turned := mesh.Vec{X: right, Y: up, Z: depth}
	return mesh.Turn(&[9]float64{
		v.Right.X, v.Up.X, v.Toward.X,
		v.Right.Y, v.Up.Y, v.Toward.Y,
		v.Right.Z, v.Up.Z, v.Toward.Z,
	}, turned)
}
