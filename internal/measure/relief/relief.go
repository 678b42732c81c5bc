// Package relief finds detail on flat faces: letters, marks and ribs that stand out a little
// from a larger flat face around them, or are sunk into it. Lengths are mm.
//
// Triangles that meet flat make one face. A face is a detail where most of its outline goes
// down a wall to a larger face that looks the same way, or up a wall to one, everywhere by the
// same small step.
package relief

import (
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/measure/facet"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// Detail is one stroke, letter or mark.
type Detail struct {
	At     mesh.Vec // the middle of its box
	Normal mesh.Vec // where that looks
	Step   float64  // to the face around: above 0 where it is raised, below where it is sunk
	Stroke float64  // how wide its strokes are
	Area   float64  // mm2
	Tris   []uint32 // of its face
	Box    mesh.Box
}

const (
	// Least and Most bound the step: less is how a mesh is rounded, more is a wall or a pocket.
	// Judgement, no source.
	Least, Most = 0.05, 2
	// Widest bounds the stroke: what is wider is a pad or a pocket, and prints whatever its step
	// is. Judgement, no source; strokes that wide belong to letters 20 mm tall.
	Widest = 3
	// speck is the area in mm2 up to which a face is left out: less than a square as wide as a line,
	// and often a trace of how the mesh was cut. Judgement, no source.
	speck = 0.1
	// around is how much of the outline must agree: a step that spans a plate has less, a rib that
	// runs off its edges more. Judgement, no source.
	around = 0.85
	// other is how much of the outline may go the other way: a groove that runs off a plate has
	// less, the floor of a counterbore more. Judgement, no source.
	other = 0.1
	// larger is how many times as large the face around is at least. Judgement, no source.
	larger = 2
	// steep is the cosine of the bend from which an edge is the edge of a wall, 45 deg.
	steep = 0.7071
	// even is how far corners may stand off the plane of a face, in mm, and same how far the steps
	// along its outline may differ.
	even, same = 0.02, 0.03
	// eachCost is what a triangle costs in work, about.
	eachCost = 70
)

// finder holds what a search works on.
type finder struct {
	*facet.Faces
	query  spatial.Query
	pieces geom.Sets[uint32]
	areas  []float32 // by the root of a face
	stamps []uint32  // by vertex: the face that saw it last
	rim    []uint32  // half-edges along the outline of a face
	along  []float64 // how long it is up to the end of each
}

// candidate is a face that may be a detail, with the root of the face around it.
type candidate struct {
	Detail
	root, base   uint32
	raised, sunk bool // what the walls along its outline allow
}

// Find returns the details of a surface, in the order of their first triangles.
func Find(faces *facet.Faces, tree *spatial.Tree, tally *work.Tally) (list []Detail) {
	if !tally.Add(eachCost * int64(len(faces.Mesh.Tris))) {
		return nil
	}
	f := &finder{Faces: faces, query: spatial.Query{Tree: tree}, stamps: make([]uint32, len(faces.Mesh.Verts))}
	f.group()
	var found []candidate
	stamp := uint32(0)
	facet.Pieces(f.pieces, func(root uint32) bool { return f.areas[root] >= speck }, func(tris []uint32) {
		if stamp++; tally.Err() != nil {
			return
		}
		if c := (candidate{root: tris[0]}); f.fits(&c, tris, stamp) && f.steps(&c, tally) {
			c.Tris, c.At = tris, c.Box.Middle()
			found = append(found, c)
		}
	})
	// What lies on a detail, such as the middle of a sunken letter, is none of its own.
	for i := range found {
		_, on := slices.BinarySearchFunc(found, found[i].base, func(c candidate, root uint32) int { return int(c.root) - int(root) })
		if !on {
			list = append(list, found[i].Detail)
		}
	}
	return list
}

// group joins triangles that meet flat, and adds up the area of each face.
func (f *finder) group() {
	n := len(f.Mesh.Tris)
	f.pieces = make(geom.Sets[uint32], 0, n).Grow(n)
	for h, twin := range f.Topo.Twin {
		if twin == mesh.None || twin < uint32(h) {
			continue
		}
		if f.Normal(uint32(h)/3).Dot(f.Normal(twin/3)) >= facet.Flat {
			f.pieces.Join(uint32(h)/3, twin/3)
		}
	}
	f.areas = make([]float32, n)
	for t := range n {
		f.areas[f.pieces.Root(uint32(t))] += float32(f.Mesh.Normal(t).Len() / 2)
	}
}

// outline is what bounds a face: how long it is, and how much of it goes up walls or down.
type outline struct {
	corners              int // of all its triangles
	long, up, down, open float64
}

// fits tells whether a face is flat, narrow enough, and mostly bounded by walls that all go up
// or all go down; it fills in all but its step.
func (f *finder) fits(c *candidate, tris []uint32, stamp uint32) bool {
	if c.Normal = f.Normal(c.root); c.Normal == (mesh.Vec{}) {
		return false
	}
	var o outline
	f.rim, f.along, c.Box = f.rim[:0], f.along[:0], mesh.EmptyBox()
	height := f.corner(c.root).Dot(c.Normal)
	for _, t := range tris {
		c.Area += f.Mesh.Normal(int(t)).Len() / 2
		for h := 3 * t; h < 3*t+3; h++ {
			if v := f.Mesh.Tris[t][h%3]; f.stamps[v] != stamp {
				f.stamps[v] = stamp
				o.corners++
				p := mesh.Of64(f.Mesh.Verts[v])
				if math.Abs(p.Dot(c.Normal)-height) > even {
					return false
				}
				c.Box.Include(p)
			}
			if twin := f.Topo.Twin[h]; twin == mesh.None || f.pieces.Root(twin/3) != c.root {
				f.bound(&o, h, twin)
			}
		}
	}
	c.raised = o.down+o.open >= around*o.long && o.up <= other*o.long
	c.sunk = o.up+o.open >= around*o.long && o.down <= other*o.long
	if !c.raised && !c.sunk {
		return false
	}
	// Corners less edges plus triangles, which is 1 less the holes of the face.
	c.Stroke = stroke(c.Area, o.long, float64(o.corners)-float64(len(tris)+len(f.rim))/2)
	return c.Stroke > 0 && c.Stroke <= Widest
}

func (f *finder) corner(t uint32) mesh.Vec { return mesh.Of64(f.Mesh.Verts[f.Mesh.Tris[t][0]]) }

// bound adds a half-edge to the outline.
func (f *finder) bound(o *outline, h, twin uint32) {
	_, way := f.Edge(h)
	length := way.Len()
	o.long += length
	f.rim, f.along = append(f.rim, h), append(f.along, o.long)
	if twin == mesh.None { // either, where bodies only touch
		o.open += length
		return
	}
	switch cos, valley := f.Bend(h, twin); {
	case cos >= steep:
	case valley:
		o.up += length
	default:
		o.down += length
	}
}

// stroke is the width of a line that has a given area and an outline of a given length. Of
// strokes that meet in any way, each square at its ends, it holds that
//
//	area = width * outline / 2 - width^2 * (1 - holes)
//
// What is rounder than a square has that of a disc or square as large: four times the area by
// the outline.
func stroke(area, outline, lessHoles float64) float64 {
	half := outline / 2
	root := float64(half*half) - 4*float64(lessHoles*area)
	return 2 * area / (half + math.Sqrt(max(0, root)))
}

// looks is at how many places along its outline a face is compared with that around it, and
// missing at how many of them it may differ.
const looks, missing = 16, 2

// steps looks from above at the face around a candidate, and tells whether it lies one step
// off nearly everywhere.
func (f *finder) steps(c *candidate, tally *work.Tally) bool {
	var step [looks]float64
	var base [looks]uint32
	n, missed := 0, 0
	long := f.along[len(f.along)-1]
	for k := range looks {
		at := float64(long * (float64(k) + 0.5) / looks)
		i, _ := slices.BinarySearch(f.along, at)
		d, root, ok := f.look(c, f.rim[i], f.along[i]-at)
		if ok {
			step[n], base[n] = d, root
			n++
		} else if missed++; missed > missing {
			break
		}
	}
	cost := f.query.Cost
	f.query.Cost = 0
	if !tally.Add(cost) || missed > missing {
		return false
	}
	return f.agree(c, step[:n], base[:n])
}

// agree tells whether enough of the steps are the same and lead to a larger face.
func (f *finder) agree(c *candidate, step []float64, base []uint32) bool {
	sorted := slices.Clone(step)
	slices.Sort(sorted)
	c.Step = sorted[len(sorted)/2]
	n, ground, most := 0, 0.0, float32(-1)
	for i, d := range step {
		if math.Abs(d-c.Step) > same {
			continue
		}
		n++
		if area := f.areas[base[i]]; area > most || area == most && base[i] < c.base {
			most, c.base = area, base[i]
		}
		if !slices.Contains(base[:i], base[i]) {
			ground += float64(f.areas[base[i]])
		}
	}
	size := math.Abs(c.Step)
	if c.Step > 0 && !c.raised || c.Step < 0 && !c.sunk {
		return false
	}
	return n >= looks-missing && size >= Least && size <= Most && ground >= larger*c.Area
}

// aside are how far beside an outline a look goes: past a wall that stands square, or leans.
var aside = [2]float64{0.03, 0.4}

// look looks down from above a point just outside the outline: how far the candidate stands
// above what is there, and the root of that face; ok where it looks the same way, and nothing
// lies over the candidate beside that point.
func (f *finder) look(c *candidate, h uint32, before float64) (step float64, root uint32, ok bool) {
	from, way := f.Edge(h)
	unit := way.Unit()
	at := from.Add(unit.Scale(way.Len() - before))
	out := unit.Cross(c.Normal)
	for _, by := range aside {
		if step, root, ok = f.down(c, at.Add(out.Scale(by))); ok {
			break
		}
	}
	if ok {
		_, own, seen := f.down(c, at.Sub(out.Scale(aside[0])))
		ok = seen && own == c.root
	}
	return step, root, ok
}

// down looks at a candidate's plane from above it: how far below what is seen there lies, and
// the root of that face; ok where it looks the same way.
func (f *finder) down(c *candidate, at mesh.Vec) (step float64, root uint32, ok bool) {
	const height = Most + 0.05
	hit, ok := f.query.RayPast(at.Add(c.Normal.Scale(height)), c.Normal.Scale(-1), 0, 2*height, mesh.None)
	if !ok || f.Normal(hit.Tri).Dot(c.Normal) < facet.Flat {
		return 0, 0, false
	}
	return hit.T - height, f.pieces.Root(hit.Tri), true
}
