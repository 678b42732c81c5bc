package words

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// bridge is a finding of a rule whose message tells one value.
func bridge(level finding.Level, span float64) finding.Finding {
	return finding.Finding{
		Rule: "bridge", Level: level, Message: fmt.Sprintf("bridge of %.1f mm over air", span), Says: []string{"span"},
		Values:   finding.Values{{Name: "span", Unit: "mm", Value: span}, {Name: "area", Unit: "mm2", Value: 3 * span}},
		Limits:   finding.Values{{Name: "area", Unit: "mm2", Value: 1}, {Name: "span", Unit: "mm", Value: 10}},
		Triangle: int(span), At: [3]float64{span, 0, 0},
	}
}

// TestGroupedTellsOfLikePlacesOnce holds what one line tells of: the same rule and level,
// and told values within a tenth of the worst.
func TestGroupedTellsOfLikePlacesOnce(t *testing.T) {
	const e, w = finding.Error, finding.Warning
	thin := finding.Finding{Rule: "wall", Level: w, Message: "wall is 0.2 mm thick", Says: []string{"thickness"},
		Values: finding.Values{{Name: "thickness", Unit: "mm", Value: 0.2}}, Limits: finding.Values{{Name: "thickness", Unit: "mm", Value: 0.4}}}
	thick := thin
	thick.Message, thick.Values = "wall is 0.3 mm thick", finding.Values{{Name: "thickness", Unit: "mm", Value: 0.3}}
	waived, none := bridge(e, 50), bridge(finding.None, 50)
	waived.Waived = &finding.Waived{}
	m := &finding.Model{Findings: []finding.Finding{thick, bridge(w, 12), bridge(e, 18), bridge(e, 20), thin, waived, bridge(e, 17.9), bridge(e, 20), bridge(w, 12), none}}
	var got []string
	for _, groups := range Grouped(m) {
		for i := range groups {
			got = append(got, fmt.Sprint(groups[i].Level, " ", groups[i].Message(m)))
		}
	}
	assert.Equal(t, []string{
		"error bridge of 20.0 mm over air, in 3 places, the worst at (20, 0, 0) mm, triangle 20",
		"error bridge of 17.9 mm over air, at (17.9, 0, 0) mm, triangle 17",
		"warning wall is 0.2 mm thick",
		"warning wall is 0.3 mm thick",
		"warning bridge of 12.0 mm over air, in 2 places, one at (12, 0, 0) mm, triangle 12",
	}, got)
}

// TestGroupedHasAnEnd holds that a rule makes no more lines than a reader looks at, and
// that no place gets lost.
func TestGroupedHasAnEnd(t *testing.T) {
	m := &finding.Model{}
	for i := range 60000 {
		m.Findings = append(m.Findings, bridge(finding.Error, 20+float64(i)))
	}
	groups := Grouped(m)
	require.Len(t, groups, 1)
	require.Len(t, groups[0], maxAlike+1)
	rest := groups[0][maxAlike]
	assert.True(t, rest.Rest)
	assert.Regexp(t, `^bridge of \d+\.0 mm over air, the worst of \d+ other places, at \(\d+, 0, 0\) mm, triangle \d+$`, rest.Message(m))
	n := 0
	for _, g := range groups[0] {
		n += len(g.Places)
	}
	assert.Equal(t, len(m.Findings), n)
}

// TestGroupedKeepsEveryPlace holds the laws of groups on findings at random.
func TestGroupedKeepsEveryPlace(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Log("seed", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	for range 200 {
		m := &finding.Model{}
		for range random.IntN(60) {
			level := []finding.Level{finding.Error, finding.Warning, finding.Note, finding.None}[random.IntN(4)]
			m.Findings = append(m.Findings, bridge(level, math.Exp(random.Float64()*float64(random.IntN(8)))))
		}
		seen := map[*finding.Finding]bool{}
		last := 0
		for _, groups := range Grouped(m) {
			require.LessOrEqual(t, len(groups), maxAlike+1)
			require.LessOrEqual(t, last, groups[0].Level.Rank(), "the worst level first")
			last = groups[0].Level.Rank()
			for k, g := range groups {
				require.Same(t, g.Finding, g.Places[0])
				require.Equal(t, k == maxAlike, g.Rest)
				before := math.Inf(1)
				for _, f := range g.Places {
					require.False(t, seen[f])
					seen[f] = true
					require.Equal(t, []any{g.Rule, g.Level}, []any{f.Rule, f.Level})
					span, head := f.Values[0].Value, g.Values[0].Value
					require.True(t, g.Rest || math.Abs(span-head) <= head/10+1e-9)
					far := finding.Past(span, 10)
					require.LessOrEqual(t, far, before, "the worst first")
					before = far
				}
			}
		}
		require.Len(t, seen, len(Shown(m)))
	}
}
