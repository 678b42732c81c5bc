package meshfile

import (
	"bytes"
	"fmt"
	"strings"

	"printlint/internal/xmltoken"
)

// Namespaces of the 3MF specifications.
const (
	spaceCore       = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	spaceProduction = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
	spaceMaterial   = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"
	spaceSlice      = "http://schemas.microsoft.com/3dmanufacturing/slice/2015/07"
	spaceSets       = "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07"
	spaceBeams      = "http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02"
)

// harmless extensions say nothing about the shape, or only what is looked for.
var harmless = map[string]bool{
	spaceCore: true, spaceProduction: true, spaceMaterial: true, spaceSlice: true, spaceSets: true,
}

// threeMFUnits are the units of the format in mm (3MF core specification 1.4, 3.4).
var threeMFUnits = map[string]float64{
	"": 1, "millimeter": 1, "micron": 0.001, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000,
}

// unitWords name the units of files by their mm.
var unitWords = map[float64]string{0.001: "um", 1: "mm", 10: "cm", 25.4: "inch", 304.8: "ft", 1000: "m"}

const curePlain = "export the model as plain triangles"

// modelReader reads one model part.
type modelReader struct {
	*xmltoken.Reader
	*threeMF
	part *modelPart
}

// model reads the root.
func (m *modelReader) model() {
	m.Begin()
	line := m.TagLine()
	if !m.Is(spaceCore, "model") {
		m.Stop(atLine(line, cureAgain, "<%s> where the model element of 3MF was expected", xmltoken.Clip(m.Local)))
	}
	unit := string(m.Attr("unit"))
	scale, ok := threeMFUnits[unit]
	if !ok {
		m.Stop(atLine(line, "use micron, millimeter, centimeter, inch, foot or meter", "%s is no unit", quoted(unit)))
	}
	m.part.scale = scale
	m.required(line)
	built := false
	m.Each(func() {
		switch {
		case m.Is(spaceCore, "resources"):
			m.Each(m.resource)
		case m.Is(spaceCore, "build") && m.part.root:
			built = true
			m.Each(m.item)
		}
	})
	if m.part.root && len(m.part.items) == 0 {
		what := "the build is empty: nothing would be printed"
		if !built {
			what = "there is no build: nothing would be printed"
		}
		m.Stop(atLine(m.Line(), cureAgain, "%s", what))
	}
	m.Finish()
}

// required refuses a model that cannot be understood without an extension that is not
// known here; a reader must not go on then (3MF core specification 1.4, 2.3.2).
func (m *modelReader) required(line int) {
	for _, prefix := range strings.Fields(string(m.Attr("requiredextensions"))) {
		space := m.Space([]byte(prefix))
		switch {
		case space == "":
			m.Stop(atLine(line, cureAgain, "the required extension %s is not declared", quoted(prefix)))
		case space == spaceBeams:
			m.Stop(notEvaluated(line, "the model needs beam lattices"))
		case !harmless[space]:
			m.Stop(notEvaluated(line, fmt.Sprintf("the model needs the extension %s, which is not known here", quoted(space))))
		}
	}
}

func notEvaluated(line int, why string) *Error {
	return atLine(line, curePlain, "not evaluated: %s", why)
}

// resource reads one thing that can be referred to; only objects matter.
func (m *modelReader) resource() {
	if !m.Is(spaceCore, "object") {
		return
	}
	line := m.TagLine()
	id, ok := parseID(m.Attr("id"))
	if !ok {
		m.Stop(atLine(line, cureAgain, "the object has no number from 1 on"))
	}
	if m.objects++; m.objects > maxObjects {
		m.Stop(tooManyOf("objects", line, maxObjects))
	}
	if m.part.objects[id] != nil {
		m.Stop(atLine(line, cureAgain, "there is a second object %d", id))
	}
	o := &object{kind: "model", name: m.words("name"), number: m.words("partnumber")}
	o.body = body{label: fmt.Sprintf("object %d", id), inside: m.part.name, line: line, store: &m.store}
	if kind := m.Attr("type"); kind != nil {
		o.kind = string(kind)
	}
	switch o.kind {
	case "model", "support", "solidsupport", "surface", "other":
	default:
		o.err = atLine(line, cureAgain, "%s is no type of object", quoted(o.kind))
		o.kind = "model" // and so is reported
	}
	if string(m.AttrIn(spaceSlice, "meshresolution")) == "lowres" {
		o.fail(notEvaluated(line, "the shape is given by slices, the triangles are a rough picture of it"))
	}
	m.content(o)
	o.settle()
	m.part.objects[id] = o
}

// content reads what an object is made of.
func (m *modelReader) content(o *object) {
	meshes, groups := 0, 0
	foreign := ""
	m.Each(func() {
		switch {
		case m.Is(spaceCore, "mesh"):
			if meshes++; meshes == 1 {
				m.mesh(&o.body)
			}
		case m.Is(spaceCore, "components"):
			if groups++; groups == 1 {
				m.components(o)
			}
		case !m.known():
			o.doubt(m.stranger())
			if foreign == "" {
				foreign = xmltoken.Clip(m.Local)
			}
		}
	})
	switch {
	case meshes+groups > 1:
		o.fail(atLine(o.line, cureAgain, "%s has more than one mesh or list of components", o.label))
	case meshes+groups == 0 && foreign != "":
		o.fail(notEvaluated(o.line, fmt.Sprintf("the shape is given by %s, not by triangles", foreign)))
	case meshes+groups == 0:
		o.fail(atLine(o.line, cureAgain, "%s has neither a mesh nor components", o.label))
	}
}

// known tells whether the current element says nothing about shape: it is of an
// extension of that kind, or is what the core has for words about an object.
func (m *modelReader) known() bool {
	space := m.Space(m.Prefix)
	if space == spaceCore {
		return string(m.Local) == "metadatagroup" || string(m.Local) == "metadata"
	}
	return harmless[space]
}

// stranger says of an element that it is passed over although it may be part of the shape.
func (m *modelReader) stranger() string {
	from := "which 3MF does not have there"
	if space := m.Space(m.Prefix); space != spaceCore && space != "" {
		from = fmt.Sprintf("of the extension %s, which is not known here", quoted(space))
	}
	return fmt.Sprintf("<%s> in line %d, %s, may be part of the shape; %s", xmltoken.Clip(m.Local), m.TagLine(), from, curePlain)
}

// words returns an attribute that people read.
func (m *modelReader) words(name string) string {
	return nameOf(bytes.TrimSpace(m.Attr(name)))
}

// parseID reads a number from 1 to 2^31-1 (3MF core specification 1.4, ST_ResourceID).
func parseID(b []byte) (uint32, bool) {
	n, ok := parseIndex(b)
	return n, ok && n > 0
}

// parseIndex reads a number from 0 to 2^31-1.
func parseIndex(b []byte) (uint32, bool) {
	var n uint64
	if len(b) == 0 || len(b) > 10 {
		return 0, false
	}
	for _, c := range b {
		if c-'0' > 9 {
			return 0, false
		}
		n = n*10 + uint64(c-'0')
	}
	return uint32(n), n < 1<<31
}
