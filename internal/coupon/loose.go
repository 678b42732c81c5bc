package coupon

import (
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// The pieces of these rows come loose where the printer can do no more: a tower leaves the bed,
// a speck stays on the nozzle. They have plates of their own, so that they spoil no other row.
// Specks begin above the towers, each above where the one before has joined, so that a speck on
// the nozzle meets nothing unfinished but larger ones.
//
// All limits that these rows are for are areas that do not grow with the line, and neither do
// the pieces, as long as a line is at most 1 mm wide.

// whole is the line in whole millimetres, by which the pieces grow with a wider one.
func whole(line float64) float64 { return max(1, math.Ceil(line)) }

const (
	// largestFoot and smallestFoot are the sides in mm of the squares that are tried: around
	// the least that rules let pass, 3 mm, and what they advise a brim for, just under 8 mm.
	largestFoot, smallestFoot = 8, 2
	// towerTall is how tall a tower is in mm, and towerSlender how many times as tall as wide
	// it is at most, so that it is the grip that is tried: a post that slender tips by far more
	// than rules ask for. Judgement.
	towerTall, towerSlender = 12, 4
	// headArea is how many times as large as its foot the head of a tower is: a small foot is a
	// trouble under a wider body. Judgement, between what the rules for feet call wide and much
	// too wide.
	headArea = 2.5
	// flare is the angle from vertical at which pieces widen, less than any rule asks about.
	flare = 40 * math.Pi / 180
	// speckHang is how far a speck hangs below what it joins, in mm: nearly the 2 mm up to which
	// a rule asks for its area alone, so that what is tried is the worst that the rule lets pass.
	speckHang = 1.8
	// legSlender is how many times as tall as wide the legs of a gate are at most: less than the
	// eight from which rules call a column slender. Judgement.
	legSlender = 6.5
)

// feet are the areas of the squares, the largest first.
func feet(p catalog.Process) (list []float64) {
	for side := float64(largestFoot); side >= smallestFoot; side-- {
		if s := side * whole(p.Line); s >= stroke(p.Line) {
			list = append(list, s*s)
		}
	}
	return list
}

// foot is a tower on a square foot, with a wider head. Its number lies beside it on a plate
// larger than any foot: a floor below both would be the foot. The next piece is farther away
// than the tower is tall.
func foot(b *builder, x, area float64) float64 {
	k, side := whole(b.line), math.Sqrt(area)
	head := side * math.Sqrt(headArea)
	number := max(x, (largestFoot*largestFoot+1)*k*k/b.broad)
	b.plate(number)
	b.tag, b.mesh = b.mesh, mesh.Triangles{}

	b.clear = lift(min(towerTall*k, towerSlender*side), b.layer)
	b.broad = max(b.broad, head)
	neck := b.clear - k
	b.lofted(number+apart+head/2, [][2]float64{{0, side}, {neck - (head-side)/2/math.Tan(flare), side}, {neck, head}, {b.clear, head}})
	return number + apart + head
}

// speckSides are those of the specks in mm, along x and y.
var speckSides = [][2]float64{{0.5, 1}, {1, 1}, {1, 1.5}, {1, 2}, {2, 2}, {2, 3}, {3, 3}}

// specks are the areas of those that are no thinner than a line, the smallest first. What is
// left out is thinner than what follows it.
func specks(p catalog.Process) (list []float64) {
	k := whole(p.Line)
	for _, s := range speckSides {
		if s[0]*k >= p.Line {
			list = append(list, s[0]*s[1]*k*k)
		}
	}
	return list
}

// speck is a gate with a pin that hangs down from its top. The opening narrows up to the pin,
// so that nothing else of it hangs.
func speck(b *builder, x, area float64) float64 {
	k := whole(b.line)
	list := specks(catalog.Process{Line: b.line})
	before := slices.Index(list, area)
	sides := speckSides[len(speckSides)-len(list)+before]
	wide, deep := sides[0]*k, sides[1]*k
	bar, root := b.scale, b.floor/2
	hang := math.Floor(speckHang*k/b.layer+1e-9) * b.layer
	crown := lift(towerTall*k+1+hang, b.layer) + float64(float64(before)*(hang+b.layer))
	leg := max(2.4*b.scale, crown/legSlender)
	spring := crown - hang - k
	run := (crown - spring) * math.Tan(flare)
	left := x + leg
	right := left + 2*run + wide
	end, top, middle := right+leg, crown+bar, (left+right)/2
	b.plate(end)
	b.along(outline{{x, root}, {left, root}, {left, spring}, {left + run, crown}, {right - run, crown}, {right, spring},
		{right, root}, {end, root}, {end, top}, {x, top}}, max(leg, deep+1))
	b.along(rectangle(middle-wide/2, crown-hang, middle+wide/2, crown+bar/2), deep)
	return end
}

// lofted is a body around an upright axis in the middle of the plate: level squares, each by its
// height and its side, the lowest first.
func (b *builder) lofted(x float64, squares [][2]float64) {
	at := func(i int) [4]mesh.Vec {
		z, h, y := squares[i][0], squares[i][1]/2, b.broad/2
		return [4]mesh.Vec{{X: x - h, Y: y - h, Z: z}, {X: x + h, Y: y - h, Z: z}, {X: x + h, Y: y + h, Z: z}, {X: x - h, Y: y + h, Z: z}}
	}
	last := len(squares) - 1
	low, top := at(0), at(last)
	b.quad(low[3], low[2], low[1], low[0])
	b.quad(top[0], top[1], top[2], top[3])
	var right, left outline
	for i := range squares {
		p := at(i)
		right, left = append(right, [2]float64{p[1].X, p[1].Z}), append(left, [2]float64{p[0].X, p[0].Z})
		if i == last {
			break
		}
		q := at(i + 1)
		for k := range p {
			n := (k + 1) % len(p)
			b.quad(p[k], p[n], q[n], q[k])
		}
		s, t := squares[i][1], squares[i+1][1]
		b.volume += float64((squares[i+1][0]-squares[i][0])*(float64(s*s)+float64(s*t)+float64(t*t))) / 3
	}
	for i := range left {
		right = append(right, left[last-i])
	}
	b.view(right, nil)
}
