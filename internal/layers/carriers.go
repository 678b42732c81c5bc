package layers

// Carriers is a visitor that knows what carries the layer being visited: solid in the
// layer below, or in the one under that, where one empty layer lies between. As layers
// are cut at their middles, a gap of up to one layer is always carried over, one of two
// layers never, and one between them as the cuts fall, which is how it is printed too.
// The bed carries by the same measure: all of layers 0 and 1.
type Carriers struct {
	Solid *Plane // valid only during the visit
	// Bed says that the bed carries the whole layer; Solid is then that of the layer below.
	Bed   bool
	Far   *Plane // solid of the layer that neither lies over Solid nor touches what does
	union *Plane
	ended *Plane // solid two layers below, and not in the one below
}

// NewCarriers returns a visitor for the grid. It must come before those that ask it.
func NewCarriers(g *Grid) *Carriers {
	return &Carriers{Far: NewPlane(g), union: NewPlane(g), ended: NewPlane(g)}
}

// Visit finds what carries the layer.
func (c *Carriers) Visit(below, layer *Layer) {
	c.Bed = layer.K <= 1
	c.Solid = below.Solid
	if c.ended.And(layer.Solid); !c.ended.Empty() { // straight above only: what ended carries nothing beside it
		c.union.SetRows(below.Solid, below.Solid.Low, below.Solid.High)
		c.union.Or(c.ended)
		c.Solid = c.union
	}
	c.Far.SetBeyond(layer.Solid, c.Solid, layer.From, layer.To)
	c.ended.SetWithout(below.Solid, layer.From, layer.To, layer.Solid)
}
