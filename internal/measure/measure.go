// Package measure computes what a model is: named quantities, each with its sites,
// and no judgement. Limits and levels live in rule sets.
package measure

import (
	"slices"
	"sync"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// Site is one place where a measure was taken. Points are in the file's own frame.
type Site struct {
	At  mesh.Vec // the most telling point of the site
	Box mesh.Box // the extent of the site
	// Tris are triangles of the site, at most MaxTris. The first is the one that reports
	// name: of all of the site, the nearest to At. A site that is all of the model has none.
	Tris []uint32
	// Values are in the order of catalog.Measure.Values.
	Values []float64
	// Below is what lies under a site that hangs, for whoever plans support; nil where
	// nothing hangs. Sites of one place share it.
	Below *Below
	// Parts are the places of a site that is several at once, or nil: a rule that finds something
	// at one of them may be silent for one that finds this site.
	Parts []Site
}

// Undersides are what lies under the site: under each of its parts, where it has some.
func (s *Site) Undersides() []Site {
	list := s.Parts
	if len(list) == 0 {
		list = []Site{*s}
	}
	return slices.DeleteFunc(slices.Clone(list), func(k Site) bool { return k.Below == nil })
}

// MaxTris bounds the triangles a site carries.
const MaxTris = 256

// Result is what one measure found in one model.
type Result struct {
	Sites []Site
	Model []float64 // in the order of catalog.Measure.Model
	// Undecided says why the measure could not be taken, or is empty. Sites that
	// could be decided all the same are kept.
	Undecided string
	// Cure says what to do about that; it is set with Undecided.
	Cure string
}

// Undecided is the error of a measure that cannot be taken of this model, while others
// can. What work.ErrTooMuch is wrapped in counts as one, with the words around it.
type Undecided struct{ Words, Cure string }

// Error returns the words.
func (u *Undecided) Error() string { return u.Words }

// Request asks for one measure with its parameters.
type Request struct {
	Measure string
	Params  []float64 // in the order of catalog.Measure.Params; nil for the defaults
}

// Pose is a rotation of the model; the drop to z = 0 follows from it.
type Pose struct {
	// M is the rotation, row by row: posed = M * own.
	M [9]float64
}

// AsIs is the pose in which the model lies in its file.
var AsIs = Pose{M: mesh.Identity}

// Options steer the cost of measuring, never its result beyond what Cell says.
type Options struct {
	// Jobs bounds the goroutines inside one model; 0 or 1 is none beside the caller.
	Jobs int
	// Cell is the side of a layer cell in mm; 0 chooses it from the process.
	Cell float64
}

// Catalog lists every measure, in the order of reports. It is asked several times for each
// model, and made once; nobody may change it.
func Catalog() []catalog.Measure { return slices.Clip(catalogued()) }

var catalogued = sync.OnceValue(func() []catalog.Measure {
	list := make([]catalog.Measure, len(registry))
	for i, e := range registry {
		list[i] = *e.definition()
	}
	return list
})

// Body is a mesh with whatever does not change when it is turned, computed once.
type Body struct {
	Mesh *mesh.Mesh
	// File is the file that the body is kept in; nil where there is none.
	File *catalog.File
	// KeepPoses says that what is found in a pose is kept as long as the body, for other
	// processes that ask for the same pose later. It takes memory for every pose.
	KeepPoses bool
	surfaceFacts
}

// NewBody wraps a mesh. The body is for one goroutine at a time.
func NewBody(m *mesh.Mesh) *Body { return &Body{Mesh: m} }
