package ruleset

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
)

// setting is one process key as a file gives it.
type setting struct {
	name string
	pos  Position
	laid int    // how many files lie below the one that it stands in
	word string // of the material, "" else
	set  func(*catalog.Process)
	// formula is the value as an expression over other figures, and set is nil; nil else.
	formula *text
	source  string // where the figure comes from, where the file says so
}

// settings are a file's process keys.
type settings []setting

// plastic is the setting that names a plastic, or nil.
func (s settings) plastic() *setting {
	if i := slices.IndexFunc(s, func(g setting) bool { return g.name == "material" }); i >= 0 {
		return &s[i]
	}
	return nil
}

// figure is a process value that is a number: its unit, the range in which it can
// be meant, and where it is kept. Expressions call it process.NAME.
type figure struct {
	name, doc string
	unit      catalog.Unit
	low, high float64
	at        func(*catalog.Process) *float64
	optional  bool
}

// machineFigures hold no defaults: those are in the built-in sets. The ranges only catch
// slips of the keyboard and wrong units.
var machineFigures = []figure{
	{"nozzle", "bore of the nozzle", catalog.MM, 0.05, 3, func(p *catalog.Process) *float64 { return &p.Nozzle }, false},
	{"line", "width of one line of plastic", catalog.MM, 0.05, 20, func(p *catalog.Process) *float64 { return &p.Line }, false},
	{"layer", "height of one layer", catalog.MM, 0.01, 10, func(p *catalog.Process) *float64 { return &p.Layer }, false},
	{"bridge", "longest bridge that holds what is printed beside it afterwards", catalog.MM, 0, 1000, func(p *catalog.Process) *float64 { return &p.Bridge }, false},
	{"density", "density of the plastic", catalog.Dense, 0.1, 25, func(p *catalog.Process) *float64 { return &p.Density }, false},
	{"flow", "plastic laid a second, averaged over a whole print", catalog.Flow, 0.01, 10000, func(p *catalog.Process) *float64 { return &p.Flow }, false},
	{"price", "price of a kilogram of plastic, in your own money", catalog.PerKg, 0, 1e9, func(p *catalog.Process) *float64 { return &p.Price }, true},
}

// maxBed bounds each side of the bed, in mm.
const maxBed = 100_000

// processKeys is the table of the process mapping. It is filled by init, since reading a part
// of it looks a stray key up in it.
var processKeys []key[*settings]

func init() { processKeys = makeProcessKeys() }

func makeProcessKeys() []key[*settings] {
	keys := []key[*settings]{
		{"material", "name of the plastic; a built-in material's set is used with it", aPlastic, readMaterial},
	}
	for _, f := range machineFigures {
		keys = append(keys, key[*settings]{f.name, f.doc, aFigure(f.unit), f.read})
	}
	for _, a := range abilities {
		keys = append(keys, a.key())
	}
	return append(keys, key[*settings]{"bed", "what fits the machine: x, y and height", threeOf(aQuantity(catalog.MM)), readBed})
}

func readMaterial(d *decoder, n *yaml.Node, into *settings) {
	if t, ok := d.words(n, "material"); ok {
		*into = append(*into, setting{name: "material", pos: t.pos(), word: t.value, set: func(p *catalog.Process) { p.Material = t.value }})
	}
}

func (f figure) read(d *decoder, n *yaml.Node, into *settings) {
	if strings.Contains(n.Value, "process.") {
		if t, ok := d.formula(n, f.name); ok {
			*into = append(*into, setting{name: f.name, pos: d.pos(n), formula: &t})
		}
		return
	}
	value, ok := d.quantity(n, f.name, f.unit)
	if !ok {
		return
	}
	if !f.holds(value) {
		d.add(d.pos(n), "%s is %s, which is not between %s and %s", f.name, n.Value,
			catalog.FormatLimit(f.low, f.unit), catalog.FormatLimit(f.high, f.unit))
		return
	}
	*into = append(*into, setting{name: f.name, pos: d.pos(n), set: func(p *catalog.Process) { *f.at(p) = value }})
}

// holds says whether a value is one that can be meant.
func (f figure) holds(value float64) bool { return value >= f.low && value <= f.high }

func readBed(d *decoder, n *yaml.Node, into *settings) {
	bed, ok := d.triple(n, "bed", func(n *yaml.Node, what string) (float64, bool) {
		value, ok := d.quantity(n, what, catalog.MM)
		if ok && (value <= 0 || value > maxBed) {
			d.add(d.pos(n), "a side of the bed is %s; it must be more than 0 mm, and no more than %d mm", n.Value, maxBed)
			ok = false
		}
		return value, ok
	})
	if ok {
		*into = append(*into, setting{name: "bed", pos: d.pos(n), set: func(p *catalog.Process) { p.Bed = bed }})
	}
}

// material is the plastic that a file names last, or "".
func (s settings) material() string {
	if m := s.plastic(); m != nil {
		return m.word
	}
	return ""
}
