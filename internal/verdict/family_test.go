package verdict

import (
	"context"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// families are rules that find one trouble, each worse than the next: what one place of a
// model has is said by one of them.
var families = map[string][]string{
	"overhang":  {"max-overhang-angle", "long-slope", "rough-underside"},
	"bridge":    {"max-bridge-length", "wide-ceiling", "sagging-bridge"},
	"wall":      {"min-wall", "thin-strip", "thin-wall"},
	"base":      {"speck-below-floor", "flat-base", "brim-advised"},
	"stability": {"falls-over", "tip-over", "unsteady-foot", "weight-beyond-foot"},
}

// troubled are solids with something for every rule of a family.
func troubled() map[string]*mesh.Triangles {
	return map[string]*mesh.Triangles{
		"portal":      shapes.Portal(80),
		"low portal":  shapes.Portal(12),
		"roofed box":  shapes.RoofedBox(),
		"tee":         shapes.T(),
		"arm":         shapes.LeaningArm(60, 30),
		"hook":        shapes.Hook(),
		"ball":        shapes.Ball(15, 32),
		"fin":         shapes.Fin(0.3),
		"thicker fin": shapes.Fin(0.6),
		"pin":         shapes.Box(mesh.Vec{}, mesh.Vec{X: 3, Y: 3, Z: 60}),
		"on its tip":  shapes.Cone(0.2, 20, 40, 24),
		"two": shapes.Join(shapes.Portal(80), shapes.Move(shapes.Portal(20), mesh.Vec{X: 200}),
			shapes.Move(shapes.LeaningArm(75, 8), mesh.Vec{Y: 100})),
	}
}

// ruled loads a built-in set with more laid over it.
func ruled(t *testing.T, set, more string) *ruleset.View {
	t.Helper()
	open := func(name string) ([]byte, error) {
		if name == ".printlint.yml" {
			return []byte("version: 1\nuse: [" + set + "]\n" + more), nil
		}
		return nil, fs.ErrNotExist
	}
	config, err := ruleset.Load(".printlint.yml", ruleset.Options{Catalog: measure.Catalog(), Open: open})
	require.NoError(t, err)
	return config.For("a.stl")
}

// leveled is a view in which some rules have another level.
func leveled(v *ruleset.View, levels map[string]finding.Level) *ruleset.View {
	out := *v
	out.Rules = slices.Clone(v.Rules)
	for i, r := range out.Rules {
		if level, ok := levels[r.ID]; ok {
			own := *r
			own.Level = level
			out.Rules[i] = &own
		}
	}
	return &out
}

// requireOneAPlace holds the law on what a view finds: of one family one finding a place,
// and none milder than the worst that holds there.
func requireOneAPlace(t *testing.T, s *Subject, results []measure.Result, about string) (places int) {
	t.Helper()
	silent := *s.View
	silent.Rules = slices.Clone(s.View.Rules)
	for i, r := range silent.Rules {
		own := *r
		own.YieldsTo = nil
		silent.Rules[i] = &own
	}
	judge := func(view *ruleset.View) []Hit {
		one := *s
		one.View = view
		v, err := one.Judge(results)
		require.NoError(t, err)
		return v.Hits
	}
	all, kept := judge(&silent), judge(s.View)
	for name, family := range families {
		of := func(h *Hit) bool { return h.Level != finding.None && slices.Contains(family, h.Rule) }
		said := map[*measure.Site]*Hit{}
		for i := range kept {
			if h := &kept[i]; of(h) {
				before := said[h.Site]
				require.Nil(t, before, "%s: %s speaks twice of one place, by %v and %v", about, name, before, h.Rule)
				for site, other := range said {
					require.False(t, site.Box.Contains(h.Site.At, samePlace) && shareTriangle(site.Tris, h.Site.Tris) && other.Rule != h.Rule,
						"%s: %s and %s speak of one place", about, other.Rule, h.Rule)
				}
				said[h.Site] = h
			}
		}
		for i := range all {
			h := &all[i]
			if !of(h) {
				continue
			}
			places++
			told := slices.ContainsFunc(kept, func(k Hit) bool {
				return k.Level.Rank() <= h.Level.Rank() && (k.Site == h.Site || h.Site.Box.Contains(k.Site.At, samePlace) || k.Site.Box.Contains(h.Site.At, samePlace))
			})
			require.True(t, told, "%s: nothing as bad as %s of %s is said at its place", about, h.Level, h.Rule)
		}
	}
	return places
}

func shareTriangle(a, b []uint32) bool {
	return slices.ContainsFunc(a, func(t uint32) bool { return slices.Contains(b, t) })
}

// TestOneFindingAPlaceAtAnyLevel holds the law for every level that a team may give each
// rule of a family.
func TestOneFindingAPlaceAtAnyLevel(t *testing.T) {
	levels := []finding.Level{finding.Error, finding.Warning, finding.Note, finding.None}
	view := ruled(t, "standard", "")
	for name, solid := range troubled() {
		s, results := measured(t, solid, view)
		places := 0
		for _, family := range families {
			n := 1
			for range family {
				n *= len(levels)
			}
			for code := range n {
				given := map[string]finding.Level{}
				for _, rule := range family {
					given[rule] = levels[code%len(levels)]
					code /= len(levels)
				}
				s.View = leveled(view, given)
				places += requireOneAPlace(t, s, results, fmt.Sprint(name, " ", given))
			}
		}
		require.NotZero(t, places, "%s has no trouble, and shows nothing", name)
	}
}

// measured is a solid with what the rules ask for.
func measured(t *testing.T, solid *mesh.Triangles, view *ruleset.View) (*Subject, []measure.Result) {
	t.Helper()
	s := New(mesh.Weld(solid), "", view)
	results, err := s.Body.Measure(context.Background(), measure.AsIs, view.Process, measure.Options{}, s.Requests)
	require.NoError(t, err)
	return s, results
}

// TestOneFindingAPlaceAtAnyLimit holds the law where a team has changed limits, so that the
// milder rule finds less than the harder one, or looks at other angles.
func TestOneFindingAPlaceAtAnyLimit(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Log("seed", seed)
	random := rand.New(rand.NewPCG(seed, 2))
	limits := map[string][]string{
		"max-bridge-length":  {"span: 5 mm", "span: 15 mm", "span: 200 mm", "reach: 20 mm", "angle: 50 deg"},
		"wide-ceiling":       {"span: 5 mm", "width: 1 mm, ledge: 1 mm", "angle: 50 deg"},
		"sagging-bridge":     {"span: 3 mm", "span: 100 mm", "angle: 55 deg", "reach: 40 mm"},
		"max-overhang-angle": {"angle: 40 deg", "reach: 20 mm", "reach: 0.5 mm, load: 1 mm3"},
		"rough-underside":    {"angle: 74 deg", "angle: 40 deg, reach: 1 mm"},
		"long-slope":         {"reach: 1 mm", "angle: 72 deg"},
		"min-wall":           {"thickness: 2 mm", "thickness: 0.1 mm", "width: 50 mm"},
		"thin-wall":          {"thickness: 0.2 mm", "thickness: 5 mm"},
		"flat-base":          {"flat: 500 mm2", "flat: 0.01 mm2, small: 0.02 mm2"},
		"brim-advised":       {"small: 1 mm2", "small: 5000 mm2, share: 0.99"},
		"tip-over":           {"tip: 60 deg", "area: 10000 mm2", "area: 1 mm2"},
		"unsteady-foot":      {"tip: 1 deg", "tip: 60 deg"},
		"falls-over":         {"area: 1 mm2", "area: 100000 mm2"},
	}
	levels := []finding.Level{finding.Error, finding.Warning, finding.Note}
	solids := troubled()
	names, rules := slices.Sorted(maps.Keys(solids)), slices.Sorted(maps.Keys(limits))
	for range 60 {
		more := "rules:\n"
		for _, rule := range rules {
			if random.IntN(3) > 0 {
				more += fmt.Sprintf("  %s: {level: %s, limits: {%s}}\n", rule, levels[random.IntN(3)], limits[rule][random.IntN(len(limits[rule]))])
			}
		}
		name, set := names[random.IntN(len(names))], []string{"standard", "strict", "relaxed", "standard, petg", "strict, tpu"}[random.IntN(5)]
		s, results := measured(t, solids[name], ruled(t, set, more))
		requireOneAPlace(t, s, results, name+" by "+set+"\n"+more)
	}
}
