package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// drilledPlate is a plate 40 by 40 by 6 with round holes through it, of given diameters
// through the corners of their polygons.
func drilledPlate(sides int, diameters ...float64) *mesh.Triangles {
	var holes []shapes.Polygon
	for i, d := range diameters {
		holes = append(holes, shapes.Ring(float64(8+12*(i%3)), float64(8+12*(i/3)), d/2, sides))
	}
	return shapes.Prism(shapes.Rect(0, 0, 40, 40), 0, 6, holes...)
}

// within is the diameter of the circle inside a regular polygon, from that through its corners.
func within(d float64, sides int) float64 { return d * math.Cos(math.Pi/float64(sides)) }

type holeCase struct {
	name string
	soup *mesh.Triangles
	want []HoleSite
}

// holeCases are solids whose holes are known exactly.
func holeCases() []holeCase {
	hole := func(d, depth, lean float64, sides int) HoleSite {
		return HoleSite{within(d, sides), depth, lean, sides, true}
	}
	three := drilledPlate(32, 2, 3, 5)
	ring := shapes.Ring(0, 0, 1.5, 24)
	half := append(shapes.Polygon{}, shapes.Ring(20, 10, 3, 32)[16:]...)
	half = append(half, shapes.Ring(20, 10, 3, 32)[0])
	profile := append(shapes.Polygon{{0, 0}, {40, 0}, {40, 10}}, shapes.Polygon{}...)
	for i := range half { // from right to left along the lower half
		profile = append(profile, half[len(half)-1-i])
	}
	profile = append(profile, [2]float64{0, 10})
	list := []holeCase{
		{"upright", three, []HoleSite{hole(2, 6, 0, 32), hole(3, 6, 0, 32), hole(5, 6, 0, 32)}},
		{"lying", shapes.Turn(three, shapes.X, 90), []HoleSite{hole(2, 6, 90, 32), hole(3, 6, 90, 32), hole(5, 6, 90, 32)}},
		{"leaning 30", shapes.Turn(three, shapes.X, 30), []HoleSite{hole(2, 6, 30, 32), hole(3, 6, 30, 32), hole(5, 6, 30, 32)}},
		{"hexagon", drilledPlate(6, 6.4), []HoleSite{hole(6.4, 6, 0, 6)}},
		{"square", shapes.Prism(shapes.Rect(0, 0, 20, 20), 0, 5, shapes.Rect(8, 8, 12, 12)), nil},
		{"tube", shapes.Tube(10, 4, 20, 64), []HoleSite{hole(8, 20, 0, 64)}},
		{"hollow box", shapes.HollowBox(20, 2), nil},
		{"rod", shapes.Cylinder(4, 20, 48), nil},
		{"ball with a hollow", shapes.HollowSphere(10, 3, 90), nil},
		{"half-round groove", shapes.ExtrudeY(profile, 0, 30), nil},
		{"blind", revolved(shapes.Polygon{{0, 0}, {10, 0}, {10, 8}, {2, 8}, {2, 3}, {0, 3}}), []HoleSite{hole(4, 5, 0, 48)}},
		{"drilled", revolved(shapes.Polygon{{0, 0}, {10, 0}, {10, 9}, {2, 9}, {2, 4}, {0, 2.8}}), []HoleSite{hole(4, 5, 0, 48)}},
		{"counterbore", revolved(shapes.Polygon{{2, 0}, {10, 0}, {10, 8}, {4, 8}, {4, 5}, {2, 5}}), []HoleSite{hole(4, 5, 0, 48), hole(8, 3, 0, 48)}},
		{"step of 0.1", revolved(shapes.Polygon{{4, 0}, {10, 0}, {10, 8}, {4.1, 8}, {4.1, 5}, {4, 5}}), []HoleSite{hole(8, 5, 0, 48), hole(8.2, 3, 0, 48)}},
		{"countersink", revolved(shapes.Polygon{{2, 0}, {10, 0}, {10, 8}, {5, 8}, {2, 5}}), []HoleSite{hole(4, 5, 0, 48)}},
		{"filleted floor", revolved(shapes.Polygon{{0, 0}, {10, 0}, {10, 8}, {3, 8}, {3, 3}, {2.9, 2.6}, {2.6, 2.2}, {2, 2}, {0, 2}}), []HoleSite{hole(6, 5, 0, 48)}},
		{"cone", revolved(shapes.Polygon{{2, 0}, {10, 0}, {10, 8}, {4, 8}}), nil},
		{"two half shells", shapes.Join(halfShell(0), halfShell(180)), []HoleSite{hole(8, 12, 0, 32)}},
		{"half a shell", halfShell(0), nil},
		{"filled by another body", shapes.Join(shapes.Prism(shapes.Rect(-6, -6, 6, 6), 0, 5, ring), shapes.Move(shapes.Cylinder(2.5, 7, 48), mesh.Vec{Z: -1})), nil},
		{"two plates, one hole", shapes.Join(shapes.Prism(shapes.Rect(-6, -6, 6, 6), 0, 5, ring), shapes.Prism(shapes.Rect(-6, -6, 6, 6), 5, 8, ring)), []HoleSite{hole(3, 8, 0, 24)}},
		{"two plates apart", shapes.Join(shapes.Prism(shapes.Rect(-6, -6, 6, 6), 0, 5, ring), shapes.Prism(shapes.Rect(-6, -6, 6, 6), 9, 12, ring)), []HoleSite{hole(3, 5, 0, 24), hole(3, 3, 0, 24)}},
		{"the same body twice", shapes.Join(three, shapes.Move(three, mesh.Vec{X: 1e-4})), []HoleSite{hole(2, 6, 0, 32), hole(3, 6, 0, 32), hole(5, 6, 0, 32)}},
		{"clamp with a slit", shapes.Prism(arcWall(4, 6, 340), 0, 8), []HoleSite{{within(8, 72), 8, 0, 68, true}}},
		{"snap-in clip", shapes.Prism(arcWall(4, 6, 240), 0, 8), nil},
		{"slot", shapes.Prism(shapes.Rect(-20, -10, 20, 10), 0, 5, slotted(3, 5)), nil},
		{"rounded square", shapes.Prism(shapes.Rect(-20, -20, 20, 20), 0, 5, roundedSquare(10, 2)), nil},
		{"thread", shapes.Revolve(threaded(4, 0.6, 8), 48), nil},
		{"rough by 0.01", rough(0.01), []HoleSite{{within(8, 48) - 0.02, 6, 0, 48, true}}},
		{"rough by 0.3", rough(0.3), nil},
	}
	for _, n := range []int{6, 7, 12, 33, 90, 200} {
		list = append(list, holeCase{"sides", drilledPlate(n, 5), []HoleSite{hole(5, 6, 0, n)}})
	}
	return append(list, partCases()...)
}

