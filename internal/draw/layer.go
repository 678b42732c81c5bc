package draw

import (
	"context"
	"fmt"
	"image"
	"maps"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// What a cell of a layer view is.
const (
	nothing  = iota
	solid    // lies on the layer below
	carrying // solid, and what hangs beside it holds on to it
	hanging  // unsupported, or tilted past the limit
	kinds
)

// DrawnLayer is one layer of a model, seen from above.
type DrawnLayer struct {
	// Height is where the layer was cut, in mm above the bed, and Index its number from 0.
	Height float64
	Index  int
	// Area is what is solid, hangs or carries, in mm2.
	Solid, Hanging, Carrying float64
	// Open says that the surface did not close in this layer, so that its outline is partly guessed.
	Open bool

	grid  layers.Grid
	place mesh.Placement
	cells []uint8 // row by row, y upward
	cols  int
	rows  int
}

// carryLines is how many lines deep into the solid a layer view shows what carries.
const carryLines = 3

// viewCells bounds the cells of a layer view to a side, so that a large model costs no
// more than a small one.
const viewCells = 1200

// Layers cuts a model in a pose at heights above the bed, in mm, and returns the layer
// nearest to each. Tilt is the angle from vertical, in degrees, from which a surface hangs.
// It returns the context's error when that ends first.
func Layers(ctx context.Context, m *mesh.Mesh, matrix [9]float64, heights []float64, process catalog.Process, tilt float64) ([]*DrawnLayer, error) {
	posed, place := lay(m, matrix)
	box := posed.Box()
	size := box.Size()
	cell := max(min(process.Line/4, 0.1), max(size.X, size.Y)/viewCells)
	grid, err := layers.NewGrid(box, process.Layer, cell)
	if err != nil {
		return nil, err
	}
	c := &layerCollector{grid: &grid, strip: int(math.Ceil(carryLines * process.Line / grid.Cell)), wanted: map[int]*DrawnLayer{}}
	list := make([]*DrawnLayer, len(heights))
	for i, z := range heights {
		k := max(0, min(int(math.Floor(z/process.Layer+edgeSlack)), grid.Layers-1))
		if c.wanted[k] == nil {
			c.wanted[k] = &DrawnLayer{Index: k, Height: grid.CutZ(k), grid: grid, place: place, cols: grid.Cols, rows: grid.Rows}
		}
		list[i] = c.wanted[k]
	}
	// Only triangles near the wanted layers are cut: the rest of the stack stays empty.
	near := nearHeights(posed, &grid, c.wanted)
	return list, layers.Sweep(ctx, near, grid, layers.Options{Tilt: tilt}, c)
}

// edgeSlack is the share of a layer by which a height may lie below a layer's floor and
// still mean that layer: a height of 30 mm is no whole number of layers of 0.2 mm in
// floating point.
const edgeSlack = 1e-3

// nearHeights keeps the triangles that reach a wanted layer or those beside it.
func nearHeights(m *mesh.Mesh, g *layers.Grid, wanted map[int]*DrawnLayer) *mesh.Mesh {
	layers := slices.Sorted(maps.Keys(wanted))
	layer := func(z float64) int { return max(0, min(int(z/g.Height), g.Layers)) }
	out := &mesh.Mesh{Verts: m.Verts}
	for _, t := range m.Tris {
		low, high := m.Verts[t[0]][2], m.Verts[t[0]][2]
		for _, v := range t[1:] {
			low, high = min(low, m.Verts[v][2]), max(high, m.Verts[v][2])
		}
		// The first wanted layer that it reaches, or that lies just below or above it.
		i, _ := slices.BinarySearch(layers, layer(float64(low))-1)
		if i < len(layers) && layers[i]-2 <= layer(float64(high)) {
			out.Tris = append(out.Tris, t)
		}
	}
	return out
}

// layerCollector is a layers.Visitor that keeps the wanted layers.
type layerCollector struct {
	grid   *layers.Grid
	strip  int
	wanted map[int]*DrawnLayer // looked up only
}

// Visit sorts the cells of a wanted layer.
func (c *layerCollector) Visit(below, layer *layers.Layer) {
	l := c.wanted[layer.K]
	if l == nil {
		return
	}
	hang, steep, a, b := layers.NewPlane(c.grid), layers.NewPlane(c.grid), layers.NewPlane(c.grid), layers.NewPlane(c.grid)
	if layer.K > 0 {
		for i := range layer.Spans {
			s := &layer.Spans[i]
			steep.Fill(int(s.Row), int(s.From), int(s.To))
		}
		hang.SetFresh(layer.Solid, below.Solid, steep)
	}
	// What carries: solid on solid, within a few lines of what hangs.
	room := layers.NewPlane(c.grid)
	room.SetRows(layer.Solid, 0, c.grid.Rows)
	room.And(below.Solid)
	a.SetRows(hang, 0, c.grid.Rows)
	a.GrowWithin(room, b, c.strip)
	a.AndNot(hang)
	l.cells = make([]uint8, c.grid.Cols*c.grid.Rows)
	l.Solid = l.paint(layer.Solid, solid)
	l.Carrying = l.paint(a, carrying)
	l.Hanging = l.paint(hang, hanging)
	l.Open = layer.OpenRows*20 > layer.UsedRows
}

// paint sets the cells of a plane and returns their area.
func (l *DrawnLayer) paint(p *layers.Plane, kind uint8) float64 {
	runs := p.AppendRuns(nil)
	n := 0
	for _, r := range runs {
		to := min(int(r.To), l.cols)
		row := l.cells[int(r.Row)*l.cols : (int(r.Row)+1)*l.cols]
		for x := int(r.From); x < to; x++ {
			row[x] = kind
		}
		n += to - int(r.From)
	}
	return l.grid.Area(n)
}

// Words describe the layer in a line.
func (l *DrawnLayer) Words() string {
	text := fmt.Sprintf("layer %d seen from above, %s above the bed: %s solid", l.Index+1, catalog.Format(l.Height, catalog.MM), catalog.Format(l.Solid, catalog.MM2))
	if l.Hanging > 0 {
		text += fmt.Sprintf(", of which %s hangs over air (slanted lines)", catalog.Format(l.Hanging, catalog.MM2))
	}
	if l.Open {
		text += "; the surface is open here, so that part of the outline is a guess"
	}
	return text
}

// HangingShare returns how much of what is solid within a box, in the file's own frame,
// hangs.
func (l *DrawnLayer) HangingShare(own mesh.Box) float64 {
	w := l.over(boxTo(l.place, own))
	hang, all := 0, 0
	for y := w.Min.Y; y < w.Max.Y; y++ {
		for _, k := range l.cells[y*l.cols+w.Min.X : y*l.cols+w.Max.X] {
			if k != nothing {
				all++
			}
			if k == hanging {
				hang++
			}
		}
	}
	if all == 0 {
		return 0
	}
	return float64(hang) / float64(all)
}

// all is the window of all cells; windows have y upward, and leave out their maximum.
func (l *DrawnLayer) all() image.Rectangle { return image.Rect(0, 0, l.cols, l.rows) }

// over is the window of the cells that a box above the bed touches.
func (l *DrawnLayer) over(b mesh.Box) image.Rectangle {
	col := func(x float64) int { return max(0, min(int((x-l.grid.X0)/l.grid.Cell), l.cols)) }
	row := func(y float64) int { return max(0, min(int((y-l.grid.Y0)/l.grid.Cell), l.rows)) }
	return image.Rect(col(b.Min.X), row(b.Min.Y), col(b.Max.X)+1, row(b.Max.Y)+1).Intersect(l.all())
}

// whole is the window over all that is solid, with a margin.
func (l *DrawnLayer) whole() image.Rectangle {
	var w image.Rectangle
	for y := range l.rows {
		row := l.cells[y*l.cols : (y+1)*l.cols]
		first := slices.IndexFunc(row, func(k uint8) bool { return k != nothing })
		if first < 0 {
			continue
		}
		last := len(row)
		for row[last-1] == nothing {
			last--
		}
		w = w.Union(image.Rect(first, y, last, y+1))
	}
	if w.Empty() {
		return l.all()
	}
	return w.Inset(-max(w.Dx()/16, w.Dy()/16, 2)).Intersect(l.all())
}

// leastWindow is the smallest side of a window, in mm: enough to see what lies beside.
const leastWindow = 12

// around is the window over a box in the file's own frame, with as much again to each
// side; the whole layer where that is not much more.
func (l *DrawnLayer) around(own mesh.Box) image.Rectangle {
	whole := l.whole()
	b := boxTo(l.place, own)
	size := b.Size()
	w := l.over(b.Grow(max(size.X/2, size.Y/2, (leastWindow-min(size.X, size.Y))/2))).Intersect(whole)
	if w.Empty() || 2*w.Dx()*w.Dy() > whole.Dx()*whole.Dy() {
		return whole
	}
	return w
}
