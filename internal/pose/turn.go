package pose

import (
	"math"

	"printlint/internal/mesh"
)

// Turning is a way to bring a direction down that a person can follow: a turn about
// the vertical by at most about 45 degrees, then one about x or y, by the right hand. Angles are in degrees.
type Turning struct {
	AboutZ float64 // first; 0 where the second does it alone
	Axis   byte    // 'x' or 'y', or 0 when nothing is turned
	Angle  float64
}

// TurningTo returns the turning that brings down to the bed, a single one if it can.
func TurningTo(down mesh.Vec) Turning {
	const tiny = 1e-7
	switch level := math.Hypot(down.X, down.Y); {
	case level < tiny && down.Z < 0:
		return Turning{}
	case level < tiny:
		return Turning{Axis: 'x', Angle: 180}
	case math.Abs(down.Y) < tiny:
		return Turning{Axis: 'y', Angle: degrees(math.Atan2(down.X, -down.Z))}
	case math.Abs(down.X) < tiny:
		return Turning{Axis: 'x', Angle: degrees(math.Atan2(-down.Y, -down.Z))}
	}
	// About z the direction comes over the nearer of the axes x and y. Where these are equally
	// near, rounding does not choose.
	level := math.Hypot(down.X, down.Y)
	if math.Abs(down.X) > 1.001*math.Abs(down.Y) {
		level = math.Copysign(level, down.X)
		return Turning{AboutZ: degrees(-math.Atan(down.Y / down.X)), Axis: 'y', Angle: degrees(math.Atan2(level, -down.Z))}
	}
	level = math.Copysign(level, down.Y)
	return Turning{AboutZ: degrees(math.Atan(down.X / down.Y)), Axis: 'x', Angle: degrees(math.Atan2(-level, -down.Z))}
}

// degrees turns radians into degrees; within rounding of a whole number it is that.
func degrees(radians float64) float64 {
	d := radians * 180 / math.Pi
	if w := math.Round(d); math.Abs(d-w) < 1e-5 {
		return w + 0 // -0 becomes 0
	}
	return d
}

// Matrix returns the rotation, row by row.
func (t Turning) Matrix() [9]float64 {
	s, c := sincos(t.AboutZ)
	m := [9]float64{c, -s, 0, s, c, 0, 0, 0, 1}
	s, c = sincos(t.Angle)
	switch t.Axis {
	case 'x':
		return mesh.Product([9]float64{1, 0, 0, 0, c, -s, 0, s, c}, m)
	case 'y':
		return mesh.Product([9]float64{c, 0, s, 0, 1, 0, -s, 0, c}, m)
	}
	return m
}

// MatrixTo is the rotation that brings down to the bed, row by row, rounded to nine decimals
// as it is reported, judged and written: the same on every machine.
func MatrixTo(down mesh.Vec) [9]float64 {
	m := TurningTo(down).Matrix()
	for i, x := range m {
		m[i] = nine(x)
	}
	return m
}

// Fine rounds a direction as MatrixTo rounds a rotation.
func Fine(v mesh.Vec) [3]float64 { return [3]float64{nine(v.X), nine(v.Y), nine(v.Z)} }
func nine(x float64) float64     { return plain(math.Round(x*1e9) / 1e9) }

// Down is the direction that the turning brings to the bed.
func (t Turning) Down() mesh.Vec {
	m := t.Matrix()
	return mesh.Vec{X: plain(-m[6]), Y: plain(-m[7]), Z: plain(-m[8])}
}

// snapped is Whole for a direction that is there already but for rounding.
func snapped(d mesh.Vec) mesh.Vec {
	const nearly = 1e-5 // radians: 2 microns over a body of 200 mm
	if w := Whole(d); w.Sub(d).Len() < nearly {
		return w
	}
	return d
}

// Whole is the nearest direction that a turning of whole degrees brings down, so that words
// for it are exact.
func Whole(d mesh.Vec) mesh.Vec {
	t := TurningTo(d)
	t.AboutZ, t.Angle = math.Round(t.AboutZ), math.Round(t.Angle)
	return t.Down()
}

// sincos is exact at quarter turns.
func sincos(deg float64) (sin, cos float64) {
	switch math.Mod(math.Mod(deg, 360)+360, 360) {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(deg * math.Pi / 180)
}

// plain takes the sign of zero away.
func plain(x float64) float64 { return x + 0 }
