package alike

import (
	"context"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// Part is what a place of a surface is beside another shape.
type Part int

// What a place can be.
const (
	Kept    Part = iota // on the surface of the other shape too
	Outside             // of the other shape
	Inside              // the other shape
)

// Difference tells of each place of two shapes what it is beside the other one.
type Difference struct {
	// Was is the former shape as it was placed, Now the present one.
	Was, Now         *mesh.Mesh
	was, now         *spatial.Tree
	keptWas, keptNow []bool // triangles that both have
}

// Differ places the former shape and makes both ready to be asked. The work counts for the
// meter of the context.
func Differ(ctx context.Context, was, now *mesh.Mesh, at Placement, jobs int) (*Difference, error) {
	placed := was.Mapped(at.To)
	p := &pair{ctx: ctx, was: sideOf(placed), now: sideOf(now), jobs: jobs}
	for _, s := range []*side{p.was, p.now} {
		if err := p.grow(s); err != nil {
			return nil, err
		}
	}
	d := &Difference{Was: placed, Now: now, was: p.was.tree, now: p.now.tree,
		keptWas: make([]bool, len(was.Tris)), keptNow: make([]bool, len(now.Tris))}
	from := make([]uint32, len(was.Verts))
	for _, v := range p.was.corners.list {
		near, ok := p.now.corners.find(mesh.Of64(placed.Verts[v]), p.looseAt(1))
		if from[v] = near; !ok {
			from[v] = mesh.None - v // a corner that the other shape has not
		}
	}
	bothHave(p.was.faces(from, false), p.now.faces(nil, false), func(a, b *face) { d.keptWas[a.tri], d.keptNow[b.tri] = true, true })
	return d, nil
}

// OfNow says what a point on a triangle of the present shape is beside the former one.
func (d *Difference) OfNow(tri int, p mesh.Vec) Part { return partOf(d.was, d.keptNow[tri], p) }

// OfWas says what a point on a triangle of the former shape is beside the present one.
func (d *Difference) OfWas(tri int, p mesh.Vec) Part { return partOf(d.now, d.keptWas[tri], p) }

// across is a direction that no usual face or edge runs along.
var across = mesh.Vec{X: 0.3713906763541037, Y: 0.5570860145311556, Z: 0.7427813527082074}

func partOf(other *spatial.Tree, kept bool, p mesh.Vec) Part {
	if kept {
		return Kept
	}
	if _, _, d := other.Nearest(p); d <= nearly {
		return Kept
	}
	if other.Winding(p, across) != 0 {
		return Inside
	}
	return Outside
}
