package plain

import (
	"container/heap"
	"math"
	"slices"
)

// A layer is laid on the one below. What begins in it is carried by what stands there, and
// each layer may lie out past the one below by a step, which the angle of the rule allows.
// So from every carrier a cone of that angle opens upward through the material, and what
// lies outside of all cones hangs. A steep slope, stairs and an arm are told from a gentle
// slope in one way: run over rise, over as many layers as it takes.

// hold is how a column is held in the last layer in which it was solid.
type hold struct {
	lag   float64 // how far it lies outside the cone, mm; infinite where nothing holds it
	run   float64 // how far it lies from what carries it, mm; 0 within the cone
	path  float64 // how much of that lies in this layer
	alone int     // for how many layers nothing has held it
}

var unheld = math.Inf(1)

// sweep lays the layers of a body one after the other.
type sweep struct {
	*body
	*limits
	slope slope

	// Of the last layer, until the present one is settled.
	held    []hold
	lagging []bool // those outside the cone
	lags    []int

	// Of the present layer.
	began   []bool // begins here, on air
	fresh   []int
	open    []bool // begins here, or lagged in the last layer: how it is held must be found
	opened  []int  // in order
	now     []hold // of those
	cost    []float64
	trouble []map[int]bool // by layer: what began in it or hangs

	all    []*patch
	of     []*patch // that last hung in a column
	inside []bool   // of what strands are laid over
	length []float64
	run    []int
}

// hanging looks for undersides that reach too far, and for spans that are too long.
func (b *body) hanging(l *limits, rule slope) (overhang, bridge *place) {
	n := len(b.columns)
	s := &sweep{body: b, limits: l, slope: rule,
		held: make([]hold, n), lagging: make([]bool, n), began: make([]bool, n), open: make([]bool, n), now: make([]hold, n), cost: make([]float64, n),
		trouble: make([]map[int]bool, len(b.layers)), of: make([]*patch, n), inside: make([]bool, n), length: make([]float64, n)}
	for k := 1; k < len(b.layers); k++ {
		s.lay(k)
	}
	return s.worst()
}

// lay finds how the columns of layer k are held.
func (s *sweep) lay(k int) {
	for _, c := range s.begins[k] {
		switch {
		case !s.rests(c, k, s.gap, s.caught):
			s.began[c], s.open[c] = true, true
			s.fresh = append(s.fresh, c)
			s.now[c] = hold{lag: unheld}
		case s.held[c].lag > 0:
			s.lag(c)
		}
	}
	s.opened = append(s.opened[:0], s.fresh...)
	for _, c := range s.lags {
		if s.layers[k][c] && !s.began[c] {
			s.open[c] = true
			s.opened = append(s.opened, c)
			s.now[c] = s.held[c]
			s.now[c].path = 0
		}
	}
	if len(s.opened) > 0 {
		s.spread(k)
		s.record(k)
	}
	s.settle(k)
}

func (s *sweep) lag(c int) {
	if !s.lagging[c] {
		s.lagging[c] = true
		s.lags = append(s.lags, c)
	}
}

// source is how a column holds what is laid beside it in layer k; false where there is none.
func (s *sweep) source(c, k int) (hold, bool) {
	switch {
	case s.open[c]:
		return s.now[c], true
	case s.layers[k][c]:
		return hold{}, true
	case s.layers[k-1][c]: // ends in the layer below
		h := s.held[c]
		h.path = 0
		return h, true
	}
	return hold{}, false
}

// settle widens the cones by a step and keeps how the columns of layer k are held.
func (s *sweep) settle(k int) {
	for _, c := range s.lags {
		s.lagging[c] = false
	}
	s.lags = s.lags[:0]
	s.trouble[k] = map[int]bool{}
	for _, c := range s.opened {
		h := s.now[c]
		if h.lag == unheld {
			h.alone++
			if s.islandsCarry && float64(h.alone)*layer > s.rise {
				h = hold{}
			}
		}
		s.trouble[k][c] = s.began[c] || s.hangs(h)
		if h.lag -= s.slope.step; h.lag <= 0 {
			h = hold{}
		}
		s.held[c] = h
		if h.lag > 0 {
			s.lag(c)
		}
		s.open[c], s.began[c] = false, false
	}
	s.opened, s.fresh = s.opened[:0], s.fresh[:0]
}

// hangs tells whether a column of the present layer lies outside all cones.
func (s *sweep) hangs(h hold) bool { return h.lag-s.slope.step > s.slope.lag }

// ends tells whether a strand of layer k may end on a column.
func (s *sweep) ends(c, k int) bool {
	h, ok := s.source(c, k)
	return ok && s.layers[k][c] && !s.began[c] && (!s.hangs(h) || h.run <= s.carries)
}

// spread carries hold through layer k, along its material, from whatever holds an open
// column best.
func (s *sweep) spread(k int) {
	slices.Sort(s.opened)
	var q queue
	for _, c := range s.opened {
		s.cost[c] = s.now[c].lag
		if s.cost[c] < unheld {
			heap.Push(&q, mark{c, s.cost[c]})
		}
	}
	for _, c := range s.opened {
		for _, o := range hops {
			from := c + o.dy*s.nx + o.dx
			if h, ok := s.source(from, k); ok && !s.open[from] && h.lag < unheld {
				s.reachOut(&q, c, h, h.lag, o.mm)
			}
		}
	}
	for len(q) > 0 {
		m := heap.Pop(&q).(mark)
		if m.cost > s.cost[m.c] {
			continue
		}
		for _, o := range hops {
			if c := m.c + o.dy*s.nx + o.dx; s.open[c] {
				s.reachOut(&q, c, s.now[m.c], m.cost, o.mm)
			}
		}
	}
}

// nearer makes a carrier that is nearer win over an equal one farther off.
const nearer = 1.02

// reachOut holds column c by what lies some mm beside it, where that is better.
func (s *sweep) reachOut(q *queue, c int, by hold, cost, mm float64) {
	if sum := cost + mm*nearer; sum < s.cost[c]-1e-9 {
		s.cost[c] = sum
		s.now[c] = hold{lag: by.lag + mm, run: by.run + mm, path: by.path + mm}
		heap.Push(q, mark{c, sum})
	}
}
