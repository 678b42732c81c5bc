package coupon

import (
	"math"
	"strconv"
	"strings"

	"printlint/internal/catalog"
)

// rowTable is every row, in the order of the sheet. The measures of the pieces are
// judgement: large enough to be past the least size that the rules speak of, and small
// enough that all of them print in 45 minutes at the usual flow.
func rowTable() []Row {
	return []Row{
		{Name: "slopes", Title: "Short slopes", Unit: catalog.Deg, Figure: "angle from vertical", broad: 5,
			Clean: "the underside is as smooth as a wall", Held: "no line hangs loose, and the top edge is whole",
			build: slope(6), series: every(35, 85, 5),
			limits: []limit{{held, "lean.holds", exact}, {clean, "lean.clean", exact}}},
		{Name: "long-slopes", Title: "Long slopes", Unit: catalog.Deg, Figure: "angle from vertical", broad: 4,
			Held:  "the edge did not curl up, and no line hangs loose",
			build: slope(9), series: every(45, 65, 5), limits: []limit{{held, "slope.holds", exact}}},
		{Name: "ledges", Title: "Free ledges", Unit: catalog.MM, Figure: "how far it reaches out", broad: 7,
			Clean: "flat on top, and no line hangs loose", Held: "flat on top, and at most its outermost line hangs loose",
			build: ledge, series: scaled(1, 1.5, 2, 2.5, 3, 4, 5, 6),
			limits: []limit{{held, "reach.holds", exact}, {clean, "reach.clean", exact}, {held, "tab.holds", exact}}},
		{Name: "bridges", Title: "Bridges", Unit: catalog.MM, Figure: "length over air", broad: 3,
			Clean: "the underside is straight", Held: "it sags, but no line is torn or hangs down",
			build: bridge, series: spans(5, 10, 15, 20, 30, 40, 50, 60, 70),
			limits: []limit{{held, "span.holds", exact}, {clean, "span.clean", exact}}},
		{Name: "ceilings", Title: "Wide ceilings", Unit: catalog.MM, Figure: "length over air", broad: 6,
			Held:  "no line hangs down, and the top is closed",
			build: bridge, series: spans(10, 20, 30, 40), limits: []limit{{held, "ceiling.holds", exact}}},
		{Name: "walls", Title: "Walls", Unit: catalog.MM, Figure: "thickness", broad: 3, above: true,
			Clean: "it has no hole, and does not give way under a finger nail", Held: "it is there from end to end, without a hole",
			build: wall, series: lines(3, 2.5, 2, 1.5, 1.25, 1, 0.75, 0.5),
			limits: []limit{{held, "wall.holds", spared}, {clean, "wall.clean", exact}}},
		{Name: "gaps", Title: "Gaps", Unit: catalog.MM, Figure: "width of the gap", broad: 6,
			Held:  "the two blocks come apart by hand, with smooth faces",
			build: gap, series: lines(1.5, 1.25, 1, 0.75, 0.5, 0.25), limits: []limit{{held, "gap.holds", exact}}},
		{Name: "columns", Title: "Columns", Unit: catalog.MM, Figure: "thickness", broad: 4,
			Held:  "it is straight and whole up to its top",
			build: column, series: scaled(3, 2.5, 2, 1.5, 1), limits: []limit{{held, "column.holds", slenderness}}},
		{Name: "feet", Title: "Small feet", Unit: catalog.MM2, Figure: "area on the bed", broad: 12, loose: true,
			Clean: "it stood, and its lower edge did not lift", Held: "it still stood when the print was done",
			build: foot, series: feet, limits: []limit{{held, "foot.holds", exact}, {clean, "foot.clean", exact}}},
		{Name: "specks", Title: "Specks in mid-air", Unit: catalog.MM2, Figure: "area", broad: 4, loose: true,
			Held:  "it hangs whole below the bar, and the bar is whole",
			build: speck, series: specks, limits: []limit{{held, "speck.holds", exact}}},
	}
}

// make builds the steps of a row.
func (r *Row) make(process catalog.Process) {
	cell := stroke(process.Line)
	r.scale = scale(process.Line)
	for i, value := range r.series(process) {
		if i > 0 && value == r.Steps[len(r.Steps)-1].Value {
			continue // rounded to the one before
		}
		b := &builder{line: process.Line, layer: process.Layer, scale: r.scale, across: r.broad, above: r.above, floor: lift(0.6, process.Layer)}
		b.broad = max((numeralHigh+2)*cell, r.broad+1)
		s := Step{Value: value, Label: label(value)}
		x := b.labelled(s.Label, 0)
		end := r.build(b, x, value)
		s.Mesh, s.Number, s.Volume = &b.mesh, &b.tag, b.volume
		s.size, s.clear, s.views = [3]float64{end, b.broad, b.high}, max(apart, b.clear), b.views
		r.Steps = append(r.Steps, s)
	}
}

// label is the number on a piece: a zero before the point takes room and says nothing.
func label(value float64) string {
	return strings.TrimPrefix(plainly(value), "0")
}

// plainly writes all digits of a figure.
func plainly(value float64) string { return strconv.FormatFloat(value, 'f', -1, 64) }

// every is a series of even steps.
func every(from, to, step float64) func(catalog.Process) []float64 {
	return func(catalog.Process) (list []float64) {
		for v := from; v <= to; v += step {
			list = append(list, v)
		}
		return list
	}
}

