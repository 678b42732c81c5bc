package meshfile

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/mesh"
)

// A 3MF is read by a reader of our own, forwards and once, although there are libraries.
// Of those for Go, github.com/hpinc/go3mf v0.24.2 is the best kept; it keeps no lines, so
// that no finding could point into the file, and takes two to five times as long. It also
// takes a missing or infinite coordinate for a number, stumbles over comments, and holds references against the
// file only on request, in a second pass. And it unpacks whatever the file holds beside
// the model: 400 kB of pictures made it take a gigabyte. The tests read its files, and
// have it read ours.

// threeMF is a 3MF being read.
type threeMF struct {
	container
	store store
	parts map[string]*modelPart
	built unfolded
	// objects and placed are how many objects and components there are.
	objects, placed int
}

// modelPart is one model file in a 3MF. The one that the package names is the root and
// has the build; its objects may lie in others (production extension 1.1).
type modelPart struct {
	name    string
	root    bool
	scale   float64 // mm in one of its units
	objects map[uint32]*object
	items   []item
	err     error
	// undecided is why its items may not be all that is built.
	undecided string
}

// object is what can be built: a mesh, or other objects put together.
type object struct {
	body
	kind         string // model, support, ...
	name, number string
}

// item is one object to be built.
type item struct {
	object *object
	move   affine
	number string
	err    error
	line   int
}

func readThreeMF(c container) ([]Part, error) {
	if err := c.alike(); err != nil {
		return nil, err
	}
	name, err := c.modelName()
	if err != nil {
		return nil, err
	}
	r := &threeMF{container: c, parts: map[string]*modelPart{}}
	root := r.part(name, true)
	if root.err != nil {
		return []Part{failing(Part{Kind: "3mf", Inner: name}, root.err)}, nil
	}
	parts := make([]Part, len(root.items))
	for i := range root.items {
		parts[i] = r.item(root, &root.items[i])
	}
	if err := onlyHelpers(root, parts); err != nil {
		return []Part{failing(Part{Kind: "3mf", Inner: name}, err)}, nil
	}
	nameParts(parts)
	if c.find(contentTypes) == nil {
		parts[0].Notes = slices.Concat(parts[0].Notes, []string{"the file has no " + contentTypes + "; other programs may refuse it"})
	}
	return parts, nil
}

// failing makes a part that says, once it is loaded, why it cannot be.
func failing(p Part, err error) Part {
	p.load = func() (*mesh.Triangles, []string, error) { return nil, nil, err }
	return p
}

// item makes a part of what is to be built.
func (r *threeMF) item(root *modelPart, it *item) Part {
	p := Part{Kind: "3mf", Inner: root.name, Name: it.number, Unit: unitWords[root.scale]}
	if o := it.object; o != nil {
		p.Name = cmp.Or(o.name, it.number, o.number)
	}
	if it.err != nil {
		return failing(p, it.err)
	}
	o := it.object
	p.Inner, p.Notes, p.Undecided = o.source, o.notes, cmp.Or(o.undecided, root.undecided)
	if o.kind != "model" {
		p.Skip = fmt.Sprintf("it is of the type %s, no model to judge", o.kind)
		return p
	}
	held := int64(r.store.triangles.len())
	if !r.built.take(&o.body, held) {
		return failing(p, tooManyBuilt(it.line, held))
	}
	move := it.move
	p.load = func() (*mesh.Triangles, []string, error) { return o.layOut(move, held) }
	return p
}

// onlyHelpers is the error of a build in which nothing is a model: passing it over would
// pass over the file.
func onlyHelpers(root *modelPart, parts []Part) error {
	var kinds []string
	for i := range parts {
		if parts[i].Skip == "" {
			return nil
		}
		kinds = append(kinds, root.items[i].object.kind)
	}
	slices.Sort(kinds)
	return atLine(root.items[0].line, "give what is to be printed the type model",
		"the build holds no model to judge, only objects of the type %s", strings.Join(slices.Compact(kinds), ", "))
}

// nameParts gives the models of a file names of their own. Where the file holds one model it
// needs none: the file is the model.
func nameParts(parts []Part) {
	names := make([]string, len(parts))
	for i := range parts {
		names[i] = cmp.Or(parts[i].Name, fmt.Sprintf("item %d", i+1))
	}
	for i, name := range distinct(names) {
		if parts[i].Name = name; len(parts) == 1 {
			parts[i].Name = ""
		}
	}
}

// distinct numbers the names that occur more than once.
func distinct(names []string) []string {
	taken := map[string]bool{}
	for _, n := range names {
		taken[n] = true
	}
	seen := map[string]int{}
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = n
		for seen[n]++; seen[n] > 1; seen[n]++ {
			out[i] = fmt.Sprintf("%s (%d)", n, seen[n])
			if !taken[out[i]] {
				taken[out[i]] = true
				break
			}
		}
	}
	return out
}

// part reads a model part, once.
func (r *threeMF) part(name string, root bool) *modelPart {
	if e := r.find(name); e != nil {
		name = e.Name
	}
	if p := r.parts[name]; p != nil {
		return p
	}
	p := &modelPart{name: name, root: root, scale: 1, objects: map[uint32]*object{}}
	r.parts[name] = p
	x, done, err := r.open(name)
	if err != nil {
		p.err = err
		return p
	}
	defer done()
	m := &modelReader{Reader: x, threeMF: r, part: p}
	m.model()
	p.err = asError(m.Err())
	return p
}

// object looks up an object that was defined before, in another part where one is named.
func (r *threeMF) object(in *modelPart, path string, id uint32, line int) (*object, error) {
	from := in
	if path != "" {
		if !in.root {
			return nil, atLine(line, cureAgain, "only the first model part may name objects in another part")
		}
		if from = r.part(strings.TrimPrefix(path, "/"), false); from == in {
			return nil, atLine(line, cureAgain, "the part %s names itself as another part", quoted(path))
		}
	}
	if from.err != nil {
		var e *Error
		if errors.As(from.err, &e) && e.Line > 0 {
			return nil, inPart(from.name, from.err)
		}
		return nil, from.err
	}
	o := from.objects[id]
	if o == nil {
		return nil, atLine(line, cureAgain, "there is no object %d before this line%s", id, elsewhere(path))
	}
	return o, nil
}

func elsewhere(path string) string {
	if path == "" {
		return ""
	}
	return " in " + quoted(path)
}
