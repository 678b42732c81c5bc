package plain

import (
	"fmt"
	"slices"
	"strings"
)

// piece is what began in the air, followed upwards.
type piece struct {
	begin, end int // layers: where it begins, and where it joins or ends
	first      int // one of its columns
	widest     float64
	joins      bool
}

const (
	nothing = -1 // no piece
	ground  = -2 // what stands on the bed
)

// islands looks for pieces that begin in the air.
func (b *body) islands(l *limits) *place {
	var all []*piece
	owner := slices.Repeat([]int{nothing}, len(b.columns)) // of what was last laid in a column
	for k, solid := range b.layers {
		starts := map[int]bool{}
		for _, c := range b.begins[k] {
			starts[c] = !b.rests(c, k, l.gap, 0)
			if !starts[c] && owner[c] == nothing {
				owner[c] = ground // it rests on the bed
			}
		}
		next := slices.Clone(owner)
		for _, part := range b.parts(solid) {
			on := b.below(part, k, starts, owner, l.fringe)
			who := nothing
			switch {
			case k == 0 || slices.Contains(on, ground):
				who = ground
			case len(on) > 0:
				who = slices.MinFunc(on, func(i, j int) int { return all[i].begin - all[j].begin })
			default:
				who = len(all)
				all = append(all, &piece{begin: k, first: part[0]})
			}
			for _, i := range on {
				if i != ground && i != who {
					all[i].joins = true
				}
			}
			if who >= 0 {
				all[who].widest = max(all[who].widest, float64(len(part))*cell*cell)
				all[who].end = k + 1
			}
			for _, c := range part {
				next[c] = who
			}
		}
		owner = next
	}
	return b.worstPiece(all, l)
}

// below lists the pieces that a part of layer k lies on.
func (b *body) below(part []int, k int, starts map[int]bool, owner []int, fringe float64) (on []int) {
	if k == 0 {
		return nil
	}
	wide := int(fringe / cell)
	for _, c := range part {
		for dy := -wide; dy <= wide; dy++ {
			for dx := -wide; dx <= wide; dx++ {
				d := c + dy*b.nx + dx
				if d < 0 || d >= len(owner) || dx*dx+dy*dy > wide*wide {
					continue
				}
				beneath := b.layers[k-1][d] || b.layers[k][d] && !starts[d]
				if beneath && owner[d] != nothing && !slices.Contains(on, owner[d]) {
					on = append(on, owner[d])
				}
			}
		}
	}
	return on
}

// parts are the columns of a layer that touch each other, by side or by corner.
func (b *body) parts(solid []bool) (list [][]int) {
	seen := make([]bool, len(solid))
	for c := range solid {
		if !solid[c] || seen[c] {
			continue
		}
		part := []int{c}
		seen[c] = true
		for n := 0; n < len(part); n++ {
			for _, d := range b.around(part[n]) {
				if solid[d] && !seen[d] {
					seen[d] = true
					part = append(part, d)
				}
			}
		}
		list = append(list, part)
	}
	return list
}

// around are the eight columns beside one that is not at the border.
func (b *body) around(c int) [8]int {
	return [8]int{c - b.nx - 1, c - b.nx, c - b.nx + 1, c - 1, c + 1, c + b.nx - 1, c + b.nx, c + b.nx + 1}
}

// worstPiece is the widest piece that no rule spares.
func (b *body) worstPiece(all []*piece, l *limits) (worst *place) {
	most := 0.0
	for _, p := range all {
		rise := float64(p.end-p.begin) * layer
		if p.joins && rise <= l.rise {
			continue
		}
		together := 0.0
		for _, q := range all {
			if q.widest <= p.widest && (!q.joins || float64(q.end-q.begin)*layer > l.rise) {
				together += q.widest
			}
		}
		if p.widest <= most || p.widest <= l.widest && rise <= l.tall && together <= l.together {
			continue
		}
		most = p.widest
		worst = &place{figures("widest", p.widest, "rise", rise, "together", together), b.at(p.first, p.begin)}
	}
	return worst
}

// figures writes names and their values.
func figures(pairs ...any) string {
	var s strings.Builder
	for i := 0; i < len(pairs); i += 2 {
		fmt.Fprintf(&s, "%s %.2f ", pairs[i], pairs[i+1])
	}
	return strings.TrimSpace(s.String())
}