// revolved turns a profile with 48 sides.
func revolved(p shapes.Polygon) *mesh.Triangles { return shapes.Revolve(p, 48) }

// halfShell is a half of a tube of radius 4 to 6, 12 tall, a hundredth of a millimetre off the middle.
func halfShell(turn float64) *mesh.Triangles {
	return shapes.Turn(shapes.Move(shapes.Prism(arcOf(4, 6, 0, 180, 16), 0, 12), mesh.Vec{Y: 0.005}), shapes.Z, turn)
}

// arcWall is a curved wall that goes some degrees of the way round, in sides of 5 deg.
func arcWall(inner, outer, deg float64) shapes.Polygon {
	return arcOf(inner, outer, 0, deg, int(deg/5))
}

func arcOf(inner, outer, from, to float64, n int) (p shapes.Polygon) {
	at := func(r float64, i int) [2]float64 {
		a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		return [2]float64{r * math.Cos(a), r * math.Sin(a)}
	}
	for i := range n + 1 {
		p = append(p, at(outer, i))
	}
	for i := range n + 1 {
		p = append(p, at(inner, n-i))
	}
	return p
}

// slotted is a slot with round ends of a radius, whose middles lie a length apart.
func slotted(r, long float64) (p shapes.Polygon) {
	for i := range 17 {
		a := math.Pi * (float64(i)/16 - 0.5)
		p = append(p, [2]float64{long/2 + r*math.Cos(a), r * math.Sin(a)})
	}
	for i := range 17 {
		a := math.Pi * (float64(i)/16 + 0.5)
		p = append(p, [2]float64{-long/2 + r*math.Cos(a), r * math.Sin(a)})
	}
	return p
}

// roundedSquare is a square with quarter rounds at its corners.
func roundedSquare(side, r float64) (p shapes.Polygon) {
	for k := range 4 {
		for i := range 9 {
			a := math.Pi / 2 * (float64(k) + float64(i)/8)
			x := []float64{1, -1, -1, 1}[k] * (side/2 - r)
			y := []float64{1, 1, -1, -1}[k] * (side/2 - r)
			p = append(p, [2]float64{x + r*math.Cos(a), y + r*math.Sin(a)})
		}
	}
	return p
}

// threaded is the profile of a nut with a thread of rings.
func threaded(r, depth float64, rings int) shapes.Polygon {
	p := shapes.Polygon{{r, 0}, {r + 6, 0}, {r + 6, float64(rings)}}
	for k := range rings {
		p = append(p, [2]float64{r, float64(rings - k)}, [2]float64{r + depth, float64(rings-k) - 0.5})
	}
	return p
}

// rough is a plate with a hole of 8 mm whose corners stand in and out by turns.
func rough(by float64) *mesh.Triangles {
	p := shapes.Ring(20, 20, 4, 48)
	for i := range p {
		k := 1 - by/4*float64(i%2)
		p[i] = [2]float64{20 + (p[i][0]-20)*k, 20 + (p[i][1]-20)*k}
	}
	return shapes.Prism(shapes.Rect(0, 0, 40, 40), 0, 6, p)
}

