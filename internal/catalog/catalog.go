// Package catalog holds the words that rules, measures and reports share: units,
// the definition of a measure, and the process a model will be printed with. It
// computes nothing, so that rule sets and reports know a measure without
// importing how it is computed.
package catalog

import "slices"

// Unit is the unit of a value or limit, spelt as in rule sets and reports.
type Unit string

// The units a measure or a limit can have.
const (
	Number Unit = ""      // a bare number: a count, a share, a ratio
	Bool   Unit = "bool"  // true or false, carried as 1 or 0
	MM     Unit = "mm"    // length
	MM2    Unit = "mm2"   // area
	MM3    Unit = "mm3"   // volume
	Deg    Unit = "deg"   // angle; leans are from vertical: wall 0, flat ceiling 90
	Gram   Unit = "g"     // mass
	Minute Unit = "min"   // time
	Flow   Unit = "mm3/s" // volume a second through the nozzle
	Dense  Unit = "g/cm3" // density
	Byte   Unit = "B"     // size of a file; 1 kB is 1000 of them
	PerKg  Unit = "/kg"   // price of a kilogram, in whatever money the team counts in
)

// Value defines one number that a measure yields.
type Value struct {
	Name string
	Unit Unit
	Doc  string // one sentence, lower case, no full stop
	// Signed says that the value may lie below 0.
	Signed bool
	// Sample is a usual figure where something is wrong, for examples; 0 is none.
	Sample float64
	// Needs is a figure of the process without which it says nothing, such as price; "" is none.
	Needs string
}

// Measure defines a named quantity computed from a model. The same definition
// feeds the engine, explain, the schema and the reports.
type Measure struct {
	Name  string
	Title string // a few words
	Doc   string // what it means, how it is taken, in words a beginner follows
	// Source is where the definition comes from, or says that it is our own.
	Source string
	// Values are taken at each site.
	Values []Value
	// Model values are taken once for the whole model.
	Model []Value
	// Texts are of the model too, and can only be compared with other texts.
	Texts []Text
	// Unopened are the values and texts that are known without opening the model. A rule
	// that asks of no others is judged without.
	Unopened []string
	// Params are limits that steer the measure itself, such as the lean from
	// which a cell counts as hanging: a rule's limit of that name sets it, and a
	// rule without one gets Default.
	Params []Param
	// PoseFree measures do not change when the model is turned.
	PoseFree bool
}

// Param is a limit that the measure itself needs.
type Param struct {
	Name    string
	Unit    Unit
	Doc     string
	Default float64
}

// Index returns the position of the named site value, or -1.
func (m *Measure) Index(name string) int {
	return slices.IndexFunc(m.Values, func(v Value) bool { return v.Name == name })
}

// Process is what a model will be printed with. All lengths in mm.
type Process struct {
	Material string
	Nozzle   float64    // nozzle bore
	Line     float64    // width of one laid line
	Layer    float64    // layer height
	Bed      [3]float64 // x, y and z that fit the machine
	Bridge   float64    // longest span that carries what is laid beside it afterwards
	Density  float64    // g/cm3
	Flow     float64    // mm3/s, over a whole print
	Price    float64    // of 1 kg; 0 when not said
	Limits   Limits
}

// Limits are what a printer can do, each by formula or as measured on test pieces; 0 where
// nothing is said.
type Limits struct {
	Slope, Lean, Reach, Tab, Span, Ceiling, Wall, Gap, Column, Foot, Speck Mark
}

// Mark is how far a printer goes in one thing: what comes out clean, and what just holds.
type Mark struct{ Clean, Holds float64 }
