package meshfile

import (
	"cmp"

	"printlint/internal/mesh"
)

// amfWalk makes parts of the objects, in the order of the file.
type amfWalk struct {
	*amfReader
	steps int
	parts []Part
	built unfolded
}

// all takes every object, where constellations hold it or by itself.
func (w *amfWalk) all() error {
	for _, o := range w.order {
		for _, in := range o.instances {
			target := w.ids[in.id]
			if target == nil {
				return atLine(in.line, cureAgain, "there is no object %s", quoted(in.id))
			}
			target.used = true
		}
	}
	for _, o := range w.order {
		if !o.used {
			if err := w.place(o, identity, "", 0); err != nil {
				return err
			}
		}
	}
	for _, o := range w.order {
		if !o.seen {
			return atLine(o.line, cureAgain, "constellations hold one another in a circle")
		}
	}
	if len(w.parts) == 0 {
		return atLine(w.Line(), cureAgain, "the file has no objects")
	}
	return nil
}

// place makes a part of an object, or of every object in a constellation; why is the
// reason to doubt where it stands.
func (w *amfWalk) place(o *amfObject, move affine, why string, depth int) error {
	if w.steps++; w.steps > maxInstances || len(w.parts) == maxItems {
		return atLine(o.line, "export the models in several files", "the file unfolds to more than %d models", maxItems)
	}
	if depth > maxNested {
		return atLine(o.line, cureAgain, "constellations hold one another more than %d deep, or in a circle", maxNested)
	}
	o.seen = true
	why = cmp.Or(why, o.undecided)
	if o.group {
		for _, in := range o.instances {
			if err := w.place(w.ids[in.id], in.move.then(&move), why, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	p := Part{Kind: "amf", Name: o.name, Notes: o.notes, Undecided: why}
	if p.Name == "" {
		p.Name = "object " + nameOf([]byte(o.id))
	}
	held := int64(w.store.triangles.len())
	p.load = func() (*mesh.Soup, error) { return o.layOut(move, held) }
	if !w.built.take(&o.body, held) {
		p = failing(p, tooManyBuilt(o.line, held))
	}
	w.parts = append(w.parts, p)
	return nil
}