// lines is a series in widths of a line, rounded to what can be read off a piece: to 0.05 mm,
// and to 0.005 mm with lines as thin as hardly anybody's.
func lines(times ...float64) func(catalog.Process) []float64 {
	return func(p catalog.Process) (list []float64) {
		per := 20.0
		if p.Line < 0.2 {
			per = 200
		}
		for _, t := range times {
			list = append(list, math.Round(t*p.Line*per)/per)
		}
		return list
	}
}

// scale is by how much pieces grow with a line wider than the usual 0.4 mm, but for what
// limits speak of that do not.
func scale(line float64) float64 { return max(1, math.Round(2*line/0.4)/2) }

// scaled is a series that grows with the line.
func scaled(steps ...float64) func(catalog.Process) []float64 {
	return func(p catalog.Process) (list []float64) {
		for _, s := range steps {
			list = append(list, s*scale(p.Line))
		}
		return list
	}
}

// spans is a series of bridges as far as the bed has room for them, a number and two legs.
func spans(steps ...float64) func(catalog.Process) []float64 {
	return func(p catalog.Process) (list []float64) {
		for _, span := range steps {
			if len(list) < 2 || span+40*scale(p.Line) <= p.Bed[0] {
				list = append(list, span)
			}
		}
		return list
	}
}

// plate lays the floor of a piece from 0 to end.
func (b *builder) plate(end float64) { b.along(rectangle(0, 0, end, b.floor), b.broad) }

// standing adds an outline in x and z, rooted in the floor.
func (b *builder) standing(o outline) { b.along(o, b.across) }

// slope is a wall with an underside that leans out from it by the angle, as far as reach.
func slope(reach float64) func(*builder, float64, float64) float64 {
	return func(b *builder, x, angle float64) float64 {
		thick, cap, free := 2.4*b.scale, 0.8*b.scale, 1.5*b.scale
		low := b.floor + free
		high := low + reach/math.Tan(angle*math.Pi/180)
		face, end := x+thick, x+thick+reach
		b.plate(end)
		b.standing(outline{{x, b.floor / 2}, {face, b.floor / 2}, {face, low}, {end, high}, {end, high + cap}, {x, high + cap}})
		return end
	}
}

// ledge is a wall with a flat shelf that sticks out.
func ledge(b *builder, x, reach float64) float64 {
	thick, shelf, free := 2.4*b.scale, 1.2*b.scale, 2*b.scale
	low := b.floor + lift(free, b.layer)
	face, end := x+thick, x+thick+reach
	b.plate(end)
	b.standing(outline{{x, b.floor / 2}, {face, b.floor / 2}, {face, low}, {end, low}, {end, low + shelf}, {x, low + shelf}})
	return end
}

// bridge is a bar on two legs: narrow, or wide as a ceiling is, which fails sooner.
func bridge(b *builder, x, span float64) float64 {
	leg, bar, free := 3*b.scale, b.scale, 2.6*b.scale
	low := b.floor + lift(free, b.layer)
	top, root := low+bar, b.floor/2
	in, out, end := x+leg, x+leg+span, x+span+2*leg
	b.along(rectangle(0, 0, in, b.floor), b.broad)
	b.along(rectangle(x, 0, end, b.floor), b.across+1)
	b.standing(outline{{x, root}, {in, root}, {in, low}, {out, low}, {out, root}, {end, root}, {end, top}, {x, top}})
	return end
}

// wall is a wall between two thick posts.
func wall(b *builder, x, thick float64) float64 {
	post, long, high := 2*b.scale, 8*b.scale, 4.4*b.scale
	y, half := b.broad/2, thick/2
	in, out, end := x+post, x+post+long, x+long+2*post
	b.plate(end)
	low, up := y-max(b.across/2, half+0.5), y+max(b.across/2, half+0.5)
	b.upright(outline{{x, low}, {in, low}, {in, y - half}, {out, y - half}, {out, low}, {end, low},
		{end, up}, {out, up}, {out, y + half}, {in, y + half}, {in, up}, {x, up}}, b.floor/2, b.floor+high)
	return end
}

// gap is two blocks that stand on the bed beside each other. Their lower edges are cut away,
// since a first layer that is pressed wide would join them.
func gap(b *builder, x, wide float64) float64 {
	block, high := 3.4*b.scale, b.floor+3.6*b.scale
	edge := max(0.6, 1.5*wide)
	face, far := x+block, x+block+wide
	end := far + block + edge
	b.along(rectangle(0, 0, x+1, b.floor), b.broad)
	b.standing(outline{{x, 0}, {face - edge, 0}, {face, edge}, {face, high}, {x, high}})
	b.standing(outline{{far + edge, 0}, {end, 0}, {end, high}, {far, high}, {far, edge}})
	return end
}

// tall is how tall the columns stand on their floor.
func tall(line float64) float64 { return 18 * scale(line) }

// column is a square post.
func column(b *builder, x, thick float64) float64 {
	y, half := b.broad/2, thick/2
	end := x + max(thick, b.across)
	b.plate(end)
	b.upright(rectangle(end-thick, y-half, end, y+half), b.floor/2, b.floor+tall(b.line))
	return end
}
