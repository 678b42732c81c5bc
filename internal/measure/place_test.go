package measure

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

// placeShapes are solids on which every measure has a site, besides those of surfaceShapes:
// of few triangles and of many, level, sloped and round, whole and damaged.
func placeShapes() map[string]*mesh.Triangles {
	list := surfaceShapes()
	for name, s := range map[string]*mesh.Triangles{
		"portal": shapes.Portal(30), "roof": shapes.RoofedBox(), "deck": shapes.FourPosts(), "arm": shapes.LeaningArm(60, 15), "hook": shapes.Hook(),
		"M": shapes.M(), "hole across": shapes.HoleBlock(14, 64), "recess": shapes.Recess(12, 4, 48), "lip": shapes.Lip(4), "thread": shapes.ThreadedRod(5, 1, 12, 48),
		"floating": shapes.FloatingCube(), "on an edge": shapes.CubeOnEdge(10), "bolt": shapes.BoltLying(32), "lid": shapes.PatternLid(), "figure": shapes.Figure(),
		"winged": shapes.Winged(), "ring lying": shapes.Torus(20, 4, 64, 32), "ring in the air": inTheAir(shapes.Torus(20, 4, 64, 32)),
		"ring upright": shapes.OnBed(shapes.Turn(shapes.Torus(20, 4, 64, 32), shapes.X, 90)), "rough ball": shapes.NoisyBall(15, .3, 5, 1), "gyroid": shapes.Gyroid(24),
		"cone": shapes.Turn(shapes.Cone(10, 2, 20, 48), shapes.X, 180), "drops": inTheAir(shapes.Cone(.2, 8, 20, 48)), "post": shapes.Cylinder(1.5, 40, 24),
		"leaning post": shapes.OnBed(shapes.Turn(shapes.Cylinder(1.5, 40, 24), shapes.X, 30)), "posts": posts(), "fine T": shapes.Split4(shapes.Split4(shapes.Split4(shapes.T()))),
		"fine fin": shapes.Split4(shapes.Split4(shapes.Split4(shapes.Fin(.3)))), "fine plate": shapes.Split4(shapes.Split4(shapes.Split4(shapes.Slab(5)))),
		"shattered": shapes.Shatter(shapes.Ball(10, 32), 3, .05, 4), "collapsed": shapes.CollapseTriangles(shapes.T(), 3, 5), "doubled": shapes.DuplicateTriangles(shapes.Ball(8, 24), 20, 6),
		"crossed": shapes.TOverlapping(), "inner faces": shapes.InnerFaces(shapes.Portal(30), 3, 7), "torn ball": shapes.DropTriangles(shapes.Ball(10, 32), 12, 8),
		"half a ball missing": shapes.DropTriangles(shapes.Icosphere(10, 3), 500, 1), "loose sheet": shapes.Join(shapes.Cube(20), shapes.DropTriangles(shapes.Move(shapes.Icosphere(5, 2), shapes.Vec{X: 40}), 300, 2)),
	} {
		list[name] = s
	}
	return list
}

// inTheAir joins a solid 10 mm above the bed with a block that stands 60 mm beside it.
func inTheAir(s *mesh.Triangles) *mesh.Triangles {
	return shapes.Join(shapes.Cube(10), shapes.Move(shapes.OnBed(s), shapes.Vec{X: 60, Z: 10}))
}

// posts are a plate on thin posts of which one ends short of it.
func posts() *mesh.Triangles {
	list := []*mesh.Triangles{shapes.Box(mesh.Vec{Z: 20}, mesh.Vec{X: 40, Y: 20, Z: 23})}
	for i, top := range []float64{20, 20, 12, 20} {
		list = append(list, shapes.Move(shapes.Cylinder(1.5, top, 24), shapes.Vec{X: 4 + 10*float64(i), Y: 10}))
	}
	return shapes.Join(list...)
}

// ofMiddles are the measures that are no places of the surface: a site is at the middle of
// what it is about, and that may lie in the air or in the material.
var ofMiddles = []string{"base", "column", "detail", "filling", "hole", "stability"}

// ofMiddle says so of a site: of the faults of a mesh, rims of holes and whole shells are
// told by their middle as well.
func ofMiddle(name string, s *Site) bool {
	if name == "mesh" {
		v := Mesh.Site(s)
		return v.Length > 0 || v.InsideOut
	}
	return slices.Contains(ofMiddles, name)
}

// away is how far a point is from a triangle.
func away(m *mesh.Mesh, p mesh.Vec, tri uint32) float64 {
	a, b, c := m.Corners(int(tri))
	return spatial.NearestOnTriangle(p, a, b, c).Sub(p).Len()
}

// The triangle that a finding names, by its line or its bytes, is the nearest of its site
// to the place that it names, and no farther from it than the layers can tell.
func TestTheNamedTriangleIsAtThePlace(t *testing.T) {
	sites := map[string]int{}
	for shape, soup := range placeShapes() {
		for turn, pose := range map[string]Pose{"as it lies": AsIs, "turned": {M: [9]float64{.36, .48, -.8, -.8, .6, 0, .48, .64, .6}}} {
			body := NewBody(mesh.Weld(soup))
			requests := all()
			results, err := body.Measure(context.Background(), pose, process, Options{}, requests)
			require.NoError(t, err)
			for i, r := range results {
				name := requests[i].Measure
				for k := range r.Sites {
					site := &r.Sites[k]
					what := []any{"%s, %s: %s site %d of %d at %v", shape, turn, name, k, len(r.Sites), site.At}
					sites[name]++
					if name == "size" || name == "unit" || name == "position" || name == "filling" && Filling.Site(site).Guessed == 0 {
						assert.Empty(t, site.Tris, what...) // it is all of the model
						continue
					}
					if !assert.NotEmpty(t, site.Tris, what...) {
						continue
					}
					named := away(body.Mesh, site.At, site.Tris[0])
					nearest := named
					for _, tri := range site.Tris {
						nearest = min(nearest, away(body.Mesh, site.At, tri))
					}
					assert.Equal(t, nearest, named, what...)
					assert.LessOrEqual(t, len(site.Tris), MaxTris)
					if !ofMiddle(name, site) && len(body.whole.value.Beside) == 0 {
						assert.LessOrEqual(t, named, defaultCell+process.Layer, what...)
					}
				}
			}
		}
	}
	for _, e := range registry {
		name := e.definition().Name
		assert.Equal(t, len(e.definition().Values) > 0, sites[name] > 0, name)
	}
}

// Where a measure names the middle of what stands on the bed, the triangle is of the foot.
func TestTheFootIsNamedByItsOwnTriangle(t *testing.T) {
	for name, soup := range placeShapes() {
		m := mesh.Weld(soup)
		for _, s := range take(t, soup, "base").Sites {
			low := math.Inf(1)
			a, b, c := m.Corners(int(s.Tris[0]))
			for _, p := range []mesh.Vec{a, b, c} {
				low = min(low, p.Z)
			}
			assert.InDelta(t, m.Box().Min.Z, low, process.Layer/2, name)
		}
	}
}
