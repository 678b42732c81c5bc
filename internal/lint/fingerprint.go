package lint

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
	// (the root of 5, less 2), so that no layer height lands on a line either.
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
	c, box := m.Centroid(), m.Box()
	return origin{c.X, c.Y, box.Min.Z, box.Max.Z, m.Area()}
}

// spot is where a finding stands within its model: height and distance from the middle,
// and how far below the top, all unchanged when the model is moved or turned about z.
type spot struct{ height, radius, top, surface float64 }

func (o origin) spot(p mesh.Vec) spot {
	return spot{p.Z - o.floor, math.Hypot(p.X-o.x, p.Y-o.y), o.top - p.Z, o.surface}
}

func (s spot) cell() (height, radius int64) {
	return line(s.height, gridHeight), line(s.radius, gridRadius)
}

func line(x, step float64) int64 { return int64(math.Floor((x - gridShift) / step)) }

// stamp gives every finding of a model its fingerprint: the hash of the rule, the
// part and the cell its place falls in. Findings that share a cell are numbered by
// place and values, never by a triangle's number, which a new export would change.
func stamp(part string, found []hit) {
	order := make([]int, len(found))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return bySpot(&found[a], &found[b]) })
	seen := map[string]int{}
	for _, i := range order {
		h := &found[i]
		height, radius := h.spot.cell()
		key := fmt.Sprintf("%s\x00%d\x00%d", part, height, radius)
		seen[h.Rule+"\x00"+key]++
		h.Fingerprint = keyed(h.Rule, key, seen[h.Rule+"\x00"+key])
	}
}

// keyed is the fingerprint of the finding of that number among those of a rule that have
// the same key.
func keyed(rule, key string, number int) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\x00%s\x00%d", rule, key, number))
	return hex.EncodeToString(sum[:8])
}

func bySpot(a, b *hit) int {
	return cmp.Or(
		cmp.Compare(finding.Round(a.spot.height), finding.Round(b.spot.height)),
		cmp.Compare(finding.Round(a.spot.radius), finding.Round(b.spot.radius)),
		compareValues(a.Values, b.Values),
	)
}
