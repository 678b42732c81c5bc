package measure

import (
	"errors"
	"fmt"
	"math"

	"printlint/internal/layers"
	"printlint/internal/measure/hang"
	"printlint/internal/mesh"
)

// farLarger is how many times the longest side of the bed a model may measure before
// only its size is judged: what is that large has another unit, or is cut into pieces
// before it is printed. Judgement; the usual mistakes are factors of 10, 25.4 and 1000.
const farLarger = 4

const tooLargeCure = "is its unit right? export it in millimetres, say the unit in the configuration, or cut it into pieces that fit"

// TooLarge says that the measure was not taken since the model is far larger than the bed.
func (r *Result) TooLarge() bool { return r.Cure == tooLargeCure }

// fit says why neither the walls nor the layers of a model are worth looking at: it is
// flat, or so large that a machine of its size would be needed first.
func (r *evaluation) fit() error {
	_, err := r.fits.get(func() (struct{}, error) {
		if shared(&r.common, flatKey{}, func() bool { return flatMesh(r.body.Mesh) }) {
			return struct{}{}, &Undecided{"the model is flat: all of its corners lie in one plane", "export the solid body, not a drawing or a sheet of it"}
		}
		if !r.farLarger() {
			return struct{}{}, nil
		}
		bed := r.process.Bed
		return struct{}{}, &Undecided{
			fmt.Sprintf("it is %.4g mm long, far larger than the bed of %g x %g x %g mm", r.longest(), bed[0], bed[1], bed[2]),
			tooLargeCure,
		}
	})
	return err
}

type (
	flatKey    struct{}
	longestKey struct{}
)

// longest is the longest side of the box around the model.
func (r *evaluation) longest() float64 {
	return shared(&r.common, longestKey{}, func() float64 {
		size := r.body.Mesh.Box().Size()
		return max(size.X, size.Y, size.Z)
	})
}

// farLarger says that the model is too large for the bed to be worth a look.
func (r *evaluation) farLarger() bool {
	bed := r.process.Bed
	return min(bed[0], bed[1], bed[2]) > 0 && r.longest() > farLarger*max(bed[0], bed[1], bed[2])
}

// coarse says why what is thinner than a limit in mm cannot be told: so far from the origin,
// coordinates of single precision lie farther apart than a tenth of it.
func (r *evaluation) coarse(limit float64) error {
	box := r.body.Mesh.Box()
	far := 0.0
	for _, x := range []float64{box.Min.X, box.Min.Y, box.Min.Z, box.Max.X, box.Max.Y, box.Max.Z} {
		far = max(far, math.Abs(x))
	}
	if step := far * 0x1p-23; step > limit/10 {
		return &Undecided{
			fmt.Sprintf("it lies %.3g mm from the origin, where the file keeps corners only to %.2g mm: too coarse to see what is thinner than %.3g mm", far, step, limit),
			"move it to the origin in the program it was made with, and export it again",
		}
	}
	return nil
}

// tooLow says why a model of a height in mm, above 0, has no layers: it ends below the first cut, which lies
// half a layer above the bed.
func (r *evaluation) tooLow(height float64) error {
	if layer := r.process.Layer; height > 0 && height <= layer/2*(1+planeShare) {
		return &Undecided{
			fmt.Sprintf("it is %.3g mm high, no more than half a layer of %g mm, so that not one layer of it is printed", height, layer),
			fmt.Sprintf("make it at least %g mm high, stand it up, or print it with thinner layers", layer),
		}
	}
	return nil
}

// unlaid words why a lattice of layers could not be laid over a model.
func unlaid(err error) error {
	if errors.Is(err, layers.ErrFlat) {
		return &Undecided{err.Error(), "export the solid body, and lay it so that it has a height"}
	}
	return &Undecided{err.Error(), "is its unit right? export it in millimetres, or say the unit in the configuration"}
}

// anglePlaneBytes bounds the planes that hold what hangs, in bytes: each angle that rules ask
// about has its own, and a configuration may ask about any number. The most of a model
// that fills the largest grid are twelve angles.
const anglePlaneBytes = 512 << 20

// fitAngles says why what hangs cannot be gathered for so many angles.
func fitAngles(g *layers.Grid, angles int) error {
	if angles*hang.Planes*g.Rows*g.Words*8 <= anglePlaneBytes {
		return nil
	}
	return &Undecided{fmt.Sprintf("the rules ask about %d angles, which is too many for a model of this size", angles),
		"let rules share an angle, or cut the model into pieces that fit the bed"}
}

// planeShare is how far from a plane the corners of a flat model may lie, as a share of
// its size: what float32 coordinates can tell, and a little more.
const planeShare = 1e-6

// flatMesh says that all corners lie in one plane, to what their numbers can tell.
func flatMesh(m *mesh.Mesh) bool {
	var n, at mesh.Vec
	most := 0.0
	for i := range m.Tris {
		if k := m.Normal(i); k.Dot(k) > most {
			most, n = k.Dot(k), k
			at, _, _ = m.Corners(i)
		}
	}
	if n = n.Unit(); n == (mesh.Vec{}) {
		return true // no triangle has an area
	}
	size := m.Box().Size()
	slack := planeShare * max(size.X, size.Y, size.Z)
	for _, p := range m.Verts {
		if math.Abs(n.Dot(mesh.Of64(p).Sub(at))) > slack {
			return false
		}
	}
	return true
}
