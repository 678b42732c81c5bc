package draw

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// TestDrawingStopsAtTheLimit, where triangles lie over each other by the thousand.
func TestDrawingStopsAtTheLimit(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 1))
	s := new(mesh.Triangles)
	for range 3 * 300 {
		s.Corners = append(s.Corners, mesh.Point{50 * r.Float32(), 50 * r.Float32(), 50 * r.Float32()})
	}
	m := mesh.Weld(s)
	opt := Options{Width: 320, Height: 240, Marks: []Mark{{Tris: []uint32{1, 2, 3}}}}
	free, err := Model(m, opt)
	require.NoError(t, err)
	opt.Meter = work.Of(work.Start(context.Background(), time.Millisecond))
	_, err = Model(m, opt)
	assert.ErrorIs(t, err, work.ErrLimit)
	opt.Meter = work.Of(work.Start(context.Background(), time.Minute))
	counted, err := Model(m, opt)
	require.NoError(t, err)
	assert.Equal(t, free.Image.Pix, counted.Image.Pix)
	assert.Greater(t, time.Minute.Nanoseconds()-opt.Meter.Left(), int64(len(m.Tris))*320*240/10, "what lies over each other is counted")
}
