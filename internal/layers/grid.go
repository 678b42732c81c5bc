// Package layers cuts a mesh into the layers it will be printed in and fills each
// into a plane of bits, 64 cells a word.
//
// A layer is solid wherever the surface winds around (non-zero winding), so bodies
// that overlap, touch or sit face to face are one solid. Nothing needs the mesh to
// be whole: each cut is a set of segments, and rows whose crossings do not add up
// are counted and reported, never guessed at in silence.
package layers

import (
	"errors"
	"fmt"
	"math"

	"printlint/internal/mesh"
)

// Grid places cells and cuts over one mesh that stands on z = 0.
type Grid struct {
	X0, Y0 float64 // corner of cell (0, 0), mm
	Cell   float64 // side of a cell, mm
	Height float64 // layer height, mm
	Cols   int
	Rows   int
	Words  int // words a row
	Layers int
}

// margin is how many empty cells surround the model, so that every neighbour of a
// solid cell exists.
const margin = 2

// Shares of a cell and of a layer by which the lattice is shifted, so that corners
// on round coordinates (most of what people draw) never lie on a cell centre or a
// cut, where rounding would decide. They are small against what a printer resolves
// and far above the rounding of float32 coordinates (15 nm at 100 mm).
const (
	cellShift  = 0.0317
	layerShift = 0.0137
)

// maxCells bounds one plane: 2^25 cells are 4 MiB, and a check holds some forty planes.
// At 0.1 mm that is 580 mm square, more than any desktop bed.
const maxCells = 1 << 25

// NewGrid lays a lattice over a mesh. It coarsens the cell where the model is so
// large that one plane would pass the bound, and fails when there is nothing to cut.
func NewGrid(box mesh.Box, height, cell float64) (Grid, error) {
	size := box.Size()
	if !(size.X >= 0 && size.Y >= 0 && size.Z > 0) || math.IsInf(size.X+size.Y+size.Z, 0) {
		return Grid{}, ErrFlat
	}
	// Asked before anything is counted: a coordinate of 1e26 mm is finite too.
	if size.Z/height > maxLayers {
		return Grid{}, fmt.Errorf("the model is %.3g mm tall, which makes more than %d layers of %g mm", size.Z, maxLayers, height)
	}
	for (size.X/cell+2*margin+1)*(size.Y/cell+2*margin+1) > maxCells {
		cell *= 2
	}
	g := Grid{
		X0: box.Min.X - float64((margin+cellShift)*cell), Y0: box.Min.Y - float64((margin+cellShift)*cell),
		Cell: cell, Height: height,
		Cols: int(math.Ceil(size.X/cell)) + 2*margin + 1,
		Rows: int(math.Ceil(size.Y/cell)) + 2*margin + 1,
	}
	g.Words = (g.Cols + 63) / 64
	g.Layers = g.planesBelow(size.Z)
	if g.Layers == 0 {
		g.Layers = 1
	}
	return g, nil
}

// ErrFlat says that a model has no height, so that there is nothing to cut.
var ErrFlat = errors.New("the model is flat: it has no height to cut into layers")

// maxLayers bounds the stack; it is 13 m at 0.2 mm.
const maxLayers = 1 << 16

// CutZ is the height at which layer k is cut.
func (g *Grid) CutZ(k int) float64 { return float64((float64(k) + 0.5 + layerShift) * g.Height) }

// Floor is the height at which layer k begins.
func (g *Grid) Floor(k int) float64 { return float64(float64(k) * g.Height) }

// planesBelow counts the cuts at or below z: a corner at z lies between cut n-1 and
// cut n. Comparing with CutZ itself keeps it in step with the cutting.
func (g *Grid) planesBelow(z float64) int {
	n := int(math.Floor(z/g.Height + 0.5 - layerShift))
	n = max(n, 0)
	for g.CutZ(n) <= z {
		n++
	}
	for n > 0 && g.CutZ(n-1) > z {
		n--
	}
	return n
}

// Center is the middle of a cell, mm.
func (g *Grid) Center(col, row int) (x, y float64) {
	return g.X0 + float64((float64(col)+0.5)*g.Cell), g.Y0 + float64((float64(row)+0.5)*g.Cell)
}

// Area is the area of n cells, mm2.
func (g *Grid) Area(n int) float64 { return float64(float64(n) * g.Cell * g.Cell) }
