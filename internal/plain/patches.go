package plain

import (
	"maps"
	"math"
	"slices"
)

// patch is what hangs together, in a layer or from one layer to the next.
type patch struct {
	into    *patch // of which it has become a part
	laid    map[int]laid
	span    float64 // the longest strand that it needs
	spanAt  int
	spanLay int
}

// laid is a column of a patch.
type laid struct {
	layer int
	run   float64
	hangs bool // farther out than the angle allows, and by a step that no gentler slope takes
	edge  bool // of a part of a layer that does not hang, beside one that does
}

func (p *patch) root() *patch {
	for p.into != nil {
		p = p.into
	}
	return p
}

// shortest is how far a layer must lie out past the one below before strands are asked for, in mm.
const shortest = 1.5

// record adds what begins to hang in layer k to the patches, after it was bridged where it can be.
func (s *sweep) record(k int) {
	for _, part := range s.together() {
		p, far, hangs := s.patchOf(part), 0.0, false
		for _, c := range part {
			hangs = hangs || s.hangs(s.now[c])
			if s.now[c].lag < unheld {
				far = max(far, s.now[c].path)
			}
		}
		if !hangs && len(p.laid) == 0 {
			continue
		}
		if hangs && far > shortest {
			s.lift(p, part, k)
		}
		for _, c := range part {
			s.of[c] = p
			if h := s.now[c]; h.lag < unheld && h.lag > 0 { // neither an island's nor bridged
				p.laid[c] = laid{k, h.run, s.hangs(h) && h.path > s.slope.least, !hangs}
			}
		}
	}
}

// together lists the fresh columns that touch.
func (s *sweep) together() (list [][]int) {
	seen := map[int]bool{}
	for _, c := range s.fresh {
		if seen[c] {
			continue
		}
		seen[c] = true
		part := []int{c}
		for n := 0; n < len(part); n++ {
			for _, d := range s.around(part[n]) {
				if s.began[d] && !seen[d] {
					seen[d] = true
					part = append(part, d)
				}
			}
		}
		list = append(list, part)
	}
	return list
}

// patchOf is the patch that columns belong to: that of what hung below or beside them in the
// last layer and has not been caught up by a cone since, or a new one.
func (s *sweep) patchOf(part []int) *patch {
	var p *patch
	for _, c := range part {
		around := s.around(c)
		for _, d := range append(around[:], c) {
			if s.of[d] == nil || !s.lagging[d] || s.held[d].lag <= s.slope.lag {
				continue
			}
			if q := s.of[d].root(); p == nil {
				p = q
			} else if q != p {
				p = join(p, q)
			}
		}
	}
	if p == nil {
		p = &patch{laid: map[int]laid{}}
		s.all = append(s.all, p)
	}
	return p
}

// join makes one patch of two.
func join(p, q *patch) *patch {
	if len(q.laid) > len(p.laid) {
		p, q = q, p
	}
	q.into = p
	maps.Copy(p.laid, q.laid)
	if q.span > p.span {
		p.span, p.spanAt, p.spanLay = q.span, q.spanAt, q.spanLay
	}
	return p
}

// lift lays strands over part of layer k and finds how far the rest of it lies from them.
func (s *sweep) lift(p *patch, part []int, k int) {
	strands := s.bridge(part, k)
	carrying := map[int]bool{}
	for c, mm := range strands {
		carrying[c] = s.holds(mm)
	}
	s.beside(part, strands)
	for _, c := range part {
		mm, bridged := strands[c]
		if h := s.now[c]; bridged && h.run > s.ledge && h.lag < unheld && mm > p.span {
			p.span, p.spanAt, p.spanLay = mm, c, k
		}
		if carrying[c] {
			s.now[c] = hold{}
		} else if !bridged {
			s.now[c] = hold{lag: unheld}
		}
	}
	s.spread(k)
	for c := range strands {
		s.now[c] = hold{}
	}
}

// holds tells whether what lies beside a strand of a length is held by it.
func (s *sweep) holds(mm float64) bool { return s.anyStrand || mm <= s.strand }

// worst names the farthest reach and the longest span that the rules do not spare.
func (s *sweep) worst() (overhang, bridge *place) {
	farthest, longest := 0.0, s.span
	for _, p := range s.all {
		if p.into != nil {
			continue
		}
		if p.span > longest {
			longest = p.span
			bridge = &place{figures("span", p.span), s.at(p.spanAt, p.spanLay)}
		}
		at, reach, area := s.reach(p)
		if s.tooFar(reach, area) {
			s.arch(p)
			at, reach, area = s.reach(p)
		}
		if s.tooFar(reach, area) && reach > farthest {
			farthest = reach
			overhang = &place{figures("reach", reach, "area", area), s.at(at, p.laid[at].layer)}
		}
	}
	return overhang, bridge
}

func (s *sweep) tooFar(reach, area float64) bool {
	return reach > s.slope.far || reach > s.slope.reach && area*reach > s.slope.load
}

// reach is the farthest column of a patch, the distance of it, and the area of all.
func (s *sweep) reach(p *patch) (at int, reach, area float64) {
	n := 0
	for c, l := range p.laid {
		if !l.edge {
			n++
		}
		if l.hangs && (l.run > reach || l.run == reach && c < at) {
			at, reach = c, l.run
		}
	}
	return at, reach, float64(n) * cell * cell
}

// arch takes away from a patch what strands would cross if all of it were laid at once, from
// carriers that are not more than a layer apart in height, and finds how far the rest lies from those.
func (s *sweep) arch(p *patch) {
	var columns []int
	for c := range p.laid {
		columns = append(columns, c)
	}
	slices.Sort(columns)
	strands := s.chords(columns, strandRule{
		end: func(c, beside int) bool {
			k := p.laid[beside].layer
			return s.layers[k][c] && s.layers[k-1][c] && !s.trouble[k][c]
		},
		accept: func(run []int) bool { return abs(p.laid[run[0]].layer-p.laid[run[len(run)-1]].layer) <= 1 },
	})
	rim := map[int]int{} // columns at the edge of what carries, and their layers
	for c, mm := range strands {
		if mm > s.span {
			delete(strands, c)
			continue
		}
		for _, d := range s.around(c) {
			if _, crossed := strands[d]; !crossed && s.holds(mm) {
				rim[c] = p.laid[c].layer
			}
		}
	}
	s.beside(columns, strands)
	for c := range strands {
		delete(p.laid, c)
	}
	for c, l := range p.laid {
		for d, k := range rim {
			if abs(k-l.layer) <= 1 {
				l.run = min(l.run, math.Hypot(float64(c%s.nx-d%s.nx), float64(c/s.nx-d/s.nx))*cell)
			}
		}
		p.laid[c] = l
	}
}

func abs(n int) int { return max(n, -n) }
