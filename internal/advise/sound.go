package advise

import (
	"cmp"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// A part of a piece that is lower than thinSheet, in mm, bends and breaks when it is glued, and
// one that has less than sliver of the volume of the model is lost. Judgement, no source.
const (
	thinSheet = 3.0
	sliver    = 0.02
)

// glueWorth is how many times the work of a joint may be what support and an unsteady foot
// cost, where the pieces then need no support at all. Judgement, no source.
const glueWorth = 4.0

// cutGains is how many times less work pieces must be of which one still needs support. Judgement,
// no source.
const cutGains = 2.0

// lump is a part of a mesh that hangs together.
type lump struct {
	box    mesh.Box
	volume float64
}

// lumps are the parts of a closed mesh. Of a model drawn in several bodies those whose boxes
// overlap are one: they mostly lie in each other. Pieces of a single body never do.
func lumps(m *mesh.Mesh, several bool) []lump {
	shells := m.Topology().Shells
	sets := geom.Sets[int32]{}.Grow(len(shells))
	for i := range shells {
		for k := range i {
			hollow := shells[i].Volume < 0 || shells[k].Volume < 0
			if (several || hollow) && shells[i].Box.Meets(&shells[k].Box, 0) {
				sets.Join(int32(i), int32(k))
			}
		}
	}
	order, starts := sets.Members()
	var list []lump
	for k := range len(starts) - 1 {
		one := lump{box: mesh.EmptyBox()}
		for _, i := range order[starts[k]:starts[k+1]] {
			one.box.IncludeBox(shells[i].Box)
			one.volume += shells[i].Volume
		}
		list = append(list, one)
	}
	return list
}

// sound says that pieces are such as somebody would glue: no part of a piece, which stands on
// its cut, is a sheet, or a sliver of a model that has so much volume.
func sound(pieces []*piece, several bool, whole float64) bool {
	for _, p := range pieces {
		for _, l := range lumps(p.mesh, several) {
			if l.box.Size().Z < thinSheet || l.volume < sliver*whole {
				return false
			}
		}
	}
	return true
}

// toll is what is left of a model in a way up, and what that costs.
type toll struct {
	fails, left int
	minutes     float64 // by support, by rough faces, by an unsteady foot, and by hand
}

// toll of a way up, with so many minutes of work by hand beside it.
func (w *wayUp) toll(work float64) toll { return toll{w.fails(), w.remains(), w.burden() + work} }

// remains counts the errors that are left, with the support that is planned.
func (w *wayUp) remains() int {
	if len(w.structures) > 0 {
		return w.leftOver
	}
	return w.Errors // of which support would cure some, where it had a place to stand
}

// below says that it is the better of two.
func (t toll) below(other toll) bool {
	return cmp.Or(t.compareLeft(other), cmp.Compare(worth(t.minutes), worth(other.minutes))) < 0
}

// compareLeft compares what is left, whatever it costs.
func (t toll) compareLeft(other toll) int {
	return cmp.Or(cmp.Compare(t.fails, other.fails), cmp.Compare(t.left, other.left))
}

// pays says that a change which takes so much work is worth telling of: it has no error, or is
// better than the best way up as the model is.
func (n *changed) pays(work float64, best *wayUp) bool {
	return n.Errors == 0 || n.toll(work).below(best.toll(0))
}

// glueWork is what it takes to glue the pieces, in minutes.
func (s *split) glueWork() float64 {
	cuts := len(s.planes)
	return float64(cutWork*float64(cuts)) + float64(jointWork*float64(max(s.joints-cuts, 0)))
}

// toll of all pieces.
func (s *split) toll() toll {
	sum := toll{minutes: s.glueWork()}
	for _, p := range s.pieces {
		t := p.toll(0)
		sum.fails, sum.left, sum.minutes = max(sum.fails, t.fails), sum.left+t.left, sum.minutes+t.minutes
	}
	return sum
}

// pays says that somebody may choose the pieces instead of the best way up: one of them stands
// on its cut, or nothing is left, and together they are better, or clean and not much more work.
// Where one needs support all the same and no error more is cured, they must be far less work.
func (s *split) pays(best *wayUp) bool {
	clean, onCut, supported := true, false, false
	for _, p := range s.pieces {
		clean, onCut, supported = clean && p.clean(), onCut || isAsItLies(p.wayUp), supported || len(p.structures) > 0
	}
	t, now := s.toll(), best.toll(0)
	if !clean {
		t.minutes = s.work()
	}
	better := t.below(now)
	if supported && t.fails == now.fails && t.left == now.left {
		better = float64(cutGains*t.minutes) <= now.minutes
	}
	return (onCut || clean) && (better || clean && t.minutes <= glueWorth*best.burden())
}
