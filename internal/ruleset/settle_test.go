package ruleset

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// arm is a finding on an arm that ends at x, y, z of the file, on a model that stands on
// the bed, is 40 tall and has its middle at cx.
func arm(x, y, z, cx, reach float64) FindingRecord {
	radius := x - cx
	if radius < 0 {
		radius = -radius
	}
	height, radial := int(z/2), int(radius/8)
	return FindingRecord{
		Rule: "max-overhang-angle", Fingerprint: fmt.Sprint("f", height, radial), At: [3]float64{x, y, z}, Placed: true,
		Height: z, Top: 40 - z, Radius: radius, Size: 3,
		Values: finding.Values{{Name: "angle", Value: 90}, {Name: "reach", Value: reach}, {Name: "ledge"}, {Name: "area", Value: 100}, {Name: "z"}, {Name: "drop"}},
	}
}

func armed(spots ...FindingRecord) Accepted {
	return Accepted{Path: "a.stl", Tall: 40, Surface: 5000, Findings: spots}
}

// held compares and says of each finding whether it is accepted, new, or in what it is worse.
func held(c *Usage, m Accepted) (said []string) {
	for _, h := range c.Accept(&m) {
		switch {
		case h.File != "":
			said = append(said, "accepted")
		case h.Worse != "":
			said = append(said, h.Worse)
		default:
			said = append(said, "new")
		}
	}
	return said
}

// TestTheNewArmIsNew holds that an arm added on the other side is told as the new one,
// also where both share height, radius and cell, whichever is found first.
func TestTheNewArmIsNew(t *testing.T) {
	was := armed(arm(20, 0, 20, 0, 8))
	old, added := arm(20, 0, 20, 0.5, 8), arm(-19, 0, 20, 0.5, 8)
	assert.Equal(t, []string{"accepted", "new"}, held(accepting(t, was), armed(old, added)))
	assert.Equal(t, []string{"new", "accepted"}, held(accepting(t, was), armed(added, old)))
	// Moved as a whole, what stays is height and radius.
	moved := func(s FindingRecord) FindingRecord { s.At[0] += 300; s.At[2] += 7; return s }
	assert.Equal(t, []string{"accepted", "accepted"}, held(accepting(t, armed(old, arm(-30, 0, 20, 0, 8))), armed(moved(arm(-30, 0, 20, 0, 8)), moved(old))))
}

// TestAcceptedSurvivesABodyBeside holds that the place in the file keeps what is accepted
// when the middle moves, and the height below the top when the foot grows.
func TestAcceptedSurvivesABodyBeside(t *testing.T) {
	was := armed(arm(20, 0, 20, 0, 8), arm(-20, 0, 20, 0, 8))
	assert.Equal(t, []string{"accepted", "accepted"}, held(accepting(t, was), armed(arm(20, 0, 20, 60, 8), arm(-20, 0, 20, 60, 8))))
	taller := func(s FindingRecord) FindingRecord { s.Height += 4; s.At[2] += 4; s.Fingerprint = "other"; return s }
	grown := armed(taller(was.Findings[0]), taller(was.Findings[1]))
	grown.Tall = 44
	assert.Equal(t, []string{"accepted", "accepted"}, held(accepting(t, was), grown))
}

// TestWhatGrewIsWorse holds that a place which grew, so that its middle lies elsewhere,
// is told as worse, and a new one beside as new.
func TestWhatGrewIsWorse(t *testing.T) {
	longer := arm(27, 0, 20, 0, 16)
	longer.Size, longer.Fingerprint = 6, "other"
	assert.Equal(t, []string{"worse than accepted: reach 16.0 mm, accepted 8.00 mm"}, held(accepting(t, armed(arm(20, 0, 20, 0, 8))), armed(longer)))
	beside := arm(27, 0, 20, 0, 8)
	beside.Fingerprint = "other"
	assert.Equal(t, []string{"new"}, held(accepting(t, armed(arm(20, 0, 20, 0, 8))), armed(beside)))
}

// TestWholeModelsKeepTheirShape holds that what is accepted on a model as a whole does not
// pass for another shape under its name.
func TestWholeModelsKeepTheirShape(t *testing.T) {
	flat := rule(t, load(t, one("")).Rules(), "flat-base")
	base := FindingRecord{Rule: "flat-base", Fingerprint: "f", Placed: true, Whole: true, Values: flat.Values(valuesAt(flat, "flat=1"))}
	was := armed(base)
	for _, c := range []struct {
		tall, surface float64
		want          string
	}{
		{40, 5000, "accepted"},
		{44, 5600, "accepted"},
		{90, 5000, "accepted on another shape: it is 90.0 mm tall, accepted 40.0 mm"},
		{40, 9000, "accepted on another shape: its surface is 9000 mm², accepted 5000 mm²"},
	} {
		now := armed(base)
		now.Tall, now.Surface = c.tall, c.surface
		assert.Equal(t, []string{c.want}, held(accepting(t, was), now))
	}
}

// TestPartsOfOneNameGoByTheirShape holds that parts which only their order tells apart
// keep what is accepted when the order changes.
func TestPartsOfOneNameGoByTheirShape(t *testing.T) {
	first, second := armed(arm(20, 0, 20, 0, 8)), armed(arm(50, 0, 30, 0, 20))
	first.Part, second.Part, second.Surface = "lid", "lid (2)", 7000
	c := accepting(t, first, second)
	swapped, other := second, first
	swapped.Part, other.Part = "lid", "lid (2)"
	assert.Equal(t, []string{"accepted"}, held(c, swapped))
	assert.Equal(t, []string{"accepted"}, held(c, other))
	copied := first
	copied.Part = "lid (3)"
	assert.Equal(t, []string{"new"}, held(c, copied), "each is used once")
}

// TestNoValuesNoBound holds that files of before are read, and said to have no bound.
func TestNoValuesNoBound(t *testing.T) {
	const old = `version: 1
accepted:
  - path: "a.stl"
    findings:
      - {rule: "max-overhang-angle", height: 20, radius: 20, size: 3, fingerprint: "f"}
`
	c := load(t, map[string]string{".printlint.yml": "version: 1\naccepted: [old.yml]\n", "old.yml": old}).NewUsage()
	assert.Equal(t, []Stated{{"old.yml", "1 accepted findings have no values, so that they hold however bad they get; write the file anew with check --accept"}}, c.Unbounded())
	assert.Equal(t, []string{"accepted"}, held(c, armed(arm(20, 0, 20, 0, 90))))
	assert.Empty(t, accepting(t, armed(arm(20, 0, 20, 0, 8))).Unbounded())
}

// TestComparingEnds holds that a model made of nothing but findings is compared in a
// bounded number of steps, and that what did not change is accepted all the same.
func TestComparingEnds(t *testing.T) {
	var spots []FindingRecord
	for i := range 5000 {
		s := arm(20, float64(i%7), 20, 0, 8)
		s.Fingerprint = fmt.Sprint(i)
		spots = append(spots, s)
	}
	c := accepting(t, armed(spots...))
	s := &settling{usage: c, found: spots, held: make([]Acceptance, len(spots)), list: c.accepted[0].list}
	assert.Less(t, len(s.pairs(inFile)), len(spots), "the bound was reached")
	assert.False(t, slices.Contains(held(c, armed(spots...)), "new"))
}
