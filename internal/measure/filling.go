package measure

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/layers"
	"printlint/internal/mend"
	"printlint/internal/mesh"
)

// Filling is the measure of whether the layers tell the shape.
var Filling = overLayers(
	catalog.Measure{
		Name:  "filling",
		Title: "how much of the stack of layers could be filled",
		Doc: `Before anything can be said of the shape, each layer is cut and filled between its
outlines. That works on a closed surface, so a damaged one is mended first, in a copy.
Second copies of triangles go, seams up to 0.1 mm are closed, parts that face the wrong
way are turned. A sheet that goes on from the faces around it closes each hole where it
can. Where it cannot, and the rim of the hole is so far from flat that it matters, the
sheet is a guess. Sheets that enclose nothing take no part.`,
		Source: "own definition",
	},
	func(s *stack, _ None) *fillingVisitor { return visit(s, new(fillingVisitor)) }, filling)

// Unsure is how much of the surface does not tell inside from outside.
type Unsure struct {
	Guessed float64 `measure:"guessed" doc:"what was spanned over holes by guess, as a share of the surface; it may pass 1"`
	Loose   float64 `measure:"loose" doc:"share of the surface that is loose sheets, which enclose nothing, 0 to 1"`
}

// FillingSite is the model, where anything of it is unsure.
type FillingSite struct {
	OpenShare float64 `measure:"open_share" doc:"share of the rows of all layers whose outline does not close, 0 to 1"`
	Layers    int     `measure:"layers" doc:"layers with at least one such row"`
	Unsure
}

// FillingModel says the same of the whole model.
type FillingModel struct {
	OpenShare float64 `measure:"open_share" doc:"share of the rows of all layers whose outline does not close, 0 to 1"`
	Layers    int     `measure:"layers" doc:"layers cut"`
	Cell      float64 `measure:"cell,mm" doc:"side of the cells the layers were filled with"`
	Unsure
}

// fillingVisitor counts rows that could not be filled.
type fillingVisitor struct{ open, used, layers, first int }

func (v *fillingVisitor) Visit(_, layer *layers.Layer) {
	v.open += layer.OpenRows
	v.used += max(layer.UsedRows, layer.OpenRows) // where no row closes, none is filled
	if layer.OpenRows > 0 {
		if v.layers == 0 {
			v.first = layer.K
		}
		v.layers++
	}
}

// The shares beyond which the shape cannot be judged. Of the shapes with known answers
// that were spoilt at random, none that fails passed while less than a twentieth of the
// surface was guessed and less than half was missing. Single triangles that lost all
// their neighbours are loose sheets, and do no harm while they are few.
const (
	undecidedOpen    = 0.02
	undecidedGuessed = 0.02
	undecidedLoose   = 0.05
	undecidedFilled  = 0.5
	undecidedTwisted = 0.001 // of all triangles
)

// What to do about a surface that does not tell the shape.
const (
	openCure      = "close the surface in the program the model was made with, and export it again"
	cancelledCure = "turn all faces outward, join what is to be one body, take out second copies, and export it again"
)

// cancelled says that bodies wound inside out take away from others.
func cancelled(w *mend.Mended) string {
	switch {
	case w.Cancelled == 1:
		return "a body is wound inside out where it touches or overlaps another, so that one reading fills what another leaves empty"
	case w.Cancelled > 1:
		return fmt.Sprintf("%d bodies are wound inside out, or have others so wound upon them, so that one reading fills what another leaves empty", w.Cancelled)
	}
	return ""
}

// undecided says why the filled layers do not tell the shape, or nothing.
func undecided(v *fillingVisitor, w *mend.Mended) string {
	switch a := w.Account; {
	case v.used == 0:
		return "its surface encloses nothing that fills any layer"
	case v.share() > undecidedOpen:
		return fmt.Sprintf("%.0f %% of the rows in its layers do not close", v.share()*100)
	case a.Loose > undecidedLoose*a.Area:
		return fmt.Sprintf("%.0f %% of its surface are loose sheets that enclose nothing", a.Loose/a.Area*100)
	case a.Guessed > undecidedGuessed*a.Area:
		return fmt.Sprintf("its surface has holes up to %.1f mm deep, and closing them takes %.0f mm² of guesswork", a.Depth, a.Guessed)
	case a.Filled-a.Capped > undecidedFilled*a.Area:
		return fmt.Sprintf("%.0f mm² of its surface are missing, and only %.0f mm² are there", a.Filled-a.Capped, a.Area)
	case float64(a.Twisted) > undecidedTwisted*float64(len(w.Mesh.Tris)):
		return fmt.Sprintf("its surface has one side only, along %d edges there is no telling in from out", a.Twisted)
	}
	return ""
}

// share is the share of rows that could not be filled.
func (v *fillingVisitor) share() float64 {
	if v.used == 0 {
		return 0
	}
	return float64(v.open) / float64(v.used)
}

func filling(s *stack, v *fillingVisitor, _ None) (*found[FillingSite, FillingModel], error) {
	whole, err := s.mended()
	if err != nil {
		return nil, err
	}
	var unsure Unsure
	if a := whole.Account; a.Area > 0 {
		unsure = Unsure{Guessed: a.Guessed / a.Area, Loose: a.Loose / a.Area}
	}
	out := &found[FillingSite, FillingModel]{model: FillingModel{v.share(), s.grid.Layers, s.grid.Cell, unsure}}
	if why := undecided(v, whole); why != "" {
		out.undecided = Undecided{why, openCure}
	}
	if why := cancelled(whole); why != "" {
		out.undecided = Undecided{why, cancelledCure}
	}
	if v.open > 0 || unsure.Guessed > 0 || unsure.Loose > 0 {
		box := s.mesh.Box()
		at := box.Min.Add(box.Max).Scale(0.5)
		if v.open > 0 {
			at.Z = s.grid.Floor(v.first)
		}
		site := Site{At: s.place.Back(at), Box: s.place.BackBox(box)}
		if whole.First != mesh.None {
			site.Tris = []uint32{whole.First}
		}
		out.add(site, FillingSite{v.share(), v.layers, unsure})
	}
	return out, nil
}
