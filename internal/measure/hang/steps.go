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
func (c *Collector) spareSteps(spans []layers.Span) {
	low, high := c.hanging.Low, c.hanging.High
	slopes := c.b
	slopes.Clear()
	for i := range spans {
		if s := &spans[i]; float64(s.Tilt) > c.limit && !c.isStep(s) {
			slopes.Fill(int(s.Row), int(s.From), int(s.To))
		}
	}
	slopes.And(c.hanging)
	c.c.SetWithout(c.hanging, low, high, slopes)
	c.steps[0] = c.c.AppendRuns(c.steps[0])
	reached := c.a
	reached.SetRows(c.carries.Solid, low-1, high+1)
	reached.GrowRound(c.hanging, c.c, 0, c.within(1))
	c.c.SetWithout(c.hanging, low, high, reached)
	slopes.Or(c.c)
	c.addUp(slopes)
	slopes.GrowRound(c.hanging, c.c, 0, back*c.within(1))
	c.hanging.SetRows(slopes, low, high)
}

// addUp sets in far the cells of stairs that go on from layer to layer and lie outside the
// limit of what stood maxAge layers ago. In one layer a tread a little too deep is not to be
// told from one that is not, as cells show it; over some layers it is. Of a sheet so thin that
// none of what stood then is below it, this says nothing.
func (c *Collector) addUp(far *layers.Plane) {
	room, stood, beyond := c.recent, c.strong, c.recentHanging // all three are made later
	room.Clear()
	for _, runs := range c.steps[1:] {
		if len(runs) == 0 {
			return
		}
		for _, r := range runs {
			room.Fill(int(r.Row), int(r.From), int(r.To))
		}
	}
	room.And(c.carries.Solid)
	most := c.within(maxAge)
	stood.SetWithout(c.carries.Solid, c.hanging.Low-2*most, c.hanging.High+2*most, room)
	room.Or(c.hanging)
	stood.GrowRound(room, c.c, 0, most)
	beyond.SetWithout(c.hanging, c.hanging.Low, c.hanging.High, stood)
	if !beyond.Empty() {
		stood.GrowRound(room, c.c, most, 2*most)
		beyond.And(stood)
		far.Or(beyond)
	}
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

// ageStairs moves this layer's steps to the layers below.
func (c *Collector) ageStairs() {
	spare := c.steps[maxAge-1]
	copy(c.steps[1:], c.steps[:maxAge-1])
	c.steps[0] = spare[:0]
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
