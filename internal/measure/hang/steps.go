package hang

import "printlint/internal/layers"

// A step is a nearly level underside between two cuts: its tilt says nothing about how the
// layers lean, which is run over rise. Stairs, and ribs on a slope, are layer for layer the
// slope that runs along their edges.

// back is how many times as far as a step may lie out the whole of one that hangs is looked
// for: where two carriers meet at an angle, all of the corner is near both. Judgement, no source.
const back = 2

// isStep tells a step from a slope. What goes through a cut goes on in another layer. So may
// a slope of small triangles: it counts as level only from the tilt on at which a layer
// of it lies so far out that the cells show it.
func (c *Collector) isStep(s *layers.Span) bool { return !s.Through && float64(s.Tilt) > c.level }

// within is how many cells lie within the limit after so many layers, in a straight line. A
// cell more than that is what the lattice makes of any length.
func (c *Collector) within(count int) int { return int(float64(float64(count)*c.lean)+1e-6) + 1 }

// spareSteps takes away from the hanging cells those of steps that lie within the limit of
// what carries them. All within reach of a cell that does not, or of a slope,
// belongs to the same underside and hangs with it. Slopes lose their cells that do not hang.
func (c *Collector) spareSteps(slopes *layers.Plane) {
	reached := c.a
	reached.SetRows(c.carries.Solid, c.hanging.Low-1, c.hanging.High+1)
	reached.GrowRound(c.hanging, c.c, 0, c.within(1))
	slopes.And(c.hanging)
	c.c.SetWithout(c.hanging, c.hanging.Low, c.hanging.High, reached)
	slopes.Or(c.c)
	slopes.GrowRound(c.hanging, c.c, 0, back*c.within(1))
	c.hanging.SetRows(slopes, c.hanging.Low, c.hanging.High)
}

// ageSteps finds for how many layers the runs hang. A slope goes on as it began. A step ends:
// what is laid on it later leans out by its depth over the layers since, and it carries from
// where that is within the limit; never at once.
func (c *Collector) ageSteps() {
	steps := false
	for i, u := range c.until {
		if u == 0 { // no steep triangle: a line laid in the air, or a rim
			c.until[i] = maxAge
		}
		steps = steps || u == 1
	}
	if !steps {
		return
	}
	reached := c.a
	reached.SetRows(c.carries.Solid, c.hanging.Low-1, c.hanging.High+1)
	for age, from := 2, 0; age <= maxAge; age++ {
		to := c.within(age)
		reached.GrowRound(c.hanging, c.c, from, to)
		from = to
		for i, r := range c.current {
			if int(c.until[i]) == age-1 && reached.CountIn(int(r.Row), int(r.From), int(r.To)) < int(r.To-r.From) {
				c.until[i] = uint8(age)
			}
		}
	}
}

// release lets the steps carry whose time is over.
func (c *Collector) release() {
	for i := 1; i < maxAge; i++ {
		c.a.Clear()
		for n, r := range c.runsBelow[i].runs {
			if int(c.runsBelow[i].until[n]) == i {
				c.a.Fill(int(r.Row), int(r.From), int(r.To))
			}
		}
		c.hangingBelow[i].AndNot(c.a)
	}
}
