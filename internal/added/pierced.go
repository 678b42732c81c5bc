package added

import (
	"math"

	"printlint/internal/mesh"
)

// widestHole is how wide, in mm, a hole is at most that something may sit in. Judgement, no
// source.
const widestHole = 20.0

// pierced says that a hole goes up through the underside: an inner edge of it, from which the
// surface goes on upwards.
func (u *underside) pierced(t *mesh.Topology) bool {
	in := make(map[uint32]bool, len(u.tris))
	for _, i := range u.tris {
		in[i] = true
	}
	next := map[uint32]uint32{} // the half-edge of the rim that begins at a corner
	var rim []uint32
	for _, i := range u.tris {
		for side := range uint32(3) {
			h := 3*i + side
			if twin := t.Twin[h]; twin == mesh.None || !in[twin/3] {
				from, _ := u.mesh.Ends(h)
				next[from] = h
				rim = append(rim, h)
			}
		}
	}
	used := make(map[uint32]bool, len(rim))
	for _, h := range rim {
		up, box, area := true, mesh.EmptyBox(), 0.0
		for !used[h] {
			used[h] = true
			from, to := u.mesh.Ends(h)
			a, b := mesh.Of64(u.mesh.Verts[from]), mesh.Of64(u.mesh.Verts[to])
			area += float64(a.X*b.Y) - float64(b.X*a.Y)
			box.Include(a)
			twin := t.Twin[h]
			up = up && twin != mesh.None && !u.goesDown(twin)
			h = next[to]
		}
		// Seen from above, what looks down runs clockwise, and around a hole the other way.
		if size := box.Size(); up && area > 0 && math.Max(size.X, size.Y) <= widestHole {
			return true
		}
	}
	return false
}
