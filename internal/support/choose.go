package support

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/measure"
)

// Where a grid does more harm than good: under slopes it touches in steps, narrow it
// has no hold, slender it sways, and thin pieces break when it is pulled off. The
// limits are judgement, no source.
const (
	ceilingTilt = 75.0 // deg from vertical; flatter is a ceiling
	rounded     = 1.0  // mm between its lowest and highest point; less is flat
	narrow      = 4.0  // mm
	slenderness = 5.0  // height by width
	delicate    = 2.0  // mm of thickness
	broad       = 15.0 // mm of width, from which thin pieces get a grid all the same
)

// width is how wide a place is on average, across its longer side.
func width(b *measure.Below) float64 {
	size := b.Box.Size()
	return b.Area / max(size.X, size.Y)
}

// choose picks the kind of support for a place and says why.
func choose(b *measure.Below, drop float64) (Kind, string) {
	size, width := b.Box.Size(), width(b)
	mm := func(x float64) string { return catalog.Format(x, catalog.MM) }
	switch {
	case b.Tilt < ceilingTilt:
		return Tree, fmt.Sprintf("the underside slopes (%s from vertical): a tree touches little of it", catalog.Format(b.Tilt, catalog.Deg))
	case size.Z > rounded:
		return Tree, fmt.Sprintf("the underside is rounded or slopes (%s between its lowest and highest point): a tree touches little of it", mm(size.Z))
	case width < narrow:
		return Tree, fmt.Sprintf("only %s wide: a tree holds it with a few tips", mm(width))
	case drop > slenderness*width:
		return Tree, fmt.Sprintf("%s wide and %s above what is under it: a grid so tall and thin would sway", mm(width), mm(drop))
	}
	return Grid, fmt.Sprintf("a flat underside %s wide: a grid holds all of it and comes off in one piece", mm(width))
}
