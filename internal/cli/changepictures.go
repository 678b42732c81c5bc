package cli

import (
	"context"
	"path"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/alike"
	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

func picturesFlag(flags *pflag.FlagSet) *string {
	return flags.String("pictures", "", "save a picture of each model in `DIR`, of very many the worst 400, and two more of one whose shape changed; markdown shows them")
}

// changed draws a model before and after a change, and saves the pictures where those of
// models are saved. What cannot be drawn is left out: the words say the same.
func (g *gallery) changed(ctx context.Context, c *lint.Changed) {
	l := &c.Shape
	if l.Became == finding.SameShape && l.Factor == 1 && !l.Mirrored && l.Turned == 0 {
		return // it looks as before
	}
	before, after, err := drawChange(ctx, c, draw.Options{Width: g.size.width, Height: g.size.height, Meter: work.Of(ctx)})
	if err != nil {
		return
	}
	g.mutex.Lock()
	defer g.mutex.Unlock()
	list := g.drawn[pictureKey(c.Model)]
	if c.Nth >= len(list) {
		return
	}
	p := list[c.Nth]
	p.Before, p.After = encoded(before), encoded(after)
	if g.dir != "" && g.err == nil {
		if p.BeforeFile, g.err = g.saveChange(c, "before", before); g.err == nil {
			p.AfterFile, g.err = g.saveChange(c, "after", after)
		}
	}
}

// drawChange draws both sides of a change at one scale and from one side. A shape that
// changed is tinted where it did.
func drawChange(ctx context.Context, c *lint.Changed, opt draw.Options) (before, after *draw.Picture, err error) {
	at := alike.Placement{Factor: 1, M: mesh.Identity, Shift: mesh.VecOf(c.Shape.Moved)}
	if c.Shape.Became != finding.OtherShape {
		was, now := c.Was.Box(), c.Now.Box()
		at.Shift = now.Middle().Sub(was.Middle())
		at.Shift.Z = now.Min.Z - was.Min.Z
	}
	d, err := alike.Differ(ctx, c.Was, c.Now, at, c.Jobs)
	if err != nil {
		return nil, nil, err
	}
	was, now := draw.Tinted{Mesh: d.Was}, draw.Tinted{Mesh: d.Now}
	if c.Shape.Became == finding.OtherShape {
		was.Of = func(tri int, p mesh.Vec) draw.Tint {
			if d.OfWas(tri, p) == alike.Outside {
				return draw.Removed
			}
			return draw.Kept
		}
		now.Of = func(tri int, p mesh.Vec) draw.Tint {
			return [...]draw.Tint{alike.Kept: draw.Kept, alike.Outside: draw.Added, alike.Inside: draw.Removed}[d.OfNow(tri, p)]
		}
	}
	return draw.Change(was, now, opt)
}

// saveChange writes one side as a file of its own beside the picture of the model.
func (g *gallery) saveChange(c *lint.Changed, side string, p *draw.Picture) (string, error) {
	data, err := p.PNGWithGuides()
	if err != nil {
		return "", err
	}
	name := strings.TrimSuffix(pictureName(c.Model, c.Nth), ".png") + "-" + side + ".png"
	target := filepath.Join(g.dir, name)
	if err := g.keep.allow("--pictures", target); err != nil {
		return "", err
	}
	return path.Join(filepath.ToSlash(g.dir), name), writeFile(target, text(data))
}