func TestHolesOfExactShapes(t *testing.T) {
	for _, c := range holeCases() {
		t.Run(c.name, func(t *testing.T) {
			r := take(t, c.soup, "hole")
			require.Len(t, r.Sites, len(c.want))
			least := c.box().Size().Len()
			for _, want := range c.want {
				least = min(least, want.Diameter)
				assert.True(t, hasHole(&r, want, 0.01), "%+v is not in %v", want, r.Sites)
			}
			got := Hole.Model(&r)
			assert.Equal(t, len(c.want), got.Sites)
			assert.InDelta(t, least, got.Diameter, 0.01)
		})
	}
}

func (c *holeCase) box() mesh.Box { return mesh.Weld(c.soup).Box() }

// hasHole tells whether one of the sites has these values.
func hasHole(r *Result, want HoleSite, off float64) bool {
	for i := range r.Sites {
		got := Hole.Site(&r.Sites[i])
		if math.Abs(got.Diameter-want.Diameter) <= off && math.Abs(got.Depth-want.Depth) <= off &&
			math.Abs(got.Lean-want.Lean) <= 0.1 && got.Sides == want.Sides && got.Full == want.Full {
			return true
		}
	}
	return false
}

// A hole is where it is drawn, and its triangles are those of its wall.
func TestHoleSaysWhereItIs(t *testing.T) {
	soup := drilledPlate(32, 2, 3, 5)
	r := take(t, soup, "hole")
	require.Len(t, r.Sites, 3)
	m := mesh.Weld(soup)
	for i, s := range r.Sites {
		assert.InDelta(t, 0, s.At.Sub(mesh.Vec{X: 8 + 12*float64(i), Y: 8, Z: 3}).Len(), 1e-5)
		assert.Len(t, s.Tris, 64)
		for _, tri := range s.Tris {
			assert.InDelta(t, 0, m.Normal(int(tri)).Z, 1e-6)
		}
	}
}

// However the model is moved, turned, shuffled, split or mirrored, its holes stay the same;
// twice as large they are twice as wide and deep.
func TestHoleLaws(t *testing.T) {
	for _, c := range holeCases() {
		for _, v := range append(variants[:], struct {
			name   string
			change func(*mesh.Triangles) *mesh.Triangles
		}{"twice as large", func(s *mesh.Triangles) *mesh.Triangles { return shapes.Scale(s, 2) }}) {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				times := 1.0
				if v.name == "twice as large" {
					if c.name == "two half shells" {
						return // a seam twice as wide
					}
					times = 2
				}
				r := take(t, v.change(c.soup), "hole")
				require.Len(t, r.Sites, len(c.want))
				for _, want := range c.want {
					want.Diameter, want.Depth = want.Diameter*times, want.Depth*times
					assert.True(t, hasHole(&r, want, 0.01*times), "%+v is not in %v", want, r.Sites)
				}
			})
		}
	}
}

// Turned inside out, a body has the holes that it had: it is printed as if it were right.
func TestHolesOfWhatIsInsideOut(t *testing.T) {
	assert.Len(t, take(t, shapes.Flip(drilledPlate(32, 2, 3, 5)), "hole").Sites, 3)
	assert.Empty(t, take(t, shapes.Flip(shapes.Cylinder(4, 20, 48)), "hole").Sites)
}

// A wider hole is never found as a narrower one, and a drilled plate never has fewer holes
// than the same plate with one hole less.
func TestHolesGrowWithTheDrill(t *testing.T) {
	before := 0.0
	for d := 0.5; d < 11; d += 0.7 {
		r := take(t, drilledPlate(24, d), "hole")
		require.Len(t, r.Sites, 1)
		assert.Greater(t, Hole.Model(&r).Diameter, before)
		before = Hole.Model(&r).Diameter
	}
	for n := range 7 {
		all := []float64{2, 2.5, 3, 3.5, 4, 4.5, 5}
		assert.Len(t, take(t, drilledPlate(20, all[:n]...), "hole").Sites, n)
	}
}

// A few missing, turned or doubled triangles hide no hole.
func TestHolesOfDamagedMeshes(t *testing.T) {
	seed := dice.Seed(t)
	plate := drilledPlate(32, 2, 3, 5)
	for name, soup := range map[string]*mesh.Triangles{
		"missing": shapes.DropTriangles(plate, 3, seed), "turned": shapes.FlipTriangles(plate, 3, seed),
		"doubled": shapes.DuplicateTriangles(plate, 20, seed), "collapsed": shapes.CollapseTriangles(plate, 1, seed),
	} {
		assert.Len(t, take(t, soup, "hole").Sites, 3, name)
	}
}
