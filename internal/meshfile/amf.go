package meshfile

import (
	"bytes"
	"cmp"
	"fmt"
	"io"

	"printlint/internal/mesh"
	"printlint/internal/pack"
	"printlint/internal/xmltoken"
)

// amfUnits are the units of the format in mm (ISO/ASTM 52915, from memory; both
// spellings of the last two are met).
var amfUnits = map[string]float64{
	"": 1, "millimeter": 1, "inch": 25.4, "feet": 304.8, "foot": 304.8, "meter": 1000, "micron": 0.001, "micrometer": 0.001,
}

// amfReader reads an AMF file (ISO/ASTM 52915, from memory). Every object is a model; where
// constellations say how objects stand together, each object in one is.
type amfReader struct {
	*xmltoken.Reader
	store  store
	scale  float64
	curved passed // points and edges with a direction, which bend the triangles there
	ids    map[string]*amfObject
	order  []*amfObject
	placed int // instances

	// What the objects make, in the order of the file.
	steps int
	parts []Part
	built unfolded
}

// amfObject is an object or a constellation.
type amfObject struct {
	body
	id, name  string
	instances []amfInstance // of a constellation
	group     bool
	used      bool // by a constellation
	seen      bool // on the way from the top
}

// amfInstance is an object that stands in a constellation.
type amfInstance struct {
	id   string
	move affine
	line int
}

// matchesAMF goes by the first element, or takes an archive, which the file may be packed in.
func matchesAMF(head []byte, _ int64) bool {
	if pack.IsZip(head) {
		return true
	}
	text := bytes.TrimSpace(trimBOM(head))
	return len(text) > 0 && text[0] == '<' && isText(head) && bytes.Contains(text, []byte("<amf"))
}

func readAMF(in Input, head []byte, opt Options) ([]Part, error) {
	if pack.IsZip(head) {
		return readContainer(in, head, opt)
	}
	return readAMFText(io.NewSectionReader(in, 0, in.Size()), "")
}

// readPackedAMF reads an AMF from the archive that it is the only file of.
func readPackedAMF(e *pack.Entry) ([]Part, error) {
	r, err := e.Open()
	if err != nil {
		return nil, asError(fmt.Errorf("%s: %w", quoted(e.Name), err))
	}
	defer r.Close()
	parts, err := readAMFText(r, e.Name)
	if err != nil {
		return []Part{failing(Part{Kind: "amf", Inner: e.Name}, err)}, nil
	}
	return parts, nil
}

func readAMFText(in io.Reader, inner string) ([]Part, error) {
	r := &amfReader{Reader: xmltoken.New(in), ids: map[string]*amfObject{}}
	if r.root(inner); r.Err() == nil {
		if err := r.all(); err != nil {
			return nil, err
		}
	}
	if err := r.Err(); err != nil {
		return nil, asError(err)
	}
	for i := range r.parts {
		r.parts[i].Inner = inner
	}
	nameParts(r.parts)
	return r.parts, nil
}

// root reads the whole file.
func (r *amfReader) root(inner string) {
	if r.Begin(); string(r.Local) != "amf" {
		r.Stop(atLine(r.TagLine(), cureAgain, "<%s> where the amf element was expected", xmltoken.Clip(r.Local)))
	}
	unit := string(bytes.ToLower(r.Attr("unit")))
	scale, ok := amfUnits[unit]
	if !ok {
		r.Stop(atLine(r.TagLine(), "use millimeter, inch, feet, meter or micron", "%s is no unit", quoted(unit)))
	}
	r.scale = scale
	r.Each(func() {
		group := string(r.Local) == "constellation"
		if !group && string(r.Local) != "object" {
			return
		}
		id := string(r.Attr("id"))
		o := &amfObject{id: id, group: group}
		o.body = body{label: "object " + xmltoken.Clip([]byte(id)), inside: inner, line: r.TagLine(), store: &r.store}
		o.first, o.point = r.store.triangles.len(), r.store.points.len()
		if r.ids[id] != nil {
			r.Stop(atLine(o.line, cureAgain, "there is a second object %s", quoted(id)))
		}
		if len(r.order) == maxObjects {
			r.Stop(tooManyOf("objects", o.line, maxObjects))
		}
		r.ids[id] = o
		r.order = append(r.order, o)
		r.object(o)
	})
	r.Finish()
}

// object reads what an object or constellation holds.
func (r *amfReader) object(o *amfObject) {
	r.Each(func() {
		switch string(r.Local) {
		case "metadata":
			if string(r.Attr("type")) == "name" {
				o.name = nameOf(r.Text())
			}
		case "mesh":
			r.mesh(o)
		case "instance":
			r.instance(o)
		}
	})
	o.triangles = r.store.triangles.len() - o.first
	if n := r.curved.lines; n > 0 {
		o.doubt(fmt.Sprintf("the surface is bent by %s, the first in line %d, and was taken as flat triangles; %s",
			plural(n, "direction"), r.curved.first, cureTriangle))
		r.curved = passed{}
	}
	if !o.group {
		o.settle()
	}
}

// mesh reads the points and volumes of an object; its numbers of points start anew.
func (r *amfReader) mesh(o *amfObject) {
	base := r.store.points.len() - o.point
	r.Each(func() {
		switch string(r.Local) {
		case "vertices":
			r.Each(func() {
				switch string(r.Local) {
				case "vertex":
					r.vertex(o)
				case "edge":
					r.curved.add(r.TagLine(), nil)
				}
			})
		case "volume":
			if string(r.Attr("type")) == "support" {
				o.notes = append(o.notes, fmt.Sprintf("left out a volume of support in line %d", r.TagLine()))
				return
			}
			r.Each(func() { r.triangle(o, base) })
		}
	})
}

