package cli

import (
	"context"
	"math"

	"printlint/internal/advise"
	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
)

// proposed draws what is advised to change in the shape. What cannot be drawn is left out: the
// words say the same.
func proposed(ctx context.Context, s *lint.Judged, opt draw.Options) (p draw.Proposed) {
	a := s.Model.Advice
	if a.Cut != nil {
		p.Off, p.Stands = flatPictures(ctx, s, a.Cut, opt)
	}
	if a.Split != nil {
		p.Planes, p.Laid = piecePictures(ctx, s, a.Split, opt)
	}
	if a.Edits != nil {
		p.Without, p.With = solidPictures(ctx, s, a.Edits, opt)
	}
	return p
}

// both draws two scenes; nil where one cannot be drawn.
func both(one, two draw.Scene, opt draw.Options) (first, second *draw.Encoded) {
	a, err := one.Draw(opt)
	if err != nil {
		return nil, nil
	}
	b, err := two.Draw(opt)
	if err != nil {
		return nil, nil
	}
	return encoded(a[0]), encoded(b[0])
}

// flatPictures are a close-up of what is cut off the bottom, and what is left, from below.
func flatPictures(ctx context.Context, s *lint.Judged, c *finding.Cut, opt draw.Options) (off, stands *draw.Encoded) {
	rest, err := advise.CutOff(ctx, s.Mesh, c)
	if err != nil {
		return nil, nil
	}
	posed, _ := s.Mesh.Posed(c.Pose.Matrix)
	cut := draw.Scene{
		Shapes: []draw.Tinted{{
			Mesh: posed, Sheets: []draw.Sheet{{Normal: mesh.Vec{Z: 1}, Offset: c.Height}},
			Of: func(_ int, p mesh.Vec) draw.Tint {
				if p.Z < c.Height {
					return draw.Removed
				}
				return draw.Kept
			},
		}},
		Views: draw.FromBeside(), Focus: foot(posed, c.Height),
	}
	left := draw.Scene{
		Shapes: []draw.Tinted{{
			Mesh: rest,
			Of: func(t int, _ mesh.Vec) draw.Tint {
				if a, b, c := rest.Corners(t); max(a.Z, b.Z, c.Z) == 0 {
					return draw.Standing
				}
				return draw.Kept
			},
		}},
		Views: draw.FromBelow(),
	}
	return both(cut, left, opt)
}

// foot is the box around what lies below a height, with room above and around it.
func foot(m *mesh.Mesh, height float64) mesh.Box {
	low := mesh.EmptyBox()
	for _, v := range m.Verts {
		if p := mesh.Of64(v); p.Z <= height {
			low.Include(p)
		}
	}
	size := low.Size()
	wide := max(size.X, size.Y, 6*height)
	low = low.Grow(wide / 12)
	low.Min.Z, low.Max.Z = -float64(0.1*wide), float64(0.42*wide)
	return low
}

// piecePictures are the model with the planes to cut it along, and its pieces as they print.
func piecePictures(ctx context.Context, s *lint.Judged, f *finding.Split, opt draw.Options) (planes, laid *draw.Encoded) {
	pieces, inPlace, err := advise.Shown(ctx, s.Mesh, f)
	if err != nil {
		return nil, nil
	}
	whole := joined(inPlace)
	for _, p := range f.Planes {
		whole.Sheets = append(whole.Sheets, draw.Sheet{Normal: mesh.VecOf(p.Normal), Offset: p.Offset})
	}
	return both(
		draw.Scene{Shapes: []draw.Tinted{whole}, Views: draw.FromAbove()},
		draw.Scene{Shapes: []draw.Tinted{joined(inRows(pieces))}, Views: []draw.View{draw.InFront()}}, opt)
}

// joined are several bodies as one, each tinted as a piece.
func joined(list []*mesh.Mesh) draw.Tinted {
	all := &mesh.Mesh{}
	var of []draw.Tint
	for i, m := range list {
		all.Append(m)
		for range m.Tris {
			of = append(of, draw.Piece(i))
		}
	}
	return draw.Tinted{Mesh: all, Of: func(t int, _ mesh.Vec) draw.Tint { return of[t] }}
}

