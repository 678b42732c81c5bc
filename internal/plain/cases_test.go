package plain

import (
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// A solid is judged twice. To add one, such as a twin of a real part, write its line into a
// list, or a list of its own and that into solids.
type solid struct {
	name  string
	build func() *mesh.Triangles
}

// randomEach is how many random solids there are of a family.
const randomEach = 5

// solids are all that are judged twice.
func solids(seed uint64) []solid {
	return slices.Concat(exact, slopes, held, randomSolids(seed, randomEach))
}

// stated are the verdicts that follow from the definitions or their figures alone.
var stated = statedVerdicts()

func statedVerdicts() map[string][Kinds]Verdict {
	said := map[string][Kinds]Verdict{}
	for k, names := range [Kinds][]string{
		Island: {"cube in the air", "block 1 above another"},
		Overhang: {
			"T", "T of boxes that touch", "T of boxes that overlap", "arm with a post 1 below", "arm leaning 60 by 20", "level arm of 12",
			"keel of 30 deg", "keel of 45 deg", "brace rising 15 over 9", "brace rising 20 over 60", "two arms, one 0.4 higher",
		},
		Bridge: {"portal 80", "portal 80 of boxes turned by 37", "level brace over 85"},
		Base:   {"cube on an edge", "post 2 by 2", "plate on a foot of 4 by 4"},
	} {
		for _, name := range names {
			v := [Kinds]Verdict{}
			v[k] = Error
			said[name] = v
		}
	}
	for _, clean := range []string{
		"T on its bar", "M", "post 6 by 6", "portal 30", "portal 30 turned by 37", "box with a roof", "lip 0.4", "two cubes stacked", "threaded rod", "table on its top",
		"hole 14", "recess 6 to 4", "arm leaning 45 by 20", "stairs 0.2 by 0.2", "stairs 1 by 1", "wall that steps out 0.1 every 0.6", "vase of rings",
		"flare with ribs", "arch of steps", "level brace over 9", "ceiling with open ends", "arm with a post 0.2 below", "block 0.25 above another",
	} {
		said[clean] = [Kinds]Verdict{}
	}
	return said
}

// exact are the solids that the definitions speak of.
var exact = []solid{
	{"T", shapes.T},
	{"T of boxes that touch", shapes.TTouching},
	{"T of boxes that overlap", shapes.TOverlapping},
	{"T on its bar", func() *mesh.Triangles { return over(shapes.T()) }},
	{"portal 9", func() *mesh.Triangles { return shapes.Portal(9) }},
	{"portal 30", func() *mesh.Triangles { return shapes.Portal(30) }},
	{"portal 30 turned by 37", func() *mesh.Triangles { return shapes.Turn(shapes.Portal(30), shapes.Z, 37) }},
	{"portal 80", func() *mesh.Triangles { return shapes.Portal(80) }},
	{"portal 80 of boxes turned by 37", func() *mesh.Triangles { return shapes.Turn(shapes.PortalTouching(80), shapes.Z, 37) }},
	{"deck on four posts", shapes.FourPosts},
	{"table", shapes.Table},
	{"table of boxes that touch", shapes.TableTouching},
	{"table on its top", func() *mesh.Triangles { return over(shapes.Table()) }},
	{"box with a roof", shapes.RoofedBox},
	{"hook", shapes.Hook},
	{"M", shapes.M},
	{"hole 8", func() *mesh.Triangles { return shapes.HoleBlock(8, 64) }},
	{"hole 14", func() *mesh.Triangles { return shapes.HoleBlock(14, 64) }},
	{"hole 30", func() *mesh.Triangles { return shapes.HoleBlock(30, 64) }},
	{"recess 6 to 4", func() *mesh.Triangles { return shapes.Recess(6, 4, 48) }},
	{"recess 12 to 4", func() *mesh.Triangles { return shapes.Recess(12, 4, 48) }},
	{"lip 0.4", func() *mesh.Triangles { return shapes.Lip(0.4) }},
	{"lip 1.6", func() *mesh.Triangles { return shapes.Lip(1.6) }},
	{"lip 4", func() *mesh.Triangles { return shapes.Lip(4) }},
	{"threaded rod", func() *mesh.Triangles { return shapes.ThreadedRod(5, 1, 6, 32) }},
	{"two cubes stacked", shapes.StackedCubes},
	{"cube in the air", shapes.FloatingCube},
	{"cubes that meet in an edge", shapes.CubesAtEdge},
	{"cubes that meet in a corner", shapes.CubesAtCorner},
	{"cube on an edge", func() *mesh.Triangles { return shapes.CubeOnEdge(14) }},
	{"ball 10", func() *mesh.Triangles { return shapes.Ball(10, 32) }},
	{"bolt on its head", func() *mesh.Triangles { return shapes.Bolt(32) }},
	{"bolt lying", func() *mesh.Triangles { return shapes.BoltLying(32) }},
	{"bolt upside down", func() *mesh.Triangles { return over(shapes.Bolt(32)) }},
	{"lid on its pattern", func() *mesh.Triangles { return over(shapes.PatternLid()) }},
	{"figure", shapes.Figure},
	{"ball with wings", shapes.Winged},
	{"cube around a hollow", func() *mesh.Triangles { return shapes.OnBed(shapes.HollowBox(20, 2)) }},
	{"cone upside down, 40 deg", func() *mesh.Triangles { return shapes.Cone(4, 15, 13, 48) }},
	{"torus lying", func() *mesh.Triangles { return shapes.OnBed(shapes.Torus(12, 4, 48, 24)) }},
	{"post 2 by 2", func() *mesh.Triangles { return box(0, 0, 0, 2, 2, 6) }},
	{"post 6 by 6", func() *mesh.Triangles { return box(0, 0, 0, 6, 6, 20) }},
	{"plate on a foot of 4 by 4", func() *mesh.Triangles {
		return shapes.Join(box(0, 0, 0, 4, 4, 12), over(shapes.Move(shapes.Cone(12, 2, 10, 4), mesh.Vec{X: 2, Y: -2})))
	}},
	{"cylinder lying", func() *mesh.Triangles { return shapes.OnBed(shapes.CylinderX(6, 20, 48)) }},
}

func over(s *mesh.Triangles) *mesh.Triangles { return shapes.OnBed(shapes.Turn(s, shapes.X, 180)) }

func box(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return shapes.Box(mesh.Vec{X: x0, Y: y0, Z: z0}, mesh.Vec{X: x1, Y: y1, Z: z1})
}
