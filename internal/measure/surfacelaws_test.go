package measure

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// surfaceShapes have walls, gaps, cavities and faults, or none of them.
func surfaceShapes() map[string]*mesh.Triangles {
	return map[string]*mesh.Triangles{
		"fin": shapes.Fin(.3), "pocket": shapes.Pocket(.25), "slot": shapes.Slot(.2), "wedge": shapes.Wedge(12),
		"tube": shapes.Tube(10, 9.5, 10, 48), "hollow": shapes.HollowBox(20, .6), "T": shapes.T(), "ball": shapes.Icosphere(8, 3),
		"touching": shapes.TTouching(), "overlapping": shapes.TOverlapping(), "along an edge": shapes.CubesAtEdge(),
		"hole": without(shapes.Fin(.5), 2), "two bodies": shapes.Join(shapes.Slab(.5), shapes.Move(shapes.Slab(.7), shapes.Vec{Z: .75})),
		"inside out": shapes.Flip(shapes.Fin(.4)),
	}
}

// summary is the sites of one measure as sorted rows of values.
func summary(t *testing.T, s *mesh.Triangles, name string, params ...float64) [][]float64 {
	t.Helper()
	var rows [][]float64
	for _, site := range take(t, s, name, params...).Sites {
		rows = append(rows, site.Values)
	}
	slices.SortFunc(rows, func(a, b []float64) int { return slices.CompareFunc(a, b, cmp.Compare[float64]) })
	return rows
}

// same compares rows of values: each within tolerance of the larger, as areas and
// lengths come from samples that fall a little differently.
func same(t *testing.T, want, got [][]float64, scale []float64, tolerance float64, what string) {
	t.Helper()
	if !assert.Len(t, got, len(want), what) {
		return
	}
	for i := range want {
		for k := range want[i] {
			w := want[i][k] * scale[k]
			assert.InDelta(t, w, got[i][k], 1e-3+tolerance*math.Abs(w), "%s: site %d value %d", what, i, k)
		}
	}
}

// dimensions is what each value of a measure is multiplied by at scale s.
func dimensions(name string, s float64) (scale []float64) {
	for _, v := range find(name).definition().Values {
		switch v.Unit {
		case "mm":
			scale = append(scale, s)
		case "mm2":
			scale = append(scale, s*s)
		case "mm3":
			scale = append(scale, s*s*s)
		default:
			scale = append(scale, 1)
		}
	}
	return scale
}

func TestLawsOfWallsAndGaps(t *testing.T) {
	for shape, soup := range surfaceShapes() {
		for _, name := range []string{"wall", "gap"} {
			base := summary(t, soup, name)
			unit := dimensions(name, 1)
			for change, changed := range map[string]*mesh.Triangles{
				"moved":    shapes.Move(soup, shapes.Vec{X: 33.3, Y: -71.7, Z: 12.9}),
				"turned":   shapes.Turn(soup, shapes.Z, 37),
				"shuffled": shapes.Shuffle(soup, 11),
				"split":    shapes.Split4(soup),
				"mirrored": shapes.Mirror(soup),
				"twice":    shapes.Join(soup, soup),
			} {
				same(t, base, summary(t, changed, name), unit, .12, shape+" "+name+" "+change)
			}
		}
	}
}

// What counts faults counts the same however the model lies and is written down.
func TestLawsOfFaults(t *testing.T) {
	for shape, soup := range surfaceShapes() {
		base := summary(t, soup, "mesh")
		unit := dimensions("mesh", 1)
		for change, changed := range map[string]*mesh.Triangles{
			"moved":    shapes.Move(soup, shapes.Vec{X: 32, Y: -64, Z: 16}),
			"turned":   shapes.Turn(soup, shapes.Z, 90),
			"shuffled": shapes.Shuffle(soup, 11),
			"mirrored": shapes.Mirror(soup),
		} {
			same(t, base, summary(t, changed, "mesh"), unit, 1e-5, shape+" "+change)
		}
		same(t, base, summary(t, shapes.Scale(soup, 2), "mesh"), dimensions("mesh", 2), 1e-5, shape+" doubled")
	}
}

func TestLawsOfWholeModelValues(t *testing.T) {
	for shape, soup := range surfaceShapes() {
		base := take(t, soup, "mesh").Model
		turned := take(t, shapes.Turn(soup, shapes.Vec{X: 1, Y: 2, Z: 3}, 51), "mesh").Model
		double := take(t, shapes.Scale(soup, 2), "mesh").Model
		for i, v := range Mesh.def.Model {
			// The volume of an open surface hangs on where its cone stands.
			if v.Name == "area" || v.Name == "length" || v.Name == "volume" && shape != "hole" {
				assert.InEpsilon(t, base[i]+1, turned[i]+1, 1e-4, "%s %s", shape, v.Name)
			}
			times := map[string]float64{"area": 4, "volume": 8, "length": 2}[v.Name]
			assert.InDelta(t, base[i]*max(times, 1), double[i], 1e-4*math.Abs(double[i])+1e-9, "%s %s", shape, v.Name)
		}
		size := take(t, soup, "size").Model
		moved := take(t, shapes.Move(soup, shapes.Vec{X: 100, Y: 100, Z: 100}), "size").Model
		for i := range size {
			assert.InDelta(t, size[i], moved[i], 1e-4, "%s %s", shape, Size.def.Model[i].Name)
		}
	}
}

// Every site lies on the model, names triangles of it and has a value for each name.
func TestSitesAreWellFormed(t *testing.T) {
	for shape, soup := range surfaceShapes() {
		m := mesh.Weld(soup)
		room := m.Box().Grow(1e-3)
		for _, name := range []string{"size", "mesh", "wall", "gap"} {
			r := take(t, soup, name)
			def := find(name).definition()
			assert.Len(t, r.Model, len(def.Model), name)
			for _, s := range r.Sites {
				assert.Len(t, s.Values, len(def.Values), name)
				for _, v := range []mesh.Vec{s.At, s.Box.Min, s.Box.Max} {
					assert.True(t, v.X >= room.Min.X && v.Y >= room.Min.Y && v.Z >= room.Min.Z &&
						v.X <= room.Max.X && v.Y <= room.Max.Y && v.Z <= room.Max.Z, "%s %s: %v", shape, name, v)
				}
				for _, tri := range s.Tris {
					assert.Less(t, int(tri), len(m.Tris))
				}
				for i, v := range def.Values {
					assert.False(t, math.IsNaN(s.Values[i]) || math.IsInf(s.Values[i], 0), "%s %s %s", shape, name, v.Name)
				}
			}
		}
	}
}

// An empty mesh, and one of triangles without area, have nothing to measure.
func TestNothingToMeasure(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"empty":   {},
		"a point": {Corners: []mesh.Point{{1, 2, 3}, {1, 2, 3}, {1, 2, 3}}},
		"a line":  {Corners: []mesh.Point{{0, 0, 0}, {1, 1, 1}, {2, 2, 2}}},
	} {
		for _, measure := range []string{"wall", "gap"} {
			assert.Empty(t, take(t, soup, measure).Sites, "%s %s", name, measure)
		}
		take(t, soup, "size")
		take(t, soup, "mesh")
	}
}
