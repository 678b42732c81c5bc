package verdict

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/mesh"
)

// The grid on which a finding's place is rounded for its fingerprint. It is coarse
// because the place moves a little with every new export: sites come from layers
// and cells, and turning the model lays these afresh.
const (
	gridHeight = 2.0 // mm, along z
	gridRadius = 8.0 // mm, away from the middle
	// gridShift moves the lines of the grid, in mm, off the round coordinates that
	// people draw with: nearly a quarter from any half millimetre, and irrational
	// (the root of 5, less 2), so that no layer height lands on a line either. Within it
	// of the middle there is no line: places in the middle of a symmetric model stay alike.
	gridShift = 0.2360679774997897
)

// origin is the point of a model that moves and turns with it, with what the model is
// known by.
type origin struct {
	x, y       float64 // centroid of the surface
	floor, top float64 // lowest and highest z
	surface    float64 // its area
}

// originOf takes the centroid by area, so that splitting a triangle changes nothing.
func originOf(m *mesh.Mesh) origin {
	if len(m.Verts) == 0 { // it was not opened
		return origin{}
	}
	c, box := m.Centroid(), m.Box()
	return origin{c.X, c.Y, box.Min.Z, box.Max.Z, m.Area()}
}

// locate says where a point lies within its model.
func (o *origin) locate(p mesh.Vec) finding.Location {
	height, top := p.Z-o.floor, o.top-p.Z
	return finding.Location{Height: height, Top: top, Radius: math.Hypot(p.X-o.x, p.Y-o.y), Tall: height + top, Surface: o.surface}
}

// rounded is a location as it is written down.
func rounded(l *finding.Location) finding.Location {
	return finding.Location{
		Height: finding.Round(l.Height), Top: finding.Round(l.Top), Radius: finding.Round(l.Radius), Size: finding.Round(l.Size),
		Tall: finding.Round(l.Tall), Surface: finding.Round(l.Surface), Whole: l.Whole,
	}
}

func line(x, step float64) int64 { return int64(math.Floor((x - gridShift) / step)) }

// stamp gives every finding of a model its fingerprint: the hash of the rule, the
// part and the cell its place falls in. Findings that share a cell are numbered by
// place and values, never by a triangle's number, which a new export would change.
func stamp(part string, found []Hit) {
	order := make([]int, len(found))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return byLocation(&found[a], &found[b]) })
	seen := map[string]int{}
	for _, i := range order {
		h := &found[i]
		key := fmt.Sprintf("%s\x00%d\x00%d", part, line(h.Location.Height, gridHeight), max(line(h.Location.Radius, gridRadius), 0))
		seen[h.Rule+"\x00"+key]++
		h.Fingerprint = Fingerprint(h.Rule, key, seen[h.Rule+"\x00"+key])
	}
}

// Fingerprint is that of the finding of that number among those of a rule that have the
// same key.
func Fingerprint(rule, key string, number int) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\x00%s\x00%d", rule, key, number))
	return hex.EncodeToString(sum[:8])
}

func byLocation(a, b *Hit) int {
	return cmp.Or(
		cmp.Compare(finding.Round(a.Location.Height), finding.Round(b.Location.Height)),
		cmp.Compare(finding.Round(a.Location.Radius), finding.Round(b.Location.Radius)),
		compareValues(a.Values, b.Values),
	)
}
