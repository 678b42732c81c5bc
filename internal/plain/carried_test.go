package plain

import (
	"math"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// slopes are what leans, smoothly or in steps.
var slopes = []solid{
	{"arm leaning 30 by 12", func() *mesh.Triangles { return shapes.LeaningArm(30, 12) }},
	{"arm leaning 45 by 20", func() *mesh.Triangles { return shapes.LeaningArm(45, 20) }},
	{"arm leaning 60 by 5", func() *mesh.Triangles { return shapes.LeaningArm(60, 5) }},
	{"arm leaning 60 by 20", func() *mesh.Triangles { return shapes.LeaningArm(60, 20) }},
	{"arm leaning 62 by 5 turned", func() *mesh.Triangles { return shapes.Turn(shapes.LeaningArm(62, 5), shapes.Z, 28) }},
	{"arm leaning 75 by 15", func() *mesh.Triangles { return shapes.LeaningArm(75, 15) }},
	{"arm leaning 80 by 1.8", func() *mesh.Triangles { return shapes.LeaningArm(80, 1.8) }},
	{"level arm of 12", func() *mesh.Triangles { return shapes.LeaningArm(90, 12) }},
	{"stairs 0.2 by 0.2", func() *mesh.Triangles { return shapes.Stairs(0.2, 0.2, 12) }},
	{"stairs 0.4 by 0.4", func() *mesh.Triangles { return shapes.Stairs(0.4, 0.4, 12) }},
	{"stairs 0.35 by 0.2", func() *mesh.Triangles { return shapes.Stairs(0.35, 0.2, 12) }},
	{"stairs 1 by 1", func() *mesh.Triangles { return shapes.Stairs(1, 1, 12) }},
	{"stairs 1 out by 0.2 up", func() *mesh.Triangles { return shapes.Stairs(1, 0.2, 12) }},
	{"stairs 2 out by 0.4 up", func() *mesh.Triangles { return shapes.Stairs(2, 0.4, 12) }},
	{"wall that steps out 0.1 every 0.6", func() *mesh.Triangles { return shapes.Stairs(0.1, 0.6, 4) }},
	{"vase of rings", func() *mesh.Triangles { return rings(8, 0.2, 0.2, 40, 48) }},
	{"vase of rings, 60 deg", func() *mesh.Triangles { return rings(8, 0.35, 0.2, 16, 48) }},
	{"flare with ribs", ribbedFlare},
	{"arch of steps", func() *mesh.Triangles { return stepped(24, 0.4) }},
	{"keel of 30 deg", func() *mesh.Triangles { return keel(30) }},
	{"keel of 40 deg turned", func() *mesh.Triangles { return shapes.Turn(keel(40), shapes.Z, 31) }},
	{"keel of 45 deg", func() *mesh.Triangles { return keel(45) }},
	{"keel of 40 deg, 3 long", func() *mesh.Triangles { return keelOf(40, 3) }},
	{"keel of 40 deg between walls 20 apart", func() *mesh.Triangles { return shapes.Join(keelOf(40, 20), box(-8, 21, 0, 8, 32, 30)) }},
	{"keel of 40 deg between walls 85 apart", func() *mesh.Triangles { return shapes.Join(keelOf(40, 85), box(-8, 86, 0, 8, 97, 30)) }},
}

// held are what lies between two ends, or on what ends a little below.
var held = []solid{
	{"brace rising 15 over 9", func() *mesh.Triangles { return brace(9, 15, 0) }},
	{"brace rising 20 over 60", func() *mesh.Triangles { return brace(60, 20, 0) }},
	{"brace rising 15 over 9, 1 short", func() *mesh.Triangles { return brace(9, 15, 1) }},
	{"brace rising 60 over 9", func() *mesh.Triangles { return brace(9, 60, 0) }},
	{"brace rising 20 over 60 turned", func() *mesh.Triangles { return shapes.Turn(brace(60, 20, 0), shapes.Z, 53) }},
	{"level brace over 85", func() *mesh.Triangles { return brace(85, 0, 0) }},
	{"level brace over 9", func() *mesh.Triangles { return brace(9, 0, 0) }},
	{"two arms, one 0.4 higher", func() *mesh.Triangles { return twoArms(12, 0.4) }},
	{"two arms, one 1 higher", func() *mesh.Triangles { return twoArms(12, 1) }},
	{"two arms at one height", func() *mesh.Triangles { return twoArms(12, 0) }},
	{"ceiling tilted 5 between walls", func() *mesh.Triangles { return tilted(20, 5) }},
	{"ceiling tilted 15 between walls", func() *mesh.Triangles { return tilted(20, 15) }},
	{"ceiling tilted 0.3 between walls", func() *mesh.Triangles { return tilted(20, 0.3) }},
	{"ceiling tilted along its walls", func() *mesh.Triangles { return shapes.Turn(alongWalls(16, 5), shapes.Z, 17) }},
	{"ceiling with open ends", func() *mesh.Triangles {
		return shapes.Join(box(0, 0, 0, 6, 30, 15), box(26, 0, 0, 32, 30, 15), box(0, 0, 15, 32, 30, 18))
	}},
	{"ceiling past the end of its walls", func() *mesh.Triangles {
		return shapes.Join(box(0, 0, 0, 6, 30, 15), box(26, 0, 0, 32, 30, 15), box(0, 0, 15, 32, 42, 18))
	}},
	{"roof 2 past three walls", func() *mesh.Triangles { return threeWalls(2) }},
	{"roof 2 past three walls turned", func() *mesh.Triangles { return shapes.Turn(threeWalls(2), shapes.Z, 53.4) }},
	{"roof 2.8 past three walls turned", func() *mesh.Triangles { return shapes.Turn(threeWalls(2.8), shapes.Z, 53.4) }},
	{"arm with a post 0.2 below", func() *mesh.Triangles { return propped(0.2, 1) }},
	{"arm with a post 0.25 below", func() *mesh.Triangles { return propped(0.25, 1) }},
	{"arm with a post 1 below", func() *mesh.Triangles { return propped(1, 1) }},
	{"block 0.25 above another", func() *mesh.Triangles { return shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 10.25, 20, 20, 20)) }},
	{"block 0.4 above another", func() *mesh.Triangles { return shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 10.4, 20, 20, 20)) }},
	{"support 0.2 below a ceiling", func() *mesh.Triangles { return shapes.Join(shapes.Portal(90), box(10.3, 0.3, 0, 99.7, 9.7, 19.8)) }},
	{"lip 0.2 above the bed", func() *mesh.Triangles { return shapes.Join(box(0, 0, 0, 20, 20, 10), box(19, 0, 0.2, 40, 20, 10)) }},
	{"lip 0.5 above the bed", func() *mesh.Triangles { return shapes.Join(box(0, 0, 0, 20, 20, 10), box(19, 0, 0.5, 40, 20, 10)) }},
	{"block 0.2 above the bed", func() *mesh.Triangles { return shapes.Join(box(0, 0, 0, 20, 20, 10), box(30, 0, 0.2, 40, 20, 10)) }},
	{"block 1 above another", func() *mesh.Triangles { return shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 11, 20, 20, 20)) }},
}

