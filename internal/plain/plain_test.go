package plain

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/verdict"
)

// kindOf is the kind that errors over a measure are.
var kindOf = map[string]Kind{"island": Island, "feet": Island, "overhang": Overhang, "bridge": Bridge, "base": Base}

// standard are those rules of the built-in set that are judged twice.
func standard(t *testing.T) *ruleset.View {
	t.Helper()
	config, err := ruleset.Load("", ruleset.Options{Catalog: measure.Catalog()})
	require.NoError(t, err)
	view := *config.For("")
	view.Rules = slices.DeleteFunc(slices.Clone(view.Rules), func(r *ruleset.Rule) bool {
		_, ours := kindOf[r.Measure]
		return !ours || r.Level != finding.Error || r.ID == "wide-ceiling" // the second way knows no widths
	})
	require.GreaterOrEqual(t, len(view.Rules), int(Kinds))
	assert.InDelta(t, layer, view.Process.Layer, 0)
	assert.InDelta(t, strand, view.Process.Bridge, 0)
	return &view
}

// program says which errors the program finds on a solid as it lies, by kind.
func program(t *testing.T, view *ruleset.View, s *mesh.Triangles) (found [Kinds][]string) {
	t.Helper()
	subject := verdict.New(mesh.Weld(s), "", view)
	results, err := subject.Body.Measure(context.Background(), measure.AsIs, view.Process, measure.Options{}, subject.Requests)
	require.NoError(t, err)
	for _, r := range results {
		require.Empty(t, r.Undecided)
	}
	v, err := subject.Judge(results)
	require.NoError(t, err)
	measureOf := map[string]string{}
	for _, r := range view.Rules {
		measureOf[r.ID] = r.Measure
	}
	bed := shapes.Bounds(s).Min.Z
	for _, h := range v.Hits {
		k := kindOf[measureOf[h.Rule]]
		found[k] = append(found[k], fmt.Sprintf("%s at (%.1f, %.1f, %.1f)", h.Message, h.At[0], h.At[1], h.At[2]-bed))
	}
	return found
}

// tally counts what the comparison saw.
type tally struct {
	sync.Mutex
	near    int
	decided [Kinds][2]int // clean, error
	faults  map[string]bool
}

// TestProgramJudgesAsPlainly holds the program's errors against a second way to find them,
// and that itself against what the definitions state.
func TestProgramJudgesAsPlainly(t *testing.T) {
	view, seed := standard(t), dice.Seed(t)
	list := solids(seed)
	require.GreaterOrEqual(t, len(list), 60)
	seen := tally{faults: map[string]bool{}}
	t.Run("solids", func(t *testing.T) {
		for _, s := range list {
			t.Run(s.name, func(t *testing.T) {
				t.Parallel()
				compare(t, view, s, &seen)
			})
		}
	})
	t.Logf("%d solids: %d near a limit, %d known faults; clean and error by kind: %v", len(list), seen.near, len(seen.faults), seen.decided)
	assert.LessOrEqual(t, seen.near*5, len(list), "more than a fifth are near a limit, where nothing is compared")
	for k, n := range seen.decided {
		assert.GreaterOrEqual(t, n[Error], 3, "%s: hardly any error was compared", Kind(k))
		assert.GreaterOrEqual(t, n[Clean], 30, "%s: hardly anything clean was compared", Kind(k))
	}
	names := map[string]bool{}
	for _, s := range list {
		names[s.name] = true
		if knownFaults[s.name] != "" {
			assert.True(t, seen.faults[s.name], "%s is judged right now: take it off the known faults", s.name)
		}
	}
	for name := range stated {
		assert.True(t, names[name], "%s is in no list", name)
	}
}

// compare holds both verdicts on one solid against each other.
func compare(t *testing.T, view *ruleset.View, s solid, seen *tally) {
	soup := s.build()
	ours, theirs := Judge(soup), program(t, view, soup)
	if said, ok := stated[s.name]; ok {
		for k, v := range said {
			assert.Equal(t, v, ours[k].Verdict, "the definitions state %s: %s", Kind(k), ours[k])
		}
	}
	seen.Lock()
	defer seen.Unlock()
	open := false
	for k := range Kinds {
		if ours[k].Verdict == NearLimit {
			open = true
			t.Logf("%s: %s; the program: %q", k, ours[k], theirs[k])
			continue
		}
		seen.decided[k][ours[k].Verdict]++
		if (ours[k].Verdict == Error) == (len(theirs[k]) > 0) {
			continue
		}
		if why := knownFaults[s.name]; why != "" {
			seen.faults[s.name] = true
			t.Logf("%s: a known fault: %s; plainly: %s; the program: %q", k, why, ours[k], theirs[k])
			continue
		}
		assert.Fail(t, "the verdicts differ", "%s of %s\nplainly:     %s\nthe program: %q", k, s.name, ours[k], theirs[k])
	}
	if open {
		seen.near++
	}
}

// TestColumnsHoldTheVolume holds the columns against formulas for the volume of what they
// were cut from; the ball is the polyhedron with 64 meridians, 0.6 % short of the sphere.
func TestColumnsHoldTheVolume(t *testing.T) {
	for name, c := range map[string]struct {
		solid *mesh.Triangles
		want  float64
	}{
		"cube":         {shapes.Cube(20), 8000},
		"turned":       {shapes.Turn(shapes.Cube(20), mesh.Vec{X: 1, Y: 2, Z: 3}, 40), 8000},
		"ball":         {shapes.Ball(10, 64), 4.0 / 3 * math.Pi * 1000},
		"torus":        {shapes.Torus(10, 3, 64, 32), 2 * math.Pi * math.Pi * 10 * 9},
		"hollow":       {shapes.HollowBox(20, 2), 8000 - 4096},
		"overlapping":  {shapes.TOverlapping(), 8000},
		"face to face": {shapes.TTouching(), 8000},
	} {
		volume := 0.0
		for _, column := range cut(c.solid).columns {
			for _, s := range column {
				volume += (s.hi - s.lo) * cell * cell
			}
		}
		assert.InEpsilon(t, c.want, volume, 0.015, name)
	}
}
