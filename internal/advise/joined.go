package advise

import (
	"slices"

	"printlint/internal/mesh"
)

// samePlane is the cosine of how far a face beside one that is moved may turn with it.
const samePlane = 1 - 1e-5

// joined is the model with solids added. Where a face can be moved out so that all faces beside it
// stay in their planes, as somebody would draw it, it is moved: many solids that overlap the model
// are slow to measure.
func (e *editor) joined(list []*edit) *mesh.Mesh {
	m := &mesh.Mesh{Tris: slices.Clone(e.posed.Tris)}
	move := slices.Clone(list)
	for {
		var of []int32
		m.Verts, of = e.moved(move)
		bent := e.bent(m, of)
		if len(bent) == 0 {
			break
		}
		for _, k := range bent {
			move[k] = nil
		}
	}
	for i, c := range list {
		if move[i] == nil || len(c.moves) == 0 {
			m.Append(c.solid)
		}
	}
	return m
}

// moved are the corners of the model, moved by all edits but those that are nil, and which edit
// moves each, -1 for none.
func (e *editor) moved(list []*edit) (verts []mesh.Point, of []int32) {
	verts, of = slices.Clone(e.posed.Verts), slices.Repeat([]int32{-1}, len(e.posed.Verts))
	for k, c := range list {
		if c == nil {
			continue
		}
		for _, v := range c.moves {
			from, now := mesh.Of64(e.posed.Verts[v.Vert]), mesh.Of64(verts[v.Vert])
			// Two places may be thin for the same face: it is moved once.
			if now.Sub(from).Dot(v.By) < 0.99*v.By.Dot(v.By) {
				verts[v.Vert] = mesh.Of32(now.Add(v.By))
			}
			of[v.Vert] = int32(k)
		}
	}
	return verts, of
}

// bent are the edits that turn a triangle out of its plane, or over, each once.
func (e *editor) bent(m *mesh.Mesh, of []int32) (list []int32) {
	for i, t := range m.Tris {
		k := max(of[t[0]], of[t[1]], of[t[2]])
		if k < 0 || slices.Contains(list, k) {
			continue
		}
		if n := e.posed.Normal(i); n.Len() > 0 && m.Normal(i).Unit().Dot(n.Unit()) < samePlane {
			list = append(list, k)
		}
	}
	return list
}
