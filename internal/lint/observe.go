package lint

import (
	"context"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/verdict"
)

// Observer is handed every model that was judged while its mesh is in memory: whoever draws
// it or writes it down.
type Observer interface {
	// Judged is called from several goroutines, but never twice at once for parts of one
	// file. Its error makes the model unreadable. Work that it does counts for the limit,
	// which may have been used up already.
	Judged(ctx context.Context, m *Judged) error
}

// ObserverFunc is a function as an observer.
type ObserverFunc func(ctx context.Context, m *Judged) error

// Judged calls the function.
func (f ObserverFunc) Judged(ctx context.Context, m *Judged) error { return f(ctx, m) }

// Judged is a model that was judged. Nothing of it may be changed, but by Note, and nothing
// kept: the mesh is freed, and the model goes on into the report.
type Judged struct {
	Model *finding.Model
	// Mesh is the model in the file's own frame.
	Mesh *mesh.Mesh
	// Process is what it will be printed with, on the first machine of several.
	Process catalog.Process
	// Overhang is the tilt from vertical, in degrees, from which the rules let nothing hang.
	Overhang float64
	// Surfaces are the triangles of each finding, in the order of Model.Findings.
	Surfaces []Surface
}

// Surface is the surface that a finding speaks of.
type Surface struct {
	// Tris are triangles of the mesh, the most telling first.
	Tris []uint32
	// Whole says that they are all of them; otherwise the site has more of their kind.
	Whole bool
}

// Note puts words beside the model in the report.
func (m *Judged) Note(words string) { m.Model.Notes = append(m.Model.Notes, words) }

// show hands a judged model on.
func (j *judge) show(ctx context.Context, model *finding.Model, v *verdict.Verdict, hits []verdict.Hit) error {
	defer forgetSolids(model)
	if j.observer == nil || ctx.Err() != nil {
		return nil // nobody waits for it
	}
	m := &Judged{Model: model, Mesh: v.Mesh, Process: v.View.Process, Overhang: verdict.OverhangAngle(v.View.Rules)}
	for i := range hits {
		tris := hits[i].Site.Tris
		m.Surfaces = append(m.Surfaces, Surface{Tris: tris, Whole: len(tris) < measure.MaxTris})
	}
	return j.observer.Judged(ctx, m)
}

// forgetSolids drops the solids that were advised, which only pictures need: the reports of many
// models are in memory together.
func forgetSolids(model *finding.Model) {
	forget := func(a *finding.Advice) {
		if a != nil && a.Edits != nil {
			for i := range a.Edits.List {
				a.Edits.List[i].Solid, a.Edits.List[i].Away = nil, nil
			}
		}
	}
	forget(model.Advice)
	for i := range model.Machines {
		forget(model.Machines[i].Advice)
	}
}
