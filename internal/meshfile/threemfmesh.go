package meshfile

import (
	"bytes"
	"cmp"
	"fmt"

	"printlint/internal/mesh"
)

// mesh reads the points and triangles of a body. What is wrong with them is kept with the
// body, because others in the file may be sound.
func (m *modelReader) mesh(b *body) {
	b.point, b.first = m.store.points.len(), m.store.triangles.len()
	lists := [2]int{}
	m.Each(func() {
		switch {
		case m.Is(spaceCore, "vertices"):
			lists[0]++
			m.vertices(b)
		case m.Is(spaceCore, "triangles"):
			lists[1]++
			m.triangles(b)
		case m.Is(spaceBeams, "beamlattice"):
			b.fail(notEvaluated(m.TagLine(), "a beam lattice is part of the shape"))
		case !m.known():
			b.doubt(m.stranger())
		}
	})
	b.triangles = m.store.triangles.len() - b.first
	if lists != [2]int{1, 1} {
		b.fail(atLine(b.line, cureAgain, "the mesh of %s has %d lists of vertices and %d of triangles, it needs one each",
			b.label, lists[0], lists[1]))
	}
}

// vertices reads the points of a mesh.
func (m *modelReader) vertices(b *body) {
	for m.Child() {
		switch {
		case b.err != nil:
		case !m.Is(spaceCore, "vertex"):
			b.doubt(m.stranger())
		case m.store.points.len() >= maxCorners:
			m.Stop(tooManyPoints("file", m.TagLine()))
		default:
			var p mesh.Point
			p, b.err = m.vertex(&b.origin)
			m.store.points.add(p)
		}
		m.Skip()
	}
}

func (m *modelReader) vertex(from *origin) (p mesh.Point, err error) {
	seen := 0
	for i := range m.Attrs {
		a := &m.Attrs[i]
		if len(a.Name) != 1 || a.Name[0]-'x' > 2 {
			continue
		}
		k := a.Name[0] - 'x'
		x, ok := from.parse(a.Value, int(k), m.part.scale)
		if !ok {
			x, ok = from.parse(bytes.TrimSpace(a.Value), int(k), m.part.scale)
		}
		if !ok || x-x != 0 {
			return p, badNumber(m.TagLine(), a.Value)
		}
		p[k] = x
		seen |= 1 << k
	}
	for k := range 3 {
		if seen&(1<<k) == 0 {
			return p, atLine(m.TagLine(), cureAgain, "a vertex without %c", "xyz"[k])
		}
	}
	return p, nil
}

// triangles reads the triangles of a mesh.
func (m *modelReader) triangles(b *body) {
	points := uint32(m.store.points.len() - b.point)
	for m.Child() {
		switch {
		case b.err != nil:
		case !m.Is(spaceCore, "triangle"):
			b.doubt(m.stranger())
		default:
			t := storedTriangle{line: uint32(m.TagLine())}
			if b.err = m.triangle(&t, points); b.err == nil && !m.store.addTriangle(t) {
				m.Stop(tooMany(int(t.line), maxCorners))
			}
		}
		m.Skip()
	}
}

func (m *modelReader) triangle(t *storedTriangle, points uint32) error {
	seen := 0
	for i := range m.Attrs {
		a := &m.Attrs[i]
		if len(a.Name) != 2 || a.Name[0] != 'v' || a.Name[1]-'1' > 2 {
			continue
		}
		k := a.Name[1] - '1'
		n, ok := parseIndex(a.Value)
		if !ok {
			return atLine(int(t.line), cureAgain, "%s is no number of a vertex", quoted(a.Value))
		}
		if n >= points {
			return atLine(int(t.line), cureAgain, "the triangle names vertex %d of %d, the first is 0", n, points)
		}
		t.corners[k] = n
		seen |= 1 << k
	}
	for k := range 3 {
		if seen&(1<<k) == 0 {
			return atLine(int(t.line), cureAgain, "a triangle without v%d", k+1)
		}
	}
	// "The indices v1, v2 and v3 MUST be distinct" (3MF core specification 1.4, 4.1.4.1).
	if c := t.corners; c[0] == c[1] || c[1] == c[2] || c[2] == c[0] {
		return atLine(int(t.line), cureAgain, "the triangle names a vertex twice, v1 %d, v2 %d, v3 %d, which 3MF forbids", c[0], c[1], c[2])
	}
	return nil
}

// reference reads what components and items share: which object, and where to.
func (m *modelReader) reference(line int) (*object, affine, error) {
	id, ok := parseID(m.Attr("objectid"))
	if !ok {
		return nil, identity, atLine(line, cureAgain, "%s is no number of an object", quoted(m.Attr("objectid")))
	}
	move, err := m.transform(line)
	if err != nil {
		return nil, identity, err
	}
	o, err := m.object(m.part, string(m.AttrIn(spaceProduction, "path")), id, line)
	return o, move, err
}

// transform reads twelve numbers; the last three are lengths.
func (m *modelReader) transform(line int) (affine, error) {
	text := m.Attr("transform")
	if text == nil {
		return identity, nil
	}
	words := bytes.Fields(text)
	var out affine
	if len(words) != len(out) {
		return identity, atLine(line, cureAgain, "the transform has %d numbers, it needs %d", len(words), len(out))
	}
	for i, w := range words {
		x, ok := parse64(w)
		if i >= 9 {
			x *= m.part.scale
		}
		if !ok || x-x != 0 {
			return identity, badNumber(line, w)
		}
		out[i] = x
	}
	if out.volume() == 0 {
		return identity, atLine(line, cureAgain, "the transform flattens the object")
	}
	return out, nil
}

// components reads the objects that an object is put together from.
func (m *modelReader) components(o *object) {
	left := int64(0)
	m.Each(func() {
		if !m.Is(spaceCore, "component") {
			o.doubt(m.stranger())
			return
		}
		line := m.TagLine()
		if m.placed++; m.placed > maxPlaced {
			m.Stop(tooManyOf("components", line, maxPlaced))
			return
		}
		c, move, err := m.reference(line)
		switch {
		case err != nil:
			o.fail(err)
		case o.kind == "model" && (c.kind == "support" || c.kind == "solidsupport"):
			left += c.total
		default:
			o.placed = append(o.placed, placed{&c.body, move, line})
		}
	})
	if left > 0 {
		o.notes = append(o.notes, fmt.Sprintf("left out %s of support", plural(left, "triangle")))
	}
}

// item reads one object to be built.
func (m *modelReader) item() {
	if !m.Is(spaceCore, "item") {
		m.part.undecided = cmp.Or(m.part.undecided, m.stranger())
		return
	}
	it := item{line: m.TagLine(), number: m.words("partnumber")}
	if len(m.part.items) == maxItems {
		m.Stop(atLine(it.line, cureSeveral, "the build has more than %d models", maxItems))
		return
	}
	it.object, it.move, it.err = m.reference(it.line)
	m.part.items = append(m.part.items, it)
}
