package hang

import "slices"

// weighed is a patch as it was weighed for bridges of one length, with the lengths for which
// it comes out the same.
type weighed struct {
	patch     Patch
	unit      float64
	low, high float32 // in grid cells, the second not included
}

// again returns the patch of a group if it was weighed before and comes out the same. Apart
// from the bridges the options of a collector are always the same.
func (c *Collector) again(group int, opt Options) (Patch, bool) {
	for _, w := range c.weighed[group] {
		if carry := float32(opt.ShortBridge / w.unit); carry >= w.low && carry < w.high {
			p := w.patch
			p.Bridges = slices.Clone(p.Bridges) // whoever gets it moves their points
			return p, true
		}
	}
	return Patch{}, false
}

// remember keeps a patch that was weighed.
func (c *Collector) remember(group int, p *Patch, t *workspace) {
	if c.weighed == nil {
		c.weighed = map[int][]weighed{}
	}
	w := weighed{patch: *p, unit: t.unit, low: t.grid.carries[0], high: t.grid.carries[1]}
	w.patch.Bridges = slices.Clone(p.Bridges)
	c.weighed[group] = append(c.weighed[group], w)
}
