package measure

import "printlint/internal/layers"

// bodies is what is followed through the layers as a whole, each only when asked.
type bodies struct {
	standing *standingTracker
	columns  map[float64]*columnTracker // by the width up to which a piece is narrow
	cavities *cavityTracker
}

// visitors makes those that the requests want.
func (b *bodies) visitors(r *run, g *layers.Grid) []layers.Visitor {
	var followers []follower
	if len(r.wants("stability")) > 0 {
		b.standing = newStandingTracker(g)
		followers = append(followers, b.standing)
	}
	b.columns = map[float64]*columnTracker{} // looked up, and walked where order is nothing
	for _, params := range r.wants("column") {
		if b.columns[params[0]] == nil {
			c := newColumnTracker(g, params[0], r.process.Line)
			b.columns[params[0]] = c
			followers = append(followers, c)
		}
	}
	if len(r.wants("cavity")) > 0 {
		b.cavities = newCavityTracker(g)
		followers = append(followers, b.cavities)
	}
	if len(followers) == 0 {
		return nil
	}
	return []layers.Visitor{newSectionVisitor(followers...)}
}

// finish ends what is still open when the last layer is done.
func (b *bodies) finish() {
	for _, c := range b.columns {
		c.finish()
	}
	if b.cavities != nil {
		b.cavities.finish()
	}
}
