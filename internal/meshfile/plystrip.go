package meshfile

// plyStrip is a strip of triangles being read: each point after the second one makes a
// triangle with the two before it, every second one turned the other way; -1 begins anew
// (element tristrips of the scans for which PLY was made, from memory).
type plyStrip struct {
	last [2]int
	n    int
}

// stripCorner goes on with point i. A triangle with a point twice only leads to the next
// one, and is no triangle.
func (r *plyReader) stripCorner(i, row int, done int64) error {
	s := &r.strip
	r.used[i/64] |= 1 << (i % 64)
	a, b := s.last[0], s.last[1]
	s.last = [2]int{b, i}
	if s.n++; s.n < 3 || a == b || b == i || a == i {
		return nil
	}
	if s.n%2 == 0 {
		a, b = b, a
	}
	return r.add(r.points[a], r.points[b], r.points[i], row, done)
}
