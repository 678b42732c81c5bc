package plain

import (
	"maps"
	"math"
	"slices"
)

// sliver in mm is how far beside a strand its neighbours are taken to be held with it.
const sliver = 0.5

// strandRule tells on which columns a strand may end, and over which it may lie.
type strandRule struct {
	end    func(c, beside int) bool
	accept func(run []int) bool
}

// chords lays strands over columns in every direction. A strand holds where both ends do. It
// returns the length in mm of the shortest strand through each column that any strand crosses.
func (s *sweep) chords(columns []int, rule strandRule) map[int]float64 {
	lo, hi := [2]int{s.nx, s.ny}, [2]int{}
	for _, c := range columns {
		s.inside[c], s.length[c] = true, unheld
		at := [2]int{c % s.nx, c / s.nx}
		for a := range 2 {
			lo[a], hi[a] = min(lo[a], at[a]-1), max(hi[a], at[a]+1)
		}
	}
	wide, deep := float64(hi[0]-lo[0]), float64(hi[1]-lo[1])
	half := math.Hypot(wide, deep) / 2
	// At the far end of what they cross, two neighbours lie about four columns apart.
	directions := min(max(int(0.8*half), 24), 120)
	for d := range directions {
		sin, cos := math.Sincos(math.Pi * float64(d) / float64(directions))
		for off := -half; off <= half; off += 0.8 {
			x, y := wide/2-off*sin, deep/2+off*cos
			from, to := within(x, cos, wide)
			f, t := within(y, sin, deep)
			from, to = max(from, f), min(to, t)
			s.chord(float64(lo[0])+x+from*cos, float64(lo[1])+y+from*sin, cos, sin, int(to-from)+2, rule)
		}
	}
	found := map[int]float64{}
	for _, c := range columns {
		s.inside[c] = false
		if s.length[c] < unheld {
			found[c] = s.length[c]
		}
	}
	return found
}

// within is between which steps a line from x stays from 0 to wide.
func within(x, step, wide float64) (from, to float64) {
	if math.Abs(step) < 1e-9 {
		if x < 0 || x > wide {
			return 0, -1
		}
		return math.Inf(-1), math.Inf(1)
	}
	a, b := -x/step, (wide-x)/step
	return min(a, b) - 1, max(a, b) + 1
}

// chord follows one line over n columns, from x, y in columns.
func (s *sweep) chord(x, y, cos, sin float64, n int, rule strandRule) {
	run := s.run[:0]
	open, before := false, nowhere
	for i := range n {
		px, py := int(x+0.5+float64(i)*cos), int(y+0.5+float64(i)*sin)
		c := nowhere
		if px >= 0 && py >= 0 && px < s.nx && py < s.ny {
			c = py*s.nx + px
		}
		if c != nowhere && s.inside[c] {
			if len(run) == 0 {
				open = before != nowhere && rule.end(before, c)
			}
			run = append(run, c)
		} else if len(run) > 0 {
			if open && c != nowhere && rule.end(c, run[len(run)-1]) && rule.accept(run) {
				for _, r := range run {
					s.length[r] = min(s.length[r], float64(len(run))*cell)
				}
			}
			run = run[:0]
		}
		before = c
	}
	s.run = run
}

const nowhere = -1

// passes is how often strands are laid on strands.
const passes = 4

// bridge lays strands over the fresh columns of layer k that hang together, the short ones
// first, which then carry others.
func (s *sweep) bridge(columns []int, k int) map[int]float64 {
	all, carrying := map[int]float64{}, map[int]bool{}
	rest := columns
	for pass := 0; pass < passes && len(rest) > 0; pass++ {
		found := s.chords(rest, strandRule{
			end: func(c, _ int) bool { return carrying[c] || s.ends(c, k) },
			accept: func(run []int) bool { // and not a notch in the edge of a step
				return slices.ContainsFunc(run, func(c int) bool { return s.now[c].path > shortest })
			},
		})
		short := false
		for c, mm := range found {
			if old, ok := all[c]; !ok || mm < old {
				all[c] = mm
			}
			if mm <= s.strand {
				carrying[c], short = true, true
			}
		}
		if !short {
			break
		}
		var left []int
		for _, c := range rest {
			if !carrying[c] {
				left = append(left, c)
			}
		}
		rest = left
	}
	return all
}

// beside adds the columns that lie within a sliver of a strand, of its length.
func (s *sweep) beside(columns []int, strands map[int]float64) {
	wide := int(math.Round(sliver / cell))
	more := map[int]float64{}
	for _, c := range columns {
		if _, ok := strands[c]; ok {
			continue
		}
		for dy := -wide; dy <= wide; dy++ {
			for dx := -wide; dx <= wide; dx++ {
				if mm, ok := strands[c+dy*s.nx+dx]; ok && (more[c] == 0 || mm < more[c]) {
					more[c] = mm
				}
			}
		}
	}
	maps.Copy(strands, more)
}
