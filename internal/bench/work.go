package main

import (
	"context"
	"errors"
	"fmt"
	"math"

	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/spatial"
)

// read returns the triangles of the one model of a file.
func read(path string) (*mesh.Triangles, error) {
	f, err := meshfile.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	parts, err := meshfile.Read(path, f, meshfile.Options{})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(parts) != 1 {
		return nil, fmt.Errorf("%s holds %d models; one is timed at a time", path, len(parts))
	}
	if err := parts[0].Load(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return parts[0].Triangles, nil
}

func prepareRead(path string) (round, error) {
	return func() (summary, error) {
		s, err := read(path)
		return func() string { return fmt.Sprintf("%d triangles", s.Count()) }, err
	}, nil
}

func prepareWeld(path string) (round, error) {
	s, err := read(path)
	return func() (summary, error) { return weld(s), nil }, err
}

// prepareLoad is read and weld in one.
func prepareLoad(path string) (round, error) {
	return func() (summary, error) {
		s, err := read(path)
		if err != nil {
			return nil, err
		}
		return weld(s), nil
	}, nil
}

// weld joins equal corners and finds the edges.
func weld(s *mesh.Triangles) summary {
	m := mesh.Weld(s)
	t := m.Topology()
	return func() string {
		state := "open"
		if t.Closed() {
			state = "closed"
		}
		return fmt.Sprintf("%d vertices, %d edges, %s", len(m.Verts), edges(t), state)
	}
}

// edges counts each edge once, however many triangles it has.
func edges(t *mesh.Topology) int {
	shared := 0
	for _, h := range t.Twin {
		if h != mesh.None {
			shared++
		}
	}
	return shared/2 + len(t.Open) + t.CrowdedEdges()
}

func welded(path string) (*mesh.Mesh, error) {
	s, err := read(path)
	if err != nil {
		return nil, err
	}
	return mesh.Weld(s), nil
}

func prepareTree(path string) (round, error) {
	m, err := welded(path)
	return func() (summary, error) {
		t, err := spatial.Build(m, nil, 1)
		return func() string { return fmt.Sprintf("%d triangles", t.Triangles()) }, err
	}, err
}

// prepareRays times one ray from the middle of each triangle straight inward.
func prepareRays(path string) (round, error) {
	m, err := welded(path)
	if err != nil {
		return nil, err
	}
	t, err := spatial.Build(m, nil, 1)
	return func() (summary, error) {
		sum, misses := 0.0, 0
		for i := range m.Tris {
			p, q, r := m.Corners(i)
			from := p.Add(q).Add(r).Scale(1. / 3)
			hit, ok := t.RayPast(from, m.Normal(i).Unit().Scale(-1), 1e-4, math.Inf(1), uint32(i))
			if ok {
				sum += hit.T
			} else {
				misses++
			}
		}
		hits := len(m.Tris) - misses
		return func() string { return fmt.Sprintf("mean %.4f mm, %d misses", sum/float64(max(hits, 1)), misses) }, nil
	}, err
}

// allPairs is a limit that no mesh of the set comes near.
const allPairs = 1 << 30

// prepareCrossings times the way from a welded mesh to its crossing pairs, with the
// tree: peers do not have one beforehand either.
func prepareCrossings(jobs int) func(string) (round, error) {
	return func(path string) (round, error) {
		m, err := welded(path)
		return func() (summary, error) {
			t, err := spatial.Build(m, nil, jobs)
			if err != nil {
				return nil, err
			}
			found := t.Crossings(context.Background(), m, nil, allPairs, jobs)
			if found.More {
				err = errors.New("the search ended early")
			}
			return func() string { return fmt.Sprintf("%d pairs", len(found.Pairs)) }, err
		}, err
	}
}

// The layers that are timed, mm.
const (
	layerHeight = 0.2
	cell        = 0.1
)

// unsupportedPart grows each layer by a cell and takes it from the next one, which is the
// plainest thing to ask of two layers: what has nothing below it.
type unsupportedPart struct {
	over         *layers.Plane
	filled, hung int
}

// Visit compares two layers.
func (v *unsupportedPart) Visit(below, layer *layers.Layer) {
	v.over.SetBeyond(layer.Solid, below.Solid, layer.From, layer.To)
	v.filled += layer.Solid.Count()
	v.hung += v.over.Count()
}

func prepareLayers(path string) (round, error) {
	m, err := welded(path)
	if err != nil {
		return nil, err
	}
	m, _ = m.Posed(mesh.Identity)
	g, err := layers.NewGrid(m.Box(), layerHeight, cell)
	return func() (summary, error) {
		v := &unsupportedPart{over: layers.NewPlane(&g)}
		err := layers.Sweep(context.Background(), m, g, layers.Options{Tilt: 45, Jobs: 1}, v)
		return func() string {
			return fmt.Sprintf("%d layers, %.0f mm3 filled, %.0f mm2 beyond the layer below",
				g.Layers, g.Area(v.filled)*g.Height, g.Area(v.hung))
		}, err
	}, err
}
