package measure

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/geom"
	"printlint/internal/layers"
)

// Print is the measure of what it takes to print the model.
var Print = overLayers(
	catalog.Measure{
		Name:  "print",
		Title: "what it takes to print the model, estimated",
		Doc: `The layers are added up, so that bodies that overlap count once. All but volume, bodies,
layers and flat_run are estimates: the walls are taken as two lines thick all around, and a fifth
of the rest is plastic.
plastic = walls + 0.2 * (volume - walls);
walls = area of the surface * 2 * line, at most the volume;
grams = plastic * density;
minutes = plastic / flow, where flow is what a whole print lays a second, on average. Where you
do not say yours, a line of 0.4 by 0.2 mm is laid at 60 mm/s in PLA, finer lines give less in
proportion and thicker ones more, up to twice as much, since an ordinary hot end melts no more
(10 mm³/s of PLA). One print whose time you know gives you yours;
cost = grams * price.
Where a rule has a limit brim, its value is the width of a brim that is counted too: one layer high along the outline
of the first layer. Support is a measure of its own: print.grams + support.grams is both.`,
		Source: "own definition; walls of two lines, a fifth of filling, and how fast plastic is laid and melts are common practice, no source",
	}, newPrintVisitor, printed).seeing(seesPlastic)

// PrintParams say what is printed with the model.
type PrintParams struct {
	Brim float64 `measure:"brim,mm" default:"0" doc:"width of a brim around the first layer"`
}

// PrintModel is what it takes. It has no places.
type PrintModel struct {
	Volume  float64 `measure:"volume,mm3" doc:"volume of the model, where bodies that overlap count once"`
	Plastic float64 `measure:"plastic,mm3" doc:"plastic in it and its brim, with air in the filling left out, estimated"`
	Grams   float64 `measure:"grams,g" doc:"mass of the plastic, estimated"`
	Minutes float64 `measure:"minutes,min" doc:"time to print it, estimated"`
	Cost    float64 `measure:"cost" doc:"price of the plastic, estimated, in the money of process.price" needs:"price"`
	Bodies  int     `measure:"bodies" doc:"bodies that stand apart once they are printed; what touches or overlaps is one"`
	Layers  int     `measure:"layers" doc:"layers"`
	FlatRun float64 `measure:"flat_run,mm" doc:"longest straight line across a piece of the first layer; ends of long ones lift off the bed"`
}

// printVisitor adds layers up, in cells.
type printVisitor struct {
	grid    *layers.Grid
	first   []layers.Run
	before  []layers.Run // of the layer below
	cells   int
	last    int     // of the last layer
	layers  int     // up to the last that is not empty
	surface float64 // mm2, without the top of the last layer
	bodies  bodyCounter
}

// printKey is the key of the visitor, which is the same for every brim.
type printKey struct{}

func newPrintVisitor(s *stack, _ PrintParams) *printVisitor {
	return shared(&s.parts, printKey{}, func() *printVisitor {
		v := visit(s, &printVisitor{grid: &s.grid})
		followed(s, &v.bodies)
		return v
	})
}

func (v *printVisitor) Visit(_, layer *layers.Layer) {
	v.last = layers.Cells(layer.Runs)
	v.cells += v.last
	if v.last > 0 {
		v.layers = layer.K + 1
	}
	if layer.K == 0 {
		v.first = append(v.first, layer.Runs...)
	}
	// Sides and what lies open upwards or downwards are the legs of a slope.
	side := float64(outlineLength(layer.Runs) * v.grid.Cell * v.grid.Height)
	level := v.grid.Area(openCells(v.before, layer.Runs))
	v.surface += math.Sqrt(float64(side*side) + float64(level*level))
	v.before = append(v.before[:0], layer.Runs...)
}

func printed(s *stack, v *printVisitor, q PrintParams) (*found[None, PrintModel], error) {
	p := &s.process
	out := PrintModel{Layers: v.layers, Bodies: v.bodies.bodies, Volume: float64(v.grid.Area(v.cells) * v.grid.Height)}
	out.Plastic = Plastic(out.Volume, v.surface+v.grid.Area(v.last), *p)
	out.Plastic += float64(outlineLength(v.first) * v.grid.Cell * q.Brim * v.grid.Height)
	out.Grams, out.Minutes = Grams(out.Plastic, *p), Minutes(out.Plastic, *p)
	out.Cost = out.Grams / 1000 * p.Price
	out.FlatRun = float64(longestRun(v.first) * v.grid.Cell)
	return &found[None, PrintModel]{model: out}, nil
}

