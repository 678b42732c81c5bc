package mesh

import "math"

// Vec is a point or direction in float64, in mm where it is a length.
type Vec struct{ X, Y, Z float64 }

// VecOf is a place or direction as reports and rules carry it.
func VecOf(v [3]float64) Vec { return Vec{v[0], v[1], v[2]} }

// Of32 rounds a vector to the coordinates of a mesh.
func Of32(v Vec) Point { return Point{float32(v.X), float32(v.Y), float32(v.Z)} }

// Of64 widens a stored corner.
func Of64(p Point) Vec { return Vec{float64(p[0]), float64(p[1]), float64(p[2])} }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a - b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Scale returns a times s, rounded as in Dot: within the caller it would be fused as well.
func (a Vec) Scale(s float64) Vec { return Vec{float64(a.X * s), float64(a.Y * s), float64(a.Z * s)} }

// Dot returns the scalar product. Each product is rounded on its own, so that no
// processor fuses it into the sum and answers at a limit are the same everywhere.
func (a Vec) Dot(b Vec) float64 {
	return float64(a.X*b.X) + float64(a.Y*b.Y) + float64(a.Z*b.Z)
}

// Cross returns the vector product, rounded as in Dot.
func (a Vec) Cross(b Vec) Vec {
	return Vec{
		float64(a.Y*b.Z) - float64(a.Z*b.Y),
		float64(a.Z*b.X) - float64(a.X*b.Z),
		float64(a.X*b.Y) - float64(a.Y*b.X),
	}
}

// Len returns the length of a.
func (a Vec) Len() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns a scaled to length 1, or the zero vector when a has no length.
func (a Vec) Unit() Vec {
	n := a.Len()
	if n == 0 {
		return Vec{}
	}
	return Vec{a.X / n, a.Y / n, a.Z / n}
}

// Box is an axis-parallel box. An empty box has Min above Max.
type Box struct{ Min, Max Vec }

// EmptyBox contains nothing and grows by Include.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Vec{inf, inf, inf}, Vec{-inf, -inf, -inf}}
}

// Include grows the box to hold p.
func (b *Box) Include(p Vec) {
	b.Min = Vec{min(b.Min.X, p.X), min(b.Min.Y, p.Y), min(b.Min.Z, p.Z)}
	b.Max = Vec{max(b.Max.X, p.X), max(b.Max.Y, p.Y), max(b.Max.Z, p.Z)}
}

// IncludeBox grows the box to hold another one.
func (b *Box) IncludeBox(o Box) {
	b.Include(o.Min)
	b.Include(o.Max)
}

// Size returns the edge lengths of the box.
func (b Box) Size() Vec { return b.Max.Sub(b.Min) }