// inRows lays bodies side by side on the bed, in as many rows as make them largest in a picture.
func inRows(list []*mesh.Mesh) []*mesh.Mesh {
	var best []*mesh.Mesh
	least := math.Inf(1)
	for rows := 1; rows <= len(list); rows++ {
		laid, size := rowsOf(list, (len(list)+rows-1)/rows)
		// As draw.InFront shows it, where a picture is four wide and three high.
		wide := float64(0.96*size.X) + float64(0.28*size.Y)
		high := float64(0.13*size.X) + float64(0.45*size.Y) + float64(0.88*size.Z)
		if need := max(wide/4, high/3); need < least {
			best, least = laid, need
		}
	}
	return best
}

// rowsOf lays so many bodies in a row, the first row at the back, where none hides it.
func rowsOf(list []*mesh.Mesh, most int) (laid []*mesh.Mesh, size mesh.Vec) {
	var largest, sum float64
	for _, m := range list {
		s := m.Box().Size()
		largest, sum = max(largest, s.X, s.Y), sum+s.X+s.Y
	}
	gap := float64(0.15 * min(largest, sum/float64(2*len(list))))
	x, y, deep := 0.0, 0.0, 0.0
	box := mesh.EmptyBox()
	for i, m := range list {
		own := m.Box()
		if i%most == 0 && i > 0 {
			x, y, deep = 0, y-deep-gap-float64(1.2*tallest(list[i:min(i+most, len(list))])), 0
		}
		if i%most > 0 {
			x += float64(0.5 * own.Size().Z) // what it hides to its left
		}
		by := mesh.Vec{X: x - own.Min.X, Y: y - own.Max.Y, Z: -own.Min.Z}
		moved := m.Mapped(func(v mesh.Vec) mesh.Vec { return v.Add(by) })
		laid = append(laid, moved)
		x, deep = x+own.Size().X+gap, max(deep, own.Size().Y)
		box.IncludeBox(moved.Box())
	}
	return laid, box.Size()
}

func tallest(list []*mesh.Mesh) (z float64) {
	for _, m := range list {
		z = max(z, m.Box().Size().Z)
	}
	return z
}

// solidPictures are the model without and with the changes that are advised, in the way up they
// are for.
func solidPictures(ctx context.Context, s *lint.Judged, e *finding.Edits, opt draw.Options) (without, with *draw.Encoded) {
	posed, _ := s.Mesh.Posed(e.Pose.Matrix)
	added := &mesh.Mesh{}
	var away [][][4]float64
	for i := range e.List {
		if e.List[i].Away != nil {
			away = append(away, e.List[i].Away)
			continue
		}
		solid := &mesh.Triangles{}
		for _, p := range e.List[i].Solid {
			solid.Corners = append(solid.Corners, p)
		}
		added.Append(mesh.Weld(solid))
	}
	rest, bared, err := advise.Pointed(ctx, posed, away)
	if err != nil || len(e.List) == 0 {
		return nil, nil
	}
	own := len(rest.Tris)
	all := &mesh.Mesh{}
	all.Append(rest)
	all.Append(added)
	now := draw.Tinted{Mesh: all}
	tints := make([]draw.Tint, len(all.Tris))
	for t := range tints {
		switch {
		case t >= own:
			tints[t] = draw.Added
		case bared(t):
			tints[t] = draw.Removed
		default:
			tints[t] = draw.Kept
			continue
		}
		now.Through = append(now.Through, uint32(t))
	}
	now.Of = func(t int, _ mesh.Vec) draw.Tint { return tints[t] }
	scene := draw.Scene{Shapes: []draw.Tinted{{Mesh: posed}, now}, Views: append(draw.FromAbove(), draw.FromBelow()...)}
	list, err := scene.Draw(opt)
	if err != nil {
		return nil, nil
	}
	return encoded(list[0]), encoded(list[1])
}
