package pose

import (
	"cmp"
	"math"
	"slices"
)

// Two directions this far apart, in degrees, are worth a look each: leans, that rest on an
// edge or a point, and faces. What is nearer to a larger face than that is a lean of it.
// Judgement, no source.
const (
	pickApart = 8.0
	faceApart = 15.0
)

// mostLargest is how many of the largest faces are looked at, however much hangs above.
const mostLargest = 3

// picker chooses candidates, each once.
type picker struct {
	list   []Candidate
	taken  []bool
	chosen []int
	most   int
}

// Pick chooses n candidates of a list ordered by score, and keeps its order: the largest faces
// to lie on and the six axes, whatever the score says, which does not know what bridges; then
// the other faces, one for all that lean little from it; then the best of what rests on an edge
// or a point. Faces that come to the same, as around a round body, are left for the end.
func Pick(list []Candidate, n int) []Candidate {
	p := &picker{list: list, taken: make([]bool, len(list)), most: n}
	faces := p.faces()
	for _, i := range faces[:min(len(faces), mostLargest)] {
		p.take(i)
	}
	for i := range list {
		if list[i].axial() {
			p.take(i)
		}
	}
	slices.Sort(faces) // by score again
	for _, i := range faces {
		if !p.any(func(k *Candidate) bool { return k.Alike(&list[i]) }) {
			p.take(i)
		}
	}
	for i := range list {
		if !list[i].rests() && !p.near(i, pickApart) {
			p.take(i)
		}
	}
	for _, i := range faces {
		p.take(i)
	}
	slices.Sort(p.chosen)
	chosen := make([]Candidate, len(p.chosen))
	for k, i := range p.chosen {
		chosen[k] = list[i]
	}
	return chosen
}

// take chooses a candidate, if there is room.
func (p *picker) take(i int) {
	if !p.taken[i] && len(p.chosen) < p.most {
		p.taken[i] = true
		p.chosen = append(p.chosen, i)
	}
}

// any says that something holds for one of those chosen.
func (p *picker) any(holds func(k *Candidate) bool) bool {
	return slices.ContainsFunc(p.chosen, func(k int) bool { return holds(&p.list[k]) })
}

// near says that one of those chosen points nearly the same way.
func (p *picker) near(i int, apart float64) bool {
	limit := math.Cos(apart * math.Pi / 180)
	return p.any(func(k *Candidate) bool { return k.Down.Dot(p.list[i].Down) > limit })
}

// faces lists those that rest on a face, the largest first, without the leans of a larger one.
func (p *picker) faces() []int {
	var order, faces []int
	for i := range p.list {
		if p.list[i].rests() {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return -cmp.Compare(rough(p.list[a].Contact), rough(p.list[b].Contact)) })
	limit := math.Cos(faceApart * math.Pi / 180)
	for _, i := range order {
		if !slices.ContainsFunc(faces, func(k int) bool { return p.list[k].Down.Dot(p.list[i].Down) > limit }) {
			faces = append(faces, i)
		}
	}
	return faces
}

// rests says that the body lies on a face.
func (c *Candidate) rests() bool { return c.Contact >= restsFrom && c.Tip > 0 }

// axial says that an axis of the file points at the bed.
func (c *Candidate) axial() bool { return slices.Contains(axes, c.Down) }

// Alike says that by the cheap score two ways up are one, as on a round or a mirrored body.
func (c *Candidate) Alike(k *Candidate) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= float64(0.02*max(x, y))+0.1 }
	return near(c.Contact, k.Contact) && near(c.Height, k.Height) && near(c.Hang, k.Hang) && near(c.Air, k.Air)
}
