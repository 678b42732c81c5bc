package measure

import (
	"slices"

	"printlint/internal/measure/hang"
	"printlint/internal/work"
)

// undersides is all that hangs, gathered by the tilt from which it does. The budget of the
// collectors and the distances that bridges are asked for are those of the whole sweep.
type undersides struct {
	budget  *hang.Budget
	reaches []float64 // rising, each once
}

type undersidesKey struct{}

// overhangs is what hangs from one tilt on.
type overhangs struct {
	*undersides
	stack     *stack
	collector *hang.Collector
	patches   store // by bridgeKey
}

// bridgeKey is the key of what hangs where bridges up to so many mm carry what is laid beside
// them.
type bridgeKey float64

// tiltKey is the key of what hangs from that many degrees from vertical on.
type tiltKey float64

// hanging gathers undersides tilted more than the given degrees from vertical.
func hanging(s *stack, degrees float64) *overhangs {
	return shared(&s.parts, tiltKey(degrees), func() *overhangs {
		all := shared(&s.parts, undersidesKey{}, func() *undersides {
			u := &undersides{budget: hang.NewBudget(work.Of(s.ctx), len(s.mesh.Tris))}
			s.atTop = append(s.atTop, u.budget.Close)
			return u
		})
		s.angles++
		if s.unfit = fitAngles(&s.grid, s.angles); s.unfit != nil {
			return &overhangs{undersides: all, stack: s}
		}
		c := visit(s, hang.NewCollector(&s.grid, s.tops(), s.carriers(), all.budget, degrees))
		s.minTilt = min(s.minTilt, c.Tilt())
		s.laid.atEnd = append(s.laid.atEnd, c.GiveBack)
		return &overhangs{undersides: all, stack: s, collector: c}
	})
}

// bridged asks for the bridges of what lies farther than reach mm from an anchor.
func (u *undersides) bridged(reach float64) {
	if i, ok := slices.BinarySearch(u.reaches, reach); !ok {
		u.reaches = slices.Insert(u.reaches, i, reach)
	}
}

// weighed returns the patches, weighed once for all processes with the same bridges.
func (l *overhangs) weighed(s *stack) ([]hang.Patch, error) {
	return once(&l.patches, bridgeKey(s.process.Bridge), func() ([]hang.Patch, error) {
		list, err := l.collector.Patches(work.Of(s.ctx), s.mesh, hang.Options{Least: l.least(), Reaches: l.reaches, ShortBridge: s.process.Bridge})
		for i := range list {
			points := []*hang.PatchPoint{&list[i].RestAt}
			for k := range list[i].Bridges {
				points = append(points, &list[i].Bridges[k].At)
			}
			for _, p := range points {
				if p.Layer > 0 && err == nil {
					p.At, p.Tri, err = s.underside(p.At, p.Layer)
				}
			}
		}
		return list, err
	})
}

// least is the distance in mm from an anchor within which nothing counts as hanging.
func (l *overhangs) least() float64 { return l.stack.process.Line + l.stack.grid.Cell }

// site takes a patch to the file's own frame.
func (l *overhangs) site(p *hang.Patch, spot hang.PatchPoint) Site {
	place := &l.stack.place
	return Site{At: place.Back(spot.At), Box: place.BackBox(p.Box), Tris: clipTris(spot.Tri, p.Tris),
		Below: &Below{Air: p.Air, Area: p.Area, OnBed: p.OnBed, Tilt: p.Tilt, At: spot.At, Box: p.Box}}
}

// clipTris bounds the triangles of a site. The first is at its point, and may be among the rest.
func clipTris(first uint32, rest []uint32) []uint32 {
	return append([]uint32{first}, rest[:min(len(rest), MaxTris)]...)
}
