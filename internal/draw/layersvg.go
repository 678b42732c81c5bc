package draw

import (
	"fmt"
	"image"
	"image/color"
	"strconv"
	"strings"
)

// The colours of a layer view: the lightest lies on plastic, the middle one carries,
// the darkest hangs. Each has a hatching of its own.
var (
	solidFill    = color.NRGBA{0xDD, 0xD7, 0xCB, 0xFF}
	carryFill    = color.NRGBA{0x7F, 0xB3, 0xA6, 0xFF}
	carryStroke  = color.NRGBA{0x1F, 0x5B, 0x50, 0xFF}
	hangFill     = color.NRGBA{0xC7, 0x5B, 0x8F, 0xFF}
	hangStroke   = color.NRGBA{0x5E, 0x0B, 0x33, 0xFF}
	outlineWidth = 1.0
)

// The names of the hatchings that a layer view refers to. A page that shows several
// views holds the definitions once: see Hatchings.
const (
	hangID  = "printlint-hangs"
	carryID = "printlint-carries"
)

// Hatchings are the SVG patterns that layer views refer to, for the defs of a page.
func Hatchings() string {
	return fmt.Sprintf(`<pattern id="%s" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="%s"/><path d="M-1 1 1-1M0 7 7 0M6 8 8 6" stroke="%s" stroke-width="1.8"/></pattern>`+
		`<pattern id="%s" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="%s"/><circle cx="2" cy="2" r="1.3" fill="%s"/><circle cx="6" cy="6" r="1.3" fill="%s"/></pattern>`, hangID, hex(hangFill), hex(hangStroke), carryID, hex(carryFill), hex(carryStroke), hex(carryStroke))
}

// A layer view has a rim around the layer, and a foot below it for the bar.
const (
	layerRim        = 10
	layerFoot       = 26
	leastLayerWidth = 110
)

func hex(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// SVG draws the layer as lines, at most side units wide and high. With a mark, it shows
// the window around it. The page must hold Hatchings, or standalone is set.
func (l *DrawnLayer) SVG(mark *Mark, side float64, standalone bool) string {
	w := l.whole()
	if mark != nil {
		w = l.around(mark.Box)
	}
	cols, rows := w.Dx(), w.Dy()
	unit := (side - 2*layerRim) / float64(max(cols, rows))
	d := &svg{unit: unit, rows: rows}
	width, height := short(max(float64(cols)*unit+2*layerRim, leastLayerWidth)), short(float64(rows)*unit+2*layerRim+layerFoot)
	fmt.Fprintf(&d.b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-label="%s">`,
		width, height, width, height, l.Words())
	if standalone {
		fmt.Fprintf(&d.b, `<title>%s</title><defs>%s</defs><rect width="%s" height="%s" fill="#fff"/>`, l.Words(), Hatchings(), width, height)
	}
	fmt.Fprintf(&d.b, `<g transform="translate(%d %d)">`, layerRim, layerRim)
	is := func(kind uint8) func(x, y int) bool {
		return func(x, y int) bool { return l.cells[y*l.cols+x] == kind }
	}
	d.path(trace(w, func(x, y int) bool { return l.cells[y*l.cols+x] != nothing }), hex(solidFill), true)
	d.path(trace(w, is(carrying)), "url(#"+carryID+")", false)
	d.path(trace(w, is(hanging)), "url(#"+hangID+")", true)
	if mark != nil {
		l.pin(d, mark, w)
	}
	d.b.WriteString("</g>")
	d.scale(l.grid.Cell, float64(rows)*unit+2*layerRim+layerFoot)
	d.b.WriteString("</svg>")
	return d.b.String()
}

// svg writes paths in units, y pointing down.
type svg struct {
	b    strings.Builder
	unit float64
	rows int
}

// path writes outlines as one shape.
func (d *svg) path(list []outline, fill string, lined bool) {
	if len(list) == 0 {
		return
	}
	d.b.WriteString(`<path fill-rule="evenodd" d="`)
	for _, o := range list {
		for i, p := range o.simplify() {
			letter := "L"
			if i == 0 {
				letter = "M"
			}
			d.b.WriteString(letter + short(float64(p[0])*d.unit) + " " + short(float64(d.rows-int(p[1]))*d.unit))
		}
		d.b.WriteString("Z")
	}
	fmt.Fprintf(&d.b, `" fill="%s"`, fill)
	if lined {
		fmt.Fprintf(&d.b, ` stroke="%s" stroke-width="%g" stroke-linejoin="round"`, hex(line), outlineWidth)
	}
	d.b.WriteString("/>")
}

// pin marks the place of a finding with a ring and its number.
func (l *DrawnLayer) pin(d *svg, m *Mark, w image.Rectangle) {
	at := l.place.To(m.At)
	x := ((at.X-l.grid.X0)/l.grid.Cell - float64(w.Min.X)) * d.unit
	y := (float64(w.Max.Y) - (at.Y-l.grid.Y0)/l.grid.Cell) * d.unit
	fmt.Fprintf(&d.b, `<circle cx="%s" cy="%s" r="7" fill="none" stroke="#fff" stroke-width="5"/><circle cx="%s" cy="%s" r="7" fill="none" stroke="%s" stroke-width="2"/>`,
		short(x), short(y), short(x), short(y), hex(ink))
}

// scale draws a bar of a round length below the layer.
func (d *svg) scale(cell, height float64) {
	mm := roundLength(40 * cell / d.unit)
	y := short(height - 8)
	fmt.Fprintf(&d.b, `<path d="M%d %sv-5m0 5h%sv-5" fill="none" stroke="%s" stroke-width="1.5"/>`, layerRim, y, short(mm/cell*d.unit), hex(ink))
	fmt.Fprintf(&d.b, `<text x="%d" y="%s" font-size="11" font-family="sans-serif" fill="%s">%s mm</text>`,
		layerRim+5, short(height-12), hex(ink), strconv.FormatFloat(mm, 'f', -1, 64))
}

// short writes a coordinate to a tenth of a unit.
func short(x float64) string {
	s := strconv.FormatFloat(x, 'f', 1, 64)
	s = strings.TrimSuffix(s, ".0")
	if s == "-0" {
		return "0"
	}
	return s
}
