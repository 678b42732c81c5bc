package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/geom"
	"printlint/internal/layers"
)

// randomRuns fills a small plane at random; empty rows and gaps in them come too.
func randomRuns(rng *rand.Rand, rows, cols int, share float64) (*layers.Grid, []layers.Run) {
	g := &layers.Grid{Cell: 1, Height: 1, Cols: cols, Rows: rows, Words: (cols + 63) / 64}
	p := layers.NewPlane(g)
	for row := 2; row < rows-2; row++ {
		if rng.IntN(5) == 0 {
			continue
		}
		for col := 2; col < cols-2; col++ {
			if rng.Float64() < share {
				p.Fill(row, col, col+1)
			}
		}
	}
	return g, p.AppendRuns(nil)
}

// sides are the middles of the sides of every cell of the runs.
func sides(runs []layers.Run) (list []geom.Point) {
	for _, r := range runs {
		for c := r.From; c < r.To; c++ {
			x, y := float64(c), float64(r.Row)
			list = append(list, geom.Point{X: x + 0.5, Y: y}, geom.Point{X: x + 0.5, Y: y + 1}, geom.Point{X: x, Y: y + 0.5}, geom.Point{X: x + 1, Y: y + 0.5})
		}
	}
	return list
}

// A hull turns left at each corner, holds all points, and its corners are points.
func TestHullOfRandomCells(t *testing.T) {
	h := new(hullBuilder)
	for seed := uint64(1); seed <= 300; seed++ {
		rng := rand.New(rand.NewPCG(seed, 3))
		_, runs := randomRuns(rng, 12, 14, 0.02+0.5*rng.Float64())
		hull, points := h.of(runs), sides(runs)
		if len(runs) == 0 {
			assert.Empty(t, hull)
			continue
		}
		require.GreaterOrEqual(t, len(hull), 4, "seed %d", seed)
		for i, p := range hull {
			q, r := hull[(i+1)%len(hull)], hull[(i+2)%len(hull)]
			turn := (q.X-p.X)*(r.Y-q.Y) - (q.Y-p.Y)*(r.X-q.X)
			assert.Greater(t, turn, 0.0, "seed %d: corner %v", seed, q)
			assert.Contains(t, points, p, "seed %d", seed)
		}
		for _, p := range points {
			assert.GreaterOrEqual(t, geom.Inset(hull, p), -1e-9, "seed %d: %v", seed, p)
		}
	}
}

// The caliper against a turn of the points in small steps.
func TestCaliperAgainstTurning(t *testing.T) {
	h := new(hullBuilder)
	for seed := uint64(1); seed <= 100; seed++ {
		rng := rand.New(rand.NewPCG(seed, 4))
		_, runs := randomRuns(rng, 10, 12, 0.3)
		if len(runs) == 0 {
			continue
		}
		width, diameter := geom.Width(h.of(runs))
		least, most := math.Inf(1), 0.0
		for step := range 1800 {
			sin, cos := math.Sincos(float64(step) * math.Pi / 1800)
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, p := range sides(runs) {
				d := p.X*cos + p.Y*sin
				lo, hi = min(lo, d), max(hi, d)
			}
			least, most = min(least, hi-lo), max(most, hi-lo)
		}
		assert.InDelta(t, least, width, 0.03, "seed %d", seed)
		assert.LessOrEqual(t, width, least+1e-9, "seed %d", seed)
		assert.InDelta(t, most, diameter, 0.01, "seed %d", seed)
	}
}

func TestHullOfFewCells(t *testing.T) {
	h := new(hullBuilder)
	assert.Empty(t, h.of(nil))
	cell := h.of([]layers.Run{{Row: 3, From: 5, To: 6}})
	assert.Equal(t, []geom.Point{{X: 5.5, Y: 3}, {X: 6, Y: 3.5}, {X: 5.5, Y: 4}, {X: 5, Y: 3.5}}, cell)
	assert.InDelta(t, 0.5, geom.Inset(cell, geom.Point{X: 5.5, Y: 3.5})*math.Sqrt2, 1e-12)
	assert.Negative(t, geom.Inset(cell, geom.Point{X: 7, Y: 3.5}))
	width, diameter := geom.Width(h.of([]layers.Run{{Row: 0, From: 0, To: 30}, {Row: 1, From: 0, To: 30}}))
	assert.InDelta(t, 2, width, 1e-12)
	assert.InDelta(t, math.Hypot(30, 1), diameter, 1e-12)
	width, diameter = geom.Width(nil)
	assert.Zero(t, width+diameter)
}
