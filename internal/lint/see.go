package lint

import (
	"context"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
)

// Seen is a model that was judged, while its mesh is still in memory: for whoever draws
// it. Nothing of it may be changed, nor the mesh kept.
type Seen struct {
	Model *finding.Model
	// Mesh is the model in the file's own frame.
	Mesh *mesh.Mesh
	// Process is what it will be printed with.
	Process catalog.Process
	// Lean is the lean from vertical, in degrees, from which the rules let nothing hang.
	Lean float64
	// Sites are the triangles of each finding, in the order of Model.Findings.
	Sites []SeenSite
}

// SeenSite is the surface that a finding speaks of.
type SeenSite struct {
	// Tris are triangles of the mesh, the most telling first.
	Tris []uint32
	// Whole says that they are all of them; otherwise the site has more of their kind.
	Whole bool
}

// show hands a judged model on. What was found stands, whatever becomes of the picture.
func (j *judge) show(ctx context.Context, model *finding.Model, g *judgement) {
	if j.see == nil || ctx.Err() != nil {
		return // nobody waits for it
	}
	if atLimit(ctx) {
		model.Notes = append(model.Notes, "no picture: the limit of work was used up")
		return
	}
	defer func() {
		if caught := recover(); caught != nil {
			model.Notes = append(model.Notes, "no picture: "+crashed(caught).Error())
		}
	}()
	s := &Seen{Model: model, Mesh: g.mesh, Process: g.view.Process, Lean: hangsFrom(g.view.Rules)}
	for i := range g.found {
		tris := g.found[i].site.Tris
		s.Sites = append(s.Sites, SeenSite{Tris: tris, Whole: len(tris) < measure.MaxTris})
	}
	j.see(ctx, s)
}
