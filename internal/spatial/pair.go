package spatial

import "printlint/internal/mesh"

// common is the corners two triangles share: how many, and where the last of them
// stands in each.
type common struct{ count, inA, inB int }

func shared(a, b *mesh.Tri) common {
	var s common
	for i := range 3 {
		for j := range 3 {
			if a[i] == b[j] {
				s.count++
				s.inA, s.inB = i, j
			}
		}
	}
	if s.count == 0 {
		s.inA, s.inB = -1, -1
	}
	return s
}

// cross says whether two triangles cross, p and q being their planes. It is the test
// of Guigue and Devillers, Fast and robust triangle-triangle overlap test using
// orientation predicates (2003), with strict comparisons: once both straddle each other's plane, the stretches that they cover of the line common
// to both planes are compared by the signs of two determinants.
func cross(p, q *triPlane, same common) bool {
	b := [3]point{q.a, q.b, q.c}
	sideB, ok := straddles(p, &b, same.inB)
	if !ok {
		return false
	}
	a := [3]point{p.a, p.b, p.c}
	sideA, ok := straddles(q, &a, same.inA)
	if !ok {
		return false
	}
	first, flipB := alone(sideA)
	second, flipA := alone(sideB)
	p1, q1, r1 := a[first], a[(first+1)%3], a[(first+2)%3]
	p2, q2, r2 := b[second], b[(second+1)%3], b[(second+2)%3]
	if flipB {
		q2, r2 = r2, q2
	}
	if flipA {
		q1, r1 = r1, q1
	}
	return orient(p1, q1, p2, q2) < 0 && orient(p1, r1, r2, p2) < 0
}

// straddles returns the sides of the plane on which three corners lie, and whether
// there are some on both. Corner shared lies in the plane.
func straddles(p *triPlane, c *[3]point, shared int) (side [3]int, ok bool) {
	up, down := false, false
	for k := range 3 {
		if k != shared {
			side[k] = p.side(c[k])
		}
		up = up || side[k] > 0
		down = down || side[k] < 0
	}
	return side, up && down
}

// alone returns the corner that is the only one on its side of a plane, and whether
// that side is the lower one.
func alone(side [3]int) (corner int, below bool) {
	sum := side[0] + side[1] + side[2]
	for k, s := range side {
		// Of +,-,- and +,0,- the first, of +,+,- the last is alone.
		if sum <= 0 && s > 0 {
			return k, false
		}
		if sum > 0 && s < 0 {
			return k, true
		}
	}
	return 0, false
}