// vertex reads one point.
func (r *amfReader) vertex(o *amfObject) {
	line, seen := r.TagLine(), 0
	var p mesh.Point
	r.Each(func() {
		switch string(r.Local) {
		case "coordinates":
			r.Each(func() {
				if len(r.Local) != 1 || r.Local[0]-'x' > 2 {
					return
				}
				k, at := r.Local[0]-'x', r.TagLine()
				w := r.Text()
				x, ok := o.origin.parse(w, int(k), r.scale)
				if !ok || x-x != 0 {
					o.fail(badNumber(at, append([]byte{}, w...)))
				}
				p[k] = x
				seen |= 1 << k
			})
		case "normal":
			r.curved.add(r.TagLine(), nil)
		}
	})
	if seen != 7 {
		o.fail(atLine(line, cureAgain, "a vertex without all of x, y and z"))
	}
	if r.store.points.len() >= maxCorners {
		r.Stop(tooManyPoints("file", line))
		return
	}
	r.store.points.add(p)
}

// triangle reads one triangle of a volume.
func (r *amfReader) triangle(o *amfObject, base int) {
	if string(r.Local) != "triangle" {
		return
	}
	t, seen := storedTriangle{line: uint32(r.TagLine())}, 0
	r.Each(func() {
		if len(r.Local) != 2 || r.Local[0] != 'v' || r.Local[1]-'1' > 2 {
			return
		}
		k := r.Local[1] - '1'
		w := r.Text()
		n, ok := parseIndex(w)
		have := r.store.points.len() - o.point - base
		if !ok || int(n) >= have {
			o.fail(atLine(int(t.line), cureAgain, "the triangle names vertex %s of %d, the first is 0", quoted(w), have))
		}
		t.corners[k] = n + uint32(base)
		seen |= 1 << k
	})
	if seen != 7 {
		o.fail(atLine(int(t.line), cureAgain, "a triangle without all of v1, v2 and v3"))
	}
	if o.err == nil && !r.store.addTriangle(t) {
		r.Stop(tooMany(int(t.line), maxCorners))
	}
}

// instance reads where an object stands in a constellation.
func (r *amfReader) instance(o *amfObject) {
	in := amfInstance{id: string(r.Attr("objectid")), line: r.TagLine()}
	if r.placed++; r.placed > maxInstances {
		r.Stop(tooManyOf("instances", in.line, maxInstances))
	}
	var angles, move [3]float64
	r.Each(func() {
		axis, ok := map[string]*float64{
			"deltax": &move[0], "deltay": &move[1], "deltaz": &move[2], "rx": &angles[0], "ry": &angles[1], "rz": &angles[2],
		}[string(r.Local)]
		if !ok {
			if string(r.Local) != "metadata" {
				o.doubt(fmt.Sprintf("<%s> in line %d, which is not known here, may move the shape; %s", xmltoken.Clip(r.Local), r.TagLine(), cureTriangle))
			}
			return
		}
		w := r.Text()
		x, ok := parse64(w)
		if !ok || x-x != 0 {
			r.Stop(badNumber(in.line, append([]byte{}, w...)))
		}
		*axis = x
	})
	for k := range move {
		move[k] *= r.scale
	}
	in.move = turned(angles, move)
	o.instances = append(o.instances, in)
}

// all takes every object, where constellations hold it or by itself.
func (r *amfReader) all() error {
	for _, o := range r.order {
		for _, in := range o.instances {
			target := r.ids[in.id]
			if target == nil {
				return atLine(in.line, cureAgain, "there is no object %s", quoted(in.id))
			}
			target.used = true
		}
	}
	for _, o := range r.order {
		if !o.used {
			if err := r.place(o, identity, "", 0); err != nil {
				return err
			}
		}
	}
	for _, o := range r.order {
		if !o.seen {
			return atLine(o.line, cureAgain, "constellations hold one another in a circle")
		}
	}
	if len(r.parts) == 0 {
		return atLine(r.Line(), cureAgain, "the file has no objects")
	}
	return nil
}

// place makes a part of an object, or of every object in a constellation; why is the
// reason to doubt where it stands.
func (r *amfReader) place(o *amfObject, move affine, why string, depth int) error {
	if r.steps++; r.steps > maxInstances || len(r.parts) == maxItems {
		return atLine(o.line, cureSeveral, "the file unfolds to more than %d models", maxItems)
	}
	if depth > maxNested {
		return atLine(o.line, cureAgain, "constellations hold one another more than %d deep, or in a circle", maxNested)
	}
	o.seen = true
	why = cmp.Or(why, o.undecided)
	if o.group {
		for _, in := range o.instances {
			if err := r.place(r.ids[in.id], in.move.then(&move), why, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	p := Part{Kind: "amf", Name: cmp.Or(o.name, "object "+nameOf([]byte(o.id))), Notes: o.notes, Undecided: why, Unit: unitWords[r.scale]}
	held := int64(r.store.triangles.len())
	p.load = func() (*mesh.Triangles, []string, error) { return o.layOut(move, held) }
	if !r.built.take(&o.body, held) {
		p = failing(p, tooManyBuilt(o.line, held))
	}
	r.parts = append(r.parts, p)
	return nil
}
