package verdict

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
)

// TestUniteKeepsEveryHit puts verdicts by other limits together: each hit of each is in the
// union once, at the same place or one of the same fingerprint, and the union has no hit
// that none of them has.
func TestUniteKeepsEveryHit(t *testing.T) {
	apart := 0
	for name, solid := range troubled() {
		m := mesh.Weld(solid)
		var list []*Verdict
		for _, more := range []string{
			"",
			"rules: {max-bridge-length: {limits: {span: 15 mm}}, max-overhang-angle: {limits: {reach: 8 mm}}}",
			"process: {bed: [40 mm, 40 mm, 40 mm], material: tpu}",
			"process: {nozzle: 0.6 mm}",
		} {
			s, results := measured(t, solid, ruled(t, "standard", more))
			s.Mesh = m
			v, err := s.Judge(results)
			require.NoError(t, err)
			list = append(list, v)
		}
		machines := []string{"a", "b", "c", "d"}
		u := Unite(list)
		found := u.Findings(machines)
		prints, on := map[string]int{}, make([]int, len(found))
		for i, f := range found {
			prints[f.Fingerprint]++
			require.LessOrEqual(t, prints[f.Fingerprint], 1, "%s: a fingerprint stands twice", name)
			require.True(t, i == 0 || found[i-1].Line <= f.Line)
		}
		for k, v := range list {
			seen := map[int]bool{}
			require.Len(t, u.At[k], len(v.Hits))
			for i, at := range u.At[k] {
				require.False(t, seen[at], "%s: two hits of one verdict are one", name)
				seen[at] = true
				on[at]++
				require.Equal(t, v.Hits[i].Rule, found[at].Rule)
				require.True(t, found[at].HoldsOn(machines[k]), "%s: %v", name, found[at])
			}
			for at := range found {
				require.Equal(t, seen[at], found[at].HoldsOn(machines[k]))
			}
		}
		for i, n := range on {
			require.Positive(t, n, "%s: nobody has %v", name, found[i])
			require.Equal(t, n == len(list), found[i].On == nil)
			if n < len(list) {
				apart++
			}
		}
	}
	require.Positive(t, apart, "the limits differ in nothing")
}

// TestTheWorstMachineSpeaks holds that a finding that machines put differently tells of the
// one where it is worst, and names it.
func TestTheWorstMachineSpeaks(t *testing.T) {
	verdictOf := func(x, limit float64) *Verdict {
		var h Hit
		h.Rule, h.At, h.Location.Radius, h.Says, h.Advice = "thin", [3]float64{x, 0, 0}, x, []string{"thickness"}, fmt.Sprint("at least ", limit)
		h.Message = fmt.Sprint(0.3, " of ", limit)
		h.Values, h.Limits = finding.Values{{Name: "thickness", Value: 0.3}}, finding.Values{{Name: "thickness", Value: limit}}
		return &Verdict{Subject: &Subject{}, Hits: []Hit{h}}
	}
	for _, c := range []struct {
		limits              []float64
		on                  int
		worst, said, advice string
	}{
		{[]float64{0.4, 0.6, 0.5}, 0, "b", "0.3 of 0.6", "at least 0.6"},
		{[]float64{0.6, 0.4, 0.4}, 0, "a", "0.3 of 0.6", "at least 0.6"},
		{[]float64{0.4, 0.4, 0.4}, 0, "", "0.3 of 0.4", "at least 0.4"},
	} {
		var list []*Verdict
		for _, limit := range c.limits {
			list = append(list, verdictOf(1, limit))
		}
		found := Unite(list).Findings([]string{"a", "b", "c"})
		require.Len(t, found, 1)
		assert.Equal(t, []string{c.worst, c.said, c.advice}, []string{found[0].WorstOn, found[0].Message, found[0].Advice})
		assert.Len(t, found[0].On, c.on)
	}
	found := Unite([]*Verdict{verdictOf(1, 0.4), verdictOf(20, 0.4), verdictOf(1, 0.8)}).Findings([]string{"a", "b", "c"})
	require.Len(t, found, 2)
	assert.Equal(t, "c", found[0].WorstOn)
	assert.Equal(t, []string{"a", "c"}, found[0].On)
	assert.Empty(t, found[1].WorstOn)
}

// TestUniteByPlace holds that a place is known before a fingerprint: of two places of one
// cell, of which a second machine finds only the other, that one is on both.
func TestUniteByPlace(t *testing.T) {
	hit := func(x float64) (h Hit) {
		h.Rule, h.At, h.Location.Height, h.Location.Radius = "hangs", [3]float64{x, 0, 3}, 3, x
		h.Message = fmt.Sprint("at ", x)
		return h
	}
	verdictOf := func(hits ...Hit) *Verdict { return &Verdict{Subject: &Subject{}, Hits: hits} }
	u := Unite([]*Verdict{verdictOf(hit(1), hit(2)), verdictOf(hit(2)), verdictOf(hit(2.5))})
	got := map[string][]string{}
	for _, f := range u.Findings([]string{"a", "b", "c"}) {
		got[f.Message] = f.On
	}
	assert.Equal(t, map[string][]string{"at 1": {"a", "c"}, "at 2": {"a", "b"}}, got, "what moved a little keeps its fingerprint, the first of its cell")
	assert.True(t, slices.IsSortedFunc(u.Hits, func(a, b Hit) int { return slices.Compare(a.At[:], b.At[:]) }))
}
