package lint

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// sameRules list equal shapes and equal files.
const sameRules = fileProcess + `
rules:
  same: {per: folder, find: folder.same > 0, level: note, say: '{which folder.same}', because: b}
  copies: {per: folder, find: folder.copies > 0, level: note, say: '{which folder.copies}', because: b}
`

// TestSameShapes holds that a shape is known again when it is exported anew, moved or turned,
// anywhere on the shelf, and that a mirror, another size and another shape are none.
func TestSameShapes(t *testing.T) {
	hook := shapes.LeaningArm(30, 12)
	files := lie(t, map[string][]byte{
		"a/hook.stl":      stl(t, hook),
		"b/copy.stl":      stl(t, hook),
		"b/moved.stl":     stl(t, shapes.Move(hook, shapes.Vec{X: 100, Y: -30, Z: 2})),
		"b/shuffled.stl":  stl(t, shapes.Shuffle(hook, 7)),
		"b/turned.stl":    stl(t, shapes.OnBed(shapes.Turn(hook, shapes.X, 90))),
		"c/larger.stl":    stl(t, shapes.Scale(hook, 1.002)),
		"c/inches.stl":    stl(t, shapes.Scale(hook, 25.4)),
		"c/other.stl":     stl(t, shapes.T()),
		"d/ball-1.stl":    stl(t, shapes.Ball(10, 48)),
		"d/ball-2.stl":    stl(t, shapes.Move(shapes.Ball(10, 48), shapes.Vec{X: 3})),
		"e/screw.stl":     stl(t, chiral()),
		"e/mirrored.stl":  stl(t, mirrored(chiral())),
		"e/unread.stl":    []byte("solid x\nfacet"),
		"e/unread-2.stl":  []byte("solid x\nfacet"),
		"e/not-a-one.stl": stl(t, shapes.Cube(8)),
	})
	said := inFolders(check(t, load(t, sameRules), Options{}, files...))
	assert.Empty(t, said["a"])
	assert.Equal(t, []string{
		"copy.stl (equal to a/hook.stl)",
		"moved.stl (same shape as a/hook.stl), shuffled.stl (same shape as a/hook.stl), turned.stl (same shape as a/hook.stl)",
	}, said["b"])
	assert.Empty(t, said["c"])
	assert.Equal(t, []string{"ball-2.stl (same shape as ball-1.stl)"}, said["d"])
	assert.Contains(t, fmt.Sprint(said["e"]), "unread-2.stl was not compared with other shapes: ")
	assert.NotContains(t, fmt.Sprint(said["e"]), "same shape as")
}

// chiral is a shape that no turn brings onto its mirror.
func chiral() *mesh.Triangles {
	box := func(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
		return shapes.Move(shapes.Box(shapes.Vec{}, shapes.Vec{X: x1 - x0, Y: y1 - y0, Z: z1 - z0}), shapes.Vec{X: x0, Y: y0, Z: z0})
	}
	return shapes.Join(box(0, 0, 0, 30, 10, 5), box(0, 10, 0, 7, 28, 5), box(20, 0, 5, 29, 8, 21))
}

// TestSameShapesAmongMany holds that in a series of sizes the one that is equal is found.
func TestSameShapesAmongMany(t *testing.T) {
	list := map[string][]byte{}
	for k := range 40 {
		box := shapes.Box(shapes.Vec{}, shapes.Vec{X: 20, Y: 12, Z: 100 + float64(k)/5})
		list[fmt.Sprintf("a/box-%02d.stl", k)] = stl(t, box)
		if k == 25 {
			list["b/again.stl"] = stl(t, shapes.OnBed(shapes.Turn(box, shapes.Y, 90)))
		}
	}
	said := inFolders(check(t, load(t, sameRules), Options{}, lie(t, list)...))
	assert.Equal(t, []string{"again.stl (same shape as a/box-25.stl)"}, said["b"])
	assert.Empty(t, said["a"])
}