// rings is an upright bowl whose wall is made of rings, each wider than the one below.
func rings(r, out, up float64, n, corners int) *mesh.Triangles {
	var outer, inner shapes.Polygon
	for k := range n {
		at, z := r+out*float64(k), 4+up*float64(k)
		outer = append(outer, [2]float64{at, z}, [2]float64{at, z + up})
		inner = append(inner, [2]float64{at - 2, z + 2*up}, [2]float64{at - 2, z + up})
	}
	p := shapes.Polygon{{0, 0}, {r, 0}}
	p = append(p, outer...)
	for i := len(inner) - 1; i >= 0; i-- {
		p = append(p, inner[i])
	}
	p[len(p)-2*n] = [2]float64{outer[len(outer)-1][0] - 2, outer[len(outer)-1][1]}
	return shapes.Revolve(append(p, [2]float64{0, 4 + up}), corners)
}

// ribbedFlare is a cone that opens by 20 deg with a rib every 2 mm that stands out 0.4.
func ribbedFlare() *mesh.Triangles {
	p := shapes.Polygon{{0, 0}, {8, 0}}
	for z := 2.0; z < 20; z += 2 {
		r := 8 + float64(z*math.Tan(20*math.Pi/180))
		p = append(p, [2]float64{r, z}, [2]float64{r + 0.4, z}, [2]float64{r + 0.4, z + 0.8}, [2]float64{r + 0.3, z + 0.8})
	}
	return shapes.Revolve(append(p, [2]float64{16, 21}, [2]float64{0, 21}), 48)
}