// The model itself: walls as thick as two lines, the rest filled by a fifth; common
// practice, no source.
const (
	wallLines = 2
	fillShare = 0.2
)

// Plastic is the volume of plastic, in mm3, in a body of the given volume and area.
func Plastic(volume, area float64, process catalog.Process) float64 {
	walls := min(volume, float64(area*wallLines*process.Line))
	return walls + float64(fillShare*(volume-walls))
}

// Grams is the mass of a volume of plastic in mm3.
func Grams(volume float64, process catalog.Process) float64 { return volume / 1000 * process.Density }

// Minutes is the time in which a volume of plastic in mm3 is laid.
func Minutes(volume float64, process catalog.Process) float64 { return volume / process.Flow / 60 }

// cornerCut is by how much a corner of cells makes the outline through the middles of their
// sides shorter than along the sides themselves, in cells: so lines at 45 deg come out right.
const cornerCut = 1 - math.Sqrt2/2

// outlineLength is the length of the outlines of a layer, in cells. It is exact for sides
// along the axes and at 45 deg, but for the corners, and up to 8 % too long in between.
func outlineLength(runs []layers.Run) float64 {
	apart, corners := 0, 0
	var above []layers.Run // the row before
	for len(runs) > 0 {
		row := oneRow(runs)
		if len(above) > 0 && above[0].Row != row[0].Row-1 {
			n, c := rowsApart(above, nil)
			apart, corners, above = apart+n, corners+c, nil
		}
		n, c := rowsApart(above, row)
		apart, corners = apart+n+2*len(row), corners+c
		above, runs = row, runs[len(row):]
	}
	n, c := rowsApart(above, nil)
	return float64(apart+n) - float64(cornerCut*float64(corners+c))
}

// openCells counts the cells of two layers that only one of them has.
func openCells(a, b []layers.Run) (open int) {
	for len(a) > 0 || len(b) > 0 {
		p, q := oneRow(a), oneRow(b)
		switch {
		case len(q) == 0 || len(p) > 0 && p[0].Row < q[0].Row:
			q = nil
		case len(p) == 0 || q[0].Row < p[0].Row:
			p = nil
		}
		n, _ := rowsApart(p, q)
		open += n
		a, b = a[len(p):], b[len(q):]
	}
	return open
}

// oneRow is the runs of the first row of a list.
func oneRow(runs []layers.Run) []layers.Run {
	n := 0
	for n < len(runs) && runs[n].Row == runs[0].Row {
		n++
	}
	return runs[:n]
}

// rowsApart goes along two rows, side by side or one above the other, and counts the cells
// that only one of them has, and the corners between them: where just one of the rows begins
// or ends, and two where one begins as the other ends.
func rowsApart(a, b []layers.Run) (cells, corners int) {
	i, j, last := 0, 0, int32(0)
	for i < 2*len(a) || j < 2*len(b) {
		x, y := runEnd(a, i), runEnd(b, j)
		at := min(x, y)
		if (i+j)%2 == 1 {
			cells += int(at - last)
		}
		switch {
		case x != y:
			corners++
		case (i+j)%2 == 1:
			corners += 2
		}
		if x == at {
			i++
		}
		if y == at {
			j++
		}
		last = at
	}
	return cells, corners
}

// runEnd is where the k-th end of the runs of a row lies, counted from the left.
func runEnd(runs []layers.Run, k int) int32 {
	switch {
	case k >= 2*len(runs):
		return math.MaxInt32
	case k%2 == 0:
		return runs[k/2].From
	}
	return runs[k/2].To
}

// longestRun is the longest straight line between two cells of one piece, in cells.
func longestRun(runs []layers.Run) (longest float64) {
	sets, _, _ := layers.Label(runs, nil)
	order, starts := sets.Members()
	var hulls hullBuilder
	var piece []layers.Run
	for k := 1; k < len(starts); k++ {
		piece = piece[:0]
		for _, i := range order[starts[k-1]:starts[k]] {
			piece = append(piece, runs[i])
		}
		if len(piece) > 0 {
			_, across := geom.Width(hulls.of(piece))
			longest = max(longest, across)
		}
	}
	return longest
}
