package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestSidesInNames finds the word for a side where it stands alone.
func TestSidesInNames(t *testing.T) {
	assert.Equal(t, [][2]string{{"arm_left.stl", "arm_right.stl"}, {"L-bracket.stl", "R-bracket.stl"}, {"foot.l.stl", "foot.r.obj"}},
		pairsOf([]string{"arm_left.stl", "L-bracket.stl", "foot.l.stl", "arm_right.stl", "bright.stl", "bleft.stl", "R-bracket.stl", "foot.r.obj",
			"left.right.stl", "lone_left.stl", "twice-l.stl", "twice-l.obj", "twice-r.stl"}))
}

// mirrored turns a shape inside its mirror, with the surface facing outwards.
func mirrored(s *mesh.Triangles) *mesh.Triangles {
	out := &mesh.Triangles{Corners: append([]mesh.Point{}, s.Corners...), Source: s.Source}
	for i := range out.Corners {
		out.Corners[i][0] = 5 - out.Corners[i][0]
	}
	for i := 0; i+2 < len(out.Corners); i += 3 {
		out.Corners[i], out.Corners[i+1] = out.Corners[i+1], out.Corners[i]
	}
	return out
}

// TestLeftAndRight holds that a mirror, turned or moved, is no difference, and that another
// size, a missing part and a part elsewhere are.
func TestLeftAndRight(t *testing.T) {
	rules := load(t, fileProcess+`
rules:
  sides: {per: folder, find: folder.uneven > 0, level: note, say: '{folder.uneven}: {which folder.uneven}', because: b}
`)
	hook := shapes.Hook()
	arm := func(at, tall float64) *mesh.Triangles { // a bar with a post on it
		bar, post := shapes.Box(shapes.Vec{}, shapes.Vec{X: 60, Y: 10, Z: 4}), shapes.Box(shapes.Vec{X: at, Z: 4}, shapes.Vec{X: at + 8, Y: 10, Z: tall})
		return &mesh.Triangles{Corners: append(bar.Corners, post.Corners...)}
	}
	left := arm(10, 24)
	for name, c := range map[string]struct {
		right *mesh.Triangles
		said  []string
	}{
		"same":      {left, nil},
		"mirror":    {mirrored(left), nil},
		"elsewhere": {arm(26, 24), []string{"1: arm_left.stl and arm_right.stl"}},
		"smaller":   {arm(10, 22), []string{"1: arm_left.stl and arm_right.stl"}},
		"another":   {hook, []string{"1: arm_left.stl and arm_right.stl"}},
	} {
		files := lie(t, map[string][]byte{"p/arm_left.stl": stl(t, left), "p/arm_right.stl": stl(t, c.right)})
		r := check(t, rules, Options{}, files...)
		assert.Equal(t, c.said, inFolders(r)["p"], name)
	}
	files := lie(t, map[string][]byte{"p/arm_left.stl": stl(t, left), "p/arm_right.stl": []byte("solid x\nfacet")})
	r := check(t, rules, Options{}, files...)
	assert.Len(t, inFolders(r)["p"], 1)
	assert.Contains(t, inFolders(r)["p"][0], "arm_left.stl and arm_right.stl were not compared: ")
}

// TestTurnedShapesAreAlike holds that a turn changes none of the figures.
func TestTurnedShapesAreAlike(t *testing.T) {
	m := mesh.Weld(shapes.Hook())
	turned, _ := m.Posed([9]float64{0.36, 0.48, -0.8, -0.8, 0.6, 0, 0.48, 0.64, 0.6})
	a, b := spreadOfMesh(m), spreadOfMesh(turned)
	for i := range a.radii {
		assert.InDelta(t, a.radii[i], b.radii[i], 1e-3)
	}
	cube := spreadOfMesh(mesh.Weld(shapes.Cube(20)))
	for _, r := range cube.radii { // two faces 10 mm off, four of a mean square of a third of that
		assert.InDelta(t, 7.4536, r, 1e-3)
	}
}
