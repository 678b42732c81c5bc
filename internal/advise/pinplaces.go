package advise

import (
	"context"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/cut"
	"printlint/internal/finding"
	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// How many places are looked at in a section, and how close to each other these are at least,
// in mm. Judgement, no source.
const (
	mostPlaces  = 8000
	placesApart = 0.5
)

// placeCost is what looking at a place costs in work, about.
const placeCost = 10_000

// drilling looks for places in which the solid is thick enough for a hole.
type drilling struct {
	process *catalog.Process
	tree    *spatial.Tree
	planes  []plane
	taken   []tube
}

// tube is the axis of the two holes of a pin, from end to end, with how far corners of the holes lie
// from it and how far there must be solid.
type tube struct {
	middle, along mesh.Vec // the middle of the axis, and half of it
	corner, solid float64
}

// joint is where two pieces meet: a part of a section that hangs together, on one side of each
// other plane.
type joint struct {
	plane  int
	places []mesh.Vec
	middle mesh.Vec // of the places
	first  bool     // of several in the plane
}

// plan chooses the places of the holes: in each joint two of the thickest pin that has room for two,
// far apart, else one of the thickest that has room at all.
func (q *Question) plan(ctx context.Context, s *split, sizes []pin) (*pinned, error) {
	tree, err := treeOf(s.whole)(ctx)
	if err != nil {
		return nil, err
	}
	d := &drilling{process: &q.AsItLies.View.Process, tree: tree, planes: s.planes}
	p := &pinned{}
	for i := range s.planes {
		spots, err := d.spots(ctx, s.whole, i)
		if err != nil {
			return nil, err
		}
		for k, j := range spots {
			j.first = k == 0 && len(spots) > 1
			holes := d.best(&j, sizes)
			switch {
			case len(holes) == 0:
				p.bare++
			case len(holes) == 1:
				p.alone++
			case j.evenly(holes) < shiftSeen/2:
				p.even++
			}
			p.holes = append(p.holes, holes...)
		}
	}
	if len(p.holes) == 0 {
		p.why = "the solid beside the cut is too thin for a pin with walls around it"
	}
	return p, nil
}

// spots are the places of a plane that lie in solid, by joints, on a grid around the middle of
// the section. Places hang together where they are neighbours on the grid.
func (d *drilling) spots(ctx context.Context, whole *mesh.Mesh, i int) (list []joint, err error) {
	p := &d.planes[i]
	posed, place := whole.Posed(pose.MatrixTo(p.normal.Scale(-1)))
	z := p.offset - place.Drop
	box := cut.Extent(posed, z)
	size, middle := box.Size(), box.Middle()
	step := max(placesApart, math.Sqrt(size.X*size.Y/mostPlaces))
	nx, ny := int(size.X/2/step), int(size.Y/2/step)
	if err := work.Of(ctx).Spend(placeCost * int64((2*nx+1)*(2*ny+1))); err != nil {
		return nil, err
	}
	var all []mesh.Vec
	var of []uint64
	var sets geom.Sets[int32]
	column := slices.Repeat([]int32{-1}, 2*ny+1) // the places at the x before, or -1
	for x := -nx; x <= nx; x++ {
		below := int32(-1)
		for y := -ny; y <= ny; y++ {
			left := &column[y+ny]
			at := place.Back(mesh.Vec{X: middle.X + float64(step*float64(x)), Y: middle.Y + float64(step*float64(y)), Z: z})
			if d.tree.Winding(at, p.normal) != 1 {
				*left, below = -1, -1
				continue
			}
			own, sides := int32(len(all)), d.sides(i, at)
			all, of, sets = append(all, at), append(of, sides), sets.Grow(len(all)+1)
			for _, k := range []int32{*left, below} {
				if k >= 0 && of[k] == sides {
					sets.Join(own, k)
				}
			}
			*left, below = own, own
		}
	}
	order, starts := sets.Members()
	for k := range len(starts) - 1 {
		j := joint{plane: i}
		for _, v := range order[starts[k]:starts[k+1]] {
			j.places = append(j.places, all[v])
		}
		j.middle = centre(j.places)
		list = append(list, j)
	}
	return list, nil
}

// sides are bits that say on which side of each other plane a place lies.
func (d *drilling) sides(i int, at mesh.Vec) (bits uint64) {
	for k := range d.planes {
		if k != i && d.planes[k].above(at) > 0 {
			bits |= 1 << k
		}
	}
	return bits
}

// above is how far a place lies on the side of the plane that its normal points at.
func (p *plane) above(at mesh.Vec) float64 { return p.normal.Dot(at) - p.offset }

// best are the holes of a joint.
func (d *drilling) best(j *joint, sizes []pin) []finding.PinHole {
	var one *tube
	var single finding.PinHole
	for k := range sizes {
		size := &sizes[k]
		h, wall := size.hole(d.process)
		var room []mesh.Vec
		for _, at := range j.places {
			if t := d.tube(j.plane, at, h, wall); d.free(&t, j.plane) {
				room = append(room, at)
			}
		}
		if len(room) == 0 {
			continue
		}
		if a, b, ok := j.pair(room, pinsApart*size.thick); ok {
			d.taken = append(d.taken, d.tube(j.plane, a, h, wall), d.tube(j.plane, b, h, wall))
			return []finding.PinHole{size.at(j.plane, a, h), size.at(j.plane, b, h)}
		}
		if one == nil {
			m := j.single(room)
			t := d.tube(j.plane, m, h, wall)
			one, single = &t, size.at(j.plane, m, h)
		}
	}
	if one == nil {
		return nil
	}
	d.taken = append(d.taken, *one)
	return []finding.PinHole{single}
}

// at is the hole as reports carry it.
func (p *pin) at(plane int, v mesh.Vec, h cut.Hole) finding.PinHole {
	return finding.PinHole{
		Plane: plane, At: [3]float64{finding.RoundPlace(v.X), finding.RoundPlace(v.Y), finding.RoundPlace(v.Z)},
		Width: 2 * h.Radius, Depth: h.Depth, Pin: p.thick, Length: 2 * p.deep,
	}
}

// tube is that of the holes for a pin at a place.
func (d *drilling) tube(i int, at mesh.Vec, h cut.Hole, wall float64) tube {
	return tube{middle: at, along: d.planes[i].normal.Scale(h.Depth), corner: h.Corner(), solid: h.Corner() + wall}
}

// free says that nothing but solid lies around the axis: no surface of the model, no other cut and
// no other hole. The middle must lie in solid.
func (d *drilling) free(t *tube, plane int) bool {
	if !d.clears(t, 1) || !d.clears(t, -1) {
		return false
	}
	for i := range d.planes {
		p := &d.planes[i]
		from, to := p.above(t.middle.Sub(t.along)), p.above(t.middle.Add(t.along))
		if i != plane && (from > 0 != (to > 0) || min(math.Abs(from), math.Abs(to)) < t.solid) {
			return false
		}
	}
	for i := range d.taken {
		if t.away(&d.taken[i]) < t.solid+d.taken[i].corner {
			return false
		}
	}
	return true
}

// walk is the shortest step along an axis, in mm.
const walk = 0.25

// clears says that the surface stays away from one hole. A point of the axis is at most as much
// nearer to the surface than another as the way between them is long: so steps are as long as
// what is left over, and the shortest one is counted in. Below the floor a wall is enough.
func (d *drilling) clears(t *tube, side float64) bool {
	length := t.along.Len() - t.corner
	need := t.solid + walk/2
	for at := 0.0; ; {
		_, _, away := d.tree.Nearest(t.middle.Add(t.along.Scale(side * at / t.along.Len())))
		if away < need {
			return false
		}
		if at >= length {
			return d.clearsFloor(t, side)
		}
		at = min(length, at+max(away-need, walk))
	}
}

// floorLooks is from how many places around the floor of a hole the surface is looked for.
const floorLooks = 16

// clearsFloor says that there is a wall around the end of a hole: around its floor, and around a
// ring half a radius above it. What lies between the places is counted in.
func (d *drilling) clearsFloor(t *tube, side float64) bool {
	end := t.middle.Add(t.along.Scale(side))
	wall := t.solid - t.corner
	if _, _, away := d.tree.Nearest(end); away >= t.solid || away < wall {
		return away >= wall // most are one or the other
	}
	need := math.Hypot(wall, math.Hypot(t.corner*math.Sin(math.Pi/floorLooks), t.corner/4))
	clear := func(at mesh.Vec) bool {
		_, _, away := d.tree.Nearest(at)
		return away >= need
	}
	up := t.along.Scale(-side * t.corner / 2 / t.along.Len())
	frame := mesh.Placement{M: pose.MatrixTo(t.along.Unit())}
	for k := range floorLooks {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / floorLooks)
		at := end.Add(frame.BackDirection(mesh.Vec{X: t.corner * cos, Y: t.corner * sin}))
		if !clear(at) || !clear(at.Add(up)) {
			return false
		}
	}
	return true
}

// away is how far two axes lie from each other at least.
func (t *tube) away(o *tube) float64 {
	const steps = 16
	least := math.Inf(1)
	for k := -steps; k <= steps; k++ {
		p := t.middle.Add(t.along.Scale(float64(k) / steps)).Sub(o.middle)
		at := p.Dot(o.along) / o.along.Dot(o.along)
		least = min(least, p.Sub(o.along.Scale(max(-1, min(1, at)))).Len())
	}
	return least - t.along.Len()/(2*steps)
}
