package finding

// Former is what a model was before a change.
type Former struct {
	Path     string     `json:"path"`
	Part     string     `json:"part"`
	SHA256   string     `json:"sha256"`
	Shape    Likeness   `json:"shape"`
	Figures  Values     `json:"figures"`  // as FigureKinds says
	Findings LevelCount `json:"findings"` // accepted ones among them
}

// Became says in a word what the shape of a model became.
type Became string

// What a shape can become.
const (
	SameShape  Became = "same"    // the same, however it lies, whatever its size
	OtherShape Became = "changed" // another
	Unknown    Became = "unknown" // it could not be told
)

// Likeness says what the shape of a model became.
type Likeness struct {
	Became Became `json:"became"`
	Words  string `json:"words"`
	// What was done to a shape that is the same: Factor is how many times as large it is,
	// Turned the degrees about Axis, and Moved where its point (0, 0, 0) is now. Of one
	// that changed, Moved is where most of its corners went.
	Factor   float64    `json:"factor"`
	Mirrored bool       `json:"mirrored"`
	Turned   float64    `json:"turned_deg"`
	Axis     [3]float64 `json:"axis"`
	Moved    [3]float64 `json:"moved_mm"`
	// Within is how far apart the two lie at most, looked at in so many points of both
	// surfaces; in 0 points where every corner and triangle of the one is one of the other.
	Within   float64 `json:"within_mm"`
	Points   int     `json:"points"`
	Inverted int     `json:"inverted_triangles"` // that face the other way now
}

// FigureKind is one figure that a reviewer asks of a model.
type FigureKind struct {
	Name  string // in JSON
	Label string
	Unit  string // as in the catalogue
	// Noise is how much it may differ between two exports of one shape: cells of layers
	// fall otherwise. Judgement.
	Noise float64
}

// FigureKinds are the figures of Model.Figures, in their order. One that could not be
// taken is left out.
var FigureKinds = []FigureKind{
	{"x", "size along x", "mm", 0.005},
	{"y", "size along y", "mm", 0.005},
	{"height", "height", "mm", 0.005},
	{"volume", "volume", "mm3", 1},
	{"surface", "surface", "mm2", 1},
	{"grams", "weight", "g", 0.05},
	{"minutes", "printing time", "min", 0.1},
	{"bed", "flat on the bed", "mm2", 1},
	{"angle", "worst overhang angle", "deg", 0.5},
	{"bridge", "longest bridge", "mm", 0.2},
	{"support", "support", "g", 0.05},
}

// GiveUnits puts back the units of figures that were read from JSON, which leaves them out.
func GiveUnits(figures Values) {
	for i := range figures {
		for _, k := range FigureKinds {
			if k.Name == figures[i].Name {
				figures[i].Unit = k.Unit
			}
		}
	}
}

// Count counts what was found, accepted or not, and of that what is accepted.
func (m *Model) Count() (all, accepted LevelCount) {
	for i := range m.Findings {
		f := &m.Findings[i]
		all.Add(f.Level)
		if f.Waived != nil {
			accepted.Add(f.Level)
		}
	}
	return all, accepted
}

// NameOf is a model by its path, and its part where it has a name.
func NameOf(m *Model) string {
	if m.Part == "" {
		return m.Path
	}
	return m.Path + " (" + m.Part + ")"
}
