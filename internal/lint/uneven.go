package lint

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/work"
)

// sides finds the words in a name that say which of a pair it is, where they stand alone.
var sides = regexp.MustCompile(`(?i)(^|[^a-z])(left|right|l|r)([^a-z]|$)`)

// sideOf is a name without the word for its side, and that side: 'l', 'r', or 0 where it names
// none, or more than one.
func sideOf(name string) (rest string, side byte) {
	name = strings.ToLower(stem(name))
	at := sides.FindAllStringSubmatchIndex(name, -1)
	if len(at) != 1 {
		return name, 0
	}
	return name[:at[0][4]] + "*" + name[at[0][5]:], name[at[0][4]]
}

// pairsOf lists the names of left and right that belong together.
func pairsOf(models []string) (list [][2]string) {
	type pair struct{ left, right []string }
	pairs := map[string]*pair{}
	var order []string
	for _, name := range models {
		rest, side := sideOf(name)
		if side == 0 {
			continue
		}
		if pairs[rest] == nil {
			pairs[rest], order = new(pair), append(order, rest)
		}
		if p := pairs[rest]; side == 'l' {
			p.left = append(p.left, name)
		} else {
			p.right = append(p.right, name)
		}
	}
	for _, rest := range order {
		if p := pairs[rest]; len(p.left) == 1 && len(p.right) == 1 {
			list = append(list, [2]string{p.left[0], p.right[0]})
		}
	}
	return list
}

// unevenIn lists the pairs of left and right that differ in more than the mirror.
func (s *shelf) unevenIn(d *collection.Folder, models []string, m *finding.Model) (list []string) {
	for _, p := range pairsOf(models) {
		left, err := s.spread(d.File(p[0]))
		right, errRight := s.spread(d.File(p[1]))
		if err == nil {
			err = errRight
		}
		if err != nil {
			m.Notes = append(m.Notes, fmt.Sprintf("%s and %s were not compared: %v", p[0], p[1], err))
			continue
		}
		if !left.mirrors(&right) {
			list = append(list, s.say(d, p[0]+" and "+p[1], p[0], p[1]))
		}
	}
	return list
}

// spread is a shape by figures that stay when it is moved, turned or mirrored.
type spread struct {
	volume, area float64    // mm3, mm2
	radii        [3]float64 // mm: how far the surface lies from its middle along its own three axes, the least first
}

// sameSpread is by what share such figures may differ in left and right: round surfaces are
// cut into other triangles in a mirror. Judgement.
const sameSpread = 0.01

// mirrors says that two shapes may be each other's mirror.
func (a *spread) mirrors(b *spread) bool {
	alike := func(x, y, scale float64) bool { return math.Abs(x-y) <= float64(sameSpread*scale) }
	for i := range a.radii {
		if !alike(a.radii[i], b.radii[i], max(a.radii[2], b.radii[2])) {
			return false
		}
	}
	return alike(a.volume, b.volume, max(a.volume, b.volume)) && alike(a.area, b.area, max(a.area, b.area))
}

// spread reads a model, once, within the limit of work on one file.
func (s *shelf) spread(file string) (spread, error) {
	if s.spreads[file] == nil {
		s.spreads[file] = sync.OnceValues(func() (spread, error) {
			files := s.files()
			i, ok := slices.BinarySearchFunc(files, file, func(f collection.File, rules string) int { return cmp.Compare(f.Rules, rules) })
			if !ok {
				return spread{}, fmt.Errorf("%s is not among the models", file)
			}
			return s.engine.spreadOf(work.Start(s.ctx, s.engine.limit), &files[i])
		})
	}
	return s.spreads[file]()
}

// spreadOf takes the figures of a file.
func (g *engine) spreadOf(ctx context.Context, f *collection.File) (spread, error) {
	m, err := g.meshOf(ctx, f)
	if err != nil {
		return spread{}, err
	}
	return spreadOfMesh(m), nil
}

// meshOf takes all triangles of a file together.
func (g *engine) meshOf(ctx context.Context, f *collection.File) (*mesh.Mesh, error) {
	content, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer content.Close()
	parts, err := meshfile.Read(f.Path, charged{content, work.Of(ctx)}, meshfile.Options{Scale: g.config.For(f.Rules).Unit.Factor})
	all := new(mesh.Triangles)
	for i := range parts {
		if err == nil && parts[i].Skip == "" {
			if err = parts[i].Load(); err == nil {
				all.Corners = append(all.Corners, parts[i].Triangles.Corners...)
			}
		}
	}
	if err == nil {
		err = work.Of(ctx).Spend(triangleCost * int64(all.Count()))
	}
	if err != nil {
		return nil, err
	}
	return mesh.Weld(all), nil
}

// spreadOfMesh takes the figures of a mesh.
func spreadOfMesh(m *mesh.Mesh) spread {
	own := m.Spread()
	out := spread{volume: math.Abs(m.Volume()), area: own.Area}
	for i, square := range own.Value {
		out.radii[i] = math.Sqrt(max(square, 0))
	}
	return out
}
