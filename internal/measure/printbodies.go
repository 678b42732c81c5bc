package measure

import "printlint/internal/geom"

// bodyCounter counts the bodies that stand apart once they are printed: pieces that touch in
// a layer, or lie over one another, are one, whatever shells they come from.
type bodyCounter struct {
	of, before []int32 // the body of each piece of the layer, and of the one below
	sets       geom.Sets[int32]
	bodies     int // at least that many, where there were more than mostBodies pieces
}

func (c *bodyCounter) follow(_ int, below, now *sections, links []link) {
	if below == now || len(c.sets) > mostBodies {
		return
	}
	c.of, c.before = fill(c.before, len(now.pieces)), c.of
	for _, l := range links {
		under := c.sets.Root(c.before[l.below])
		switch own := c.of[l.piece]; {
		case own == none:
			c.of[l.piece] = under
		case c.sets.Root(own) != under:
			c.sets.Join(own, under)
			c.bodies--
		}
	}
	for i, own := range c.of {
		if own == none {
			c.of[i] = int32(len(c.sets))
			c.sets = c.sets.Grow(len(c.sets) + 1)
			c.bodies++
		}
	}
}