// stepped is a block with an arch of a span, a half circle in steps of a height.
func stepped(span, up float64) *mesh.Triangles {
	r := span / 2
	s := shapes.Join(box(-r-6, 0, 0, -r, 12, 6), box(r, 0, 0, r+6, 12, 6))
	z := 0.0
	for ; z+up < r; z += up {
		x := math.Sqrt(r*r - (z+up)*(z+up))
		s = shapes.Join(s, box(-r-6, 0, 6+z, -x, 12, 6+z+up), box(x, 0, 6+z, r+6, 12, 6+z+up))
	}
	return shapes.Join(s, box(-r-6, 0, 6+z, r+6, 12, r+10))
}

// keel is a cantilever 20 long and 20 up with the underside of a boat, its sides leaning.
func keel(lean float64) *mesh.Triangles { return keelOf(lean, 20) }

func keelOf(lean, long float64) *mesh.Triangles {
	rise := 6 / math.Tan(lean*math.Pi/180)
	beam := shapes.ExtrudeY(shapes.Polygon{{0, 20}, {6, 20 + rise}, {6, 24 + rise}, {-6, 24 + rise}, {-6, 20 + rise}}, 0, long+2)
	return shapes.Join(box(-8, -10, 0, 8, 1, 24+rise), beam)
}

// brace is a beam 6 by 6 between two posts, rising over the gap, ending short of the second.
func brace(gap, deg, short float64) *mesh.Triangles {
	up := func(x float64) float64 { return x * math.Tan(deg*math.Pi/180) }
	tall := 30 + up(gap)
	thick := 6 / math.Cos(deg*math.Pi/180)
	from, to := -1.0, gap+1
	if short > 0 {
		to = gap - short
	}
	beam := shapes.ExtrudeY(shapes.Polygon{{from, 15 + up(from)}, {to, 15 + up(to)}, {to, 15 + thick + up(to)}, {from, 15 + thick + up(from)}}, 2, 8)
	return shapes.Join(box(-10, 0, 0, 0, 10, tall), box(gap, 0, 0, gap+10, 10, tall), beam)
}

// twoArms are two arms that meet over a gap, one higher than the other.
func twoArms(gap, higher float64) *mesh.Triangles {
	return shapes.Join(box(0, 0, 0, 10, 10, 26), box(10+gap, 0, 0, 20+gap, 10, 26),
		box(9, 2, 15, 10+gap/2, 8, 20), box(10+gap/2, 2, 15+higher, 11+gap, 8, 20))
}

// tilted is a ceiling over a gap between two walls, of which one is higher.
func tilted(gap, deg float64) *mesh.Triangles {
	up := gap * math.Tan(deg*math.Pi/180)
	return shapes.ExtrudeY(shapes.Polygon{{0, 0}, {8, 0}, {8, 15}, {8 + gap, 15 + up}, {8 + gap, 0}, {16 + gap, 0}, {16 + gap, 20 + up}, {0, 20 + up}}, 0, 16)
}

// alongWalls is a ceiling over a gap between two walls that both rise from one end to the other.
func alongWalls(gap, deg float64) *mesh.Triangles {
	up := 24 * math.Tan(deg*math.Pi/180)
	wedge := shapes.ExtrudeY(shapes.Polygon{{0, 12}, {24, 12 + up}, {24, 17 + up}, {0, 17 + up}}, 0, gap+12)
	return shapes.Join(box(0, 0, 0, 24, 6, 16+up), box(0, gap+6, 0, 24, gap+12, 16+up), wedge)
}

// propped is an arm of 9 mm with a post below its end that stops a little short.
func propped(gap, from float64) *mesh.Triangles {
	return shapes.Join(box(0, 0, 0, 10, 10, 26), box(9, 0, 20, 19, 10, 26), box(15+from, 0, 0, 19, 10, 20-gap))
}

// threeWalls carry a roof over gaps of 24.6 and 42.2 mm, which stands out past their ends.
func threeWalls(out float64) *mesh.Triangles {
	return shapes.Join(box(-5, 0, 0, 0, 9.4, 10), box(24.6, 0, 0, 26.6, 9.4, 10), box(68.8, 0, 0, 73.8, 9.4, 10), box(-5, -out, 10, 73.8, 9.4+out, 12))
}
