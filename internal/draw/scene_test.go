package draw

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// TestPiecesAreToldApart holds that two pieces which can lie beside each other differ in
// lightness, or in what is drawn over them, as well as in hue.
func TestPiecesAreToldApart(t *testing.T) {
	plain := map[bool]int{}
	for i := range maxPieces {
		a := &tints[Piece(i)]
		plain[a.covers == nil]++
		if a.covers != nil {
			assert.Greater(t, ratio(a.fill, a.sign), 1.8, "what is drawn over piece %d", i+1)
		}
		for k := range i {
			b := &tints[Piece(k)]
			if a.fill == b.fill {
				assert.True(t, (a.covers == nil) != (b.covers == nil) || a.sign != b.sign, "pieces %d and %d", k+1, i+1)
			}
		}
	}
	assert.Positive(t, plain[true])
	assert.Greater(t, ratio(tints[Piece(0)].fill, tints[Piece(1)].fill), 4.5, "most models are cut in two")
	assert.Equal(t, Piece(1), Piece(1+maxPieces))
}

// TestNumbersStandOnTheirPieces holds that the number of a piece is put on what is seen of it,
// also where the middle of that is none of it.
func TestNumbersStandOnTheirPieces(t *testing.T) {
	const wide = 50
	list := make([]Tint, wide*wide)
	for i := range list {
		switch x, y := i%wide, i/wide; {
		case x < 5 || x >= 45:
			list[i] = Piece(2) // to both sides
		case y > 20:
			list[i] = Piece(0)
		}
	}
	at := numbers(list, wide)
	require.Len(t, at, 2)
	for i, n := range []int{1, 3} {
		assert.Equal(t, n, at[i].Number)
		assert.Equal(t, Piece(n-1), list[int(at[i].Y)*wide+int(at[i].X)])
	}
	assert.InDelta(t, 25, at[0].X, 1)
	assert.InDelta(t, 35, at[0].Y, 1)
}

// TestASheetIsNotSeenFromItsEdge holds that of the four sides one is chosen that shows how a
// sheet lies.
func TestASheetIsNotSeenFromItsEdge(t *testing.T) {
	for side := range sides {
		d := &sides[side]
		normal := mesh.Vec{X: -d.y, Y: d.x} // square to this side's line of sight
		s := &Scene{Views: FromAbove()}
		m := mesh.Weld(shapes.Cube(20))
		s.Shapes = []Tinted{{Mesh: m, Sheets: []Sheet{{normal, normal.Dot(mesh.Vec{X: 10, Y: 10})}}, Of: func(_ int, p mesh.Vec) Tint {
			if normal.Dot(p) > normal.Dot(mesh.Vec{X: 10, Y: 10}) {
				return Piece(0)
			}
			return Piece(1)
		}}}
		list, err := s.Draw(Options{Width: 160, Height: 120})
		require.NoError(t, err)
		assert.NotContains(t, list[0].Words, d.words)
		assert.Len(t, list[0].Pieces, 2)
	}
}

// TestASheetStandsOnTheBed holds that it reaches beyond the shape on all sides, but not below
// the bed.
func TestASheetStandsOnTheBed(t *testing.T) {
	m := mesh.Weld(shapes.Cube(20))
	for _, n := range []mesh.Vec{{X: 1}, {Y: -1}, {X: 0.6, Z: 0.8}, {Y: 0.6, Z: -0.8}, {Z: 1}} {
		s := &Sheet{n, n.Dot(mesh.Vec{X: 10, Y: 10, Z: 10})}
		box := mesh.EmptyBox()
		for _, p := range s.corners(m) {
			assert.InDelta(t, s.Offset, n.Dot(p), 1e-9)
			assert.GreaterOrEqual(t, p.Z, -1e-9)
			box.Include(p)
		}
		size := box.Size()
		assert.Greater(t, max(size.X, size.Y, size.Z), 21.0)
	}
}

// TestAScenesWorkIsCounted holds that drawing ends where the limit of work does.
func TestAScenesWorkIsCounted(t *testing.T) {
	s := &Scene{Shapes: []Tinted{{Mesh: mesh.Weld(shapes.Cube(20))}}, Views: FromAbove()}
	_, err := s.Draw(Options{Width: 320, Height: 240, Meter: work.Of(context.Background()).Part(10)})
	assert.ErrorIs(t, err, work.ErrTooMuch)
	_, err = s.Draw(Options{Width: 5, Height: 240})
	assert.ErrorContains(t, err, "64 to 4096 pixels")
}
