// Package thin finds thin places: walls with little material between two surfaces, and
// gaps with little air between them. It looks straight into the material (or away
// from it) from points spread over the surface, and measures to where the material
// ends (or begins again), if the surface there faces the other way.
//
// Only the surface of the whole counts: what is buried in another body, or where two
// bodies touch, is no surface. Lengths are mm.
package thin

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// Sample is a point of the surface with little behind it, or in front of it.
type Sample struct {
	At mesh.Vec
	// Thick is how far it is to the opposite surface, in whole grains.
	Thick float64
	// Area is the piece of surface the sample stands for, in mm2.
	Area float64
	// Tri is the triangle it lies on, Opposite the one that faces it.
	Tri, Opposite uint32
	// Tapers says that the two surfaces are not parallel.
	Tapers bool
}

// Found is what a search found.
type Found struct {
	Medium Medium
	// Samples are in the order of triangles in the file.
	Samples []Sample
	// Near is how far apart two samples of one place can be: as far as the points
	// along a long sliver.
	Near float64
}

// Medium says what is looked for.
type Medium int

// What can be looked for.
const (
	Wall Medium = iota // material between two surfaces
	Gap                // air between two surfaces
)

// Options steer a search.
type Options struct {
	Medium Medium
	Limit  float64 // places thinner than this are found
	Jobs   int     // goroutines
	// Inverted lists the shells that are wound inside out.
	Inverted []uint32
}

const (
	// facing is the cosine of how far two surfaces may be from parallel and still make
	// a wall: 30 deg. Beyond that they are an edge or a corner of a body. Judgement,
	// no source; common edges of 45 and 60 deg stay clear of it.
	facing = 0.8660254037844387
	// Touching is how far apart, in mm, surfaces of bodies may be that are drawn to touch: text files
	// round to two decimals, and turned bodies do not meet to the last digit. A
	// twentieth of a line; judgement, no source.
	Touching = 0.02
	// parallel is the cosine of 5 deg, up to which two surfaces count as parallel.
	parallel = 0.9961946980917455
)

// finder holds what a search works on.
type finder struct {
	Options
	mesh   *mesh.Mesh
	topo   *mesh.Topology
	tree   *spatial.Tree
	closed bool
	turned []bool // by shell: wound inside out
	// resolution is how far apart two positions may be and be meant to be the same.
	resolution float64
	grain      float64
	area       float64 // of the whole surface
	spacing    float64
	facings    facingTree
	found      atomic.Int64 // samples, by all workers
	most       int64        // that may be found
}

// chunk is how many triangles a worker takes at a time. It has no part in the result.
const chunk = 2048

// What a search may cost, in units of work, and how many samples it may find, beside what
// the number of triangles allows. Of 134 real parts none takes more than a third of the
// cost nor a tenth of the samples.
const (
	searchCost = 400_000_000
	searchEach = 4000
	mostFound  = 1 << 19
	foundEach  = 2
)

// Find returns the samples thinner than the limit. They do not depend on the number of
// workers. The tree must be without spare copies of triangles. Where the surface lies
// over itself so often that this would take too long, the error wraps work.ErrTooMuch.
func Find(ctx context.Context, m *mesh.Mesh, topo *mesh.Topology, tree *spatial.Tree, opt Options) (*Found, error) {
	f := newFinder(m, topo, tree, opt)
	order := tree.Order()
	f.facings = f.newFacingTree(order)
	meter := work.Of(ctx).Part(searchCost + searchEach*int64(len(order)))
	if err := f.widen(meter, order); err != nil {
		return nil, f.tooMuch(err)
	}
	chunks := make([][]Sample, (len(order)+chunk-1)/chunk)
	work.Each(opt.Jobs, len(chunks), func() func(int) {
		p := f.sampler(meter.Tally())
		return func(i int) {
			p.out = nil
			p.triangles(order, i*chunk, min(len(order), (i+1)*chunk))
			chunks[i] = p.out
			p.close()
		}
	})
	if err := meter.Err(); err != nil {
		return nil, f.tooMuch(err)
	}
	if f.found.Load() > f.most {
		return nil, fmt.Errorf("more than %d points of its surface have another within %g mm of them: %w", f.most, f.Limit, work.ErrTooMuch)
	}
	all := make([]Sample, 0, f.found.Load())
	for i, c := range chunks {
		all = append(all, c...)
		chunks[i] = nil
	}
	slices.SortStableFunc(all, func(a, b Sample) int { return cmp.Compare(a.Tri, b.Tri) })
	return &Found{Medium: f.Medium, Samples: all, Near: sparse * f.spacing}, nil
}

func newFinder(m *mesh.Mesh, topo *mesh.Topology, tree *spatial.Tree, opt Options) *finder {
	f := &finder{Options: opt, mesh: m, topo: topo, tree: tree, closed: topo.Closed(), most: mostFound + foundEach*int64(len(m.Tris))}
	f.turned = make([]bool, len(topo.Shells))
	for _, s := range opt.Inverted {
		f.turned[s] = true
	}
	f.resolution = tree.Resolution()
	f.grain = Grain(f.resolution)
	for i := range topo.Shells {
		f.area += topo.Shells[i].Area
	}
	f.spacing = max(1, math.Sqrt(f.area/mostSamples))
	return f
}

// mostSamples bounds the samples on a very large surface, where they lie farther
// apart than 1 mm.
const mostSamples = 2e6

// mostFacing bounds them where something may face the surface, which is where they are
// kept: a square half a metre wide.
const mostFacing = 1 << 18

// widen spreads points farther apart where too much of the surface faces some other.
func (f *finder) widen(meter *work.Meter, order []uint32) error {
	if f.area <= mostFacing {
		return nil
	}
	tally, area := meter.Tally(), 0.0
	for i := 0; i < len(order); i += leafSize {
		some, steps := f.any(&f.facings.nodes[f.facings.first+i/leafSize])
		if !tally.Add(steps * stepCost) {
			break
		}
		if some {
			for _, t := range order[i:min(i+leafSize, len(order))] {
				area += f.mesh.Normal(int(t)).Len() / 2
			}
		}
	}
	f.spacing = max(f.spacing, math.Sqrt(area/mostFacing))
	return tally.Close()
}

// tooMuch gives words to a bound of work that was passed.
func (f *finder) tooMuch(err error) error {
	if !errors.Is(err, work.ErrTooMuch) {
		return err
	}
	return fmt.Errorf("too many of its faces lie over each other to search them for thin %s: %w", [...]string{"walls", "gaps"}[f.Medium], work.ErrTooMuch)
}

// Grain is the step that thicknesses are given in: 0.1 micron, unless corners that
// are meant to be the same can lie farther apart than that: then 1, 2 or 5 times a power of ten.
func Grain(resolution float64) float64 {
	for power := 1e-4; power < 1; power *= 10 {
		for _, step := range []float64{1, 2, 5} {
			if grain := power * step; grain >= resolution {
				return grain
			}
		}
	}
	return 1
}

// round brings a thickness to whole grains.
func (f *finder) round(x float64) float64 {
	per := math.Round(1 / f.grain)
	return math.Round(x*per) / per
}
