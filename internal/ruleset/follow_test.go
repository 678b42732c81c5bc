package ruleset

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// paired is two rules, the second of which follows the first.
const paired = `
rules:
  b-leader: {measure: bridge, limits: {span: process.bridge, reach: 3 mm}, find: span > limits.span, level: error, say: s, because: b}
  a-follower: {measure: bridge, limits: {span: "rules.b-leader.limits.span / 2", reach: rules.b-leader.limits.reach}, find: span > limits.span, level: note, say: s, because: b}
`

func limitOf(t *testing.T, list []*Rule, id, name string) *Limit {
	l := rule(t, list, id).limit(name)
	require.NotNil(t, l, id+"."+name)
	return l
}

// TestALimitFollowsThatOfAnotherRule holds that paired rules stay a pair, whoever changes
// the first: a file, a place, several places, or the process.
func TestALimitFollowsThatOfAnotherRule(t *testing.T) {
	c := load(t, one(paired))
	l := limitOf(t, c.Rules(), "a-follower", "span")
	assert.Equal(t, 5.0, l.Value)
	assert.Equal(t, catalog.MM, l.Unit)
	assert.Equal(t, "rules.b-leader.limits.span / 2", l.Text)
	require.Len(t, l.Follows, 1)
	assert.Equal(t, "rules.b-leader.limits.span (.printlint.yml:3:46)", fmt.Sprintf("%s (%s)", l.Follows[0].Field, l.Follows[0].Position))
	assert.Equal(t, []float64{45, 3}, rule(t, c.Rules(), "a-follower").Asks()[0].Params[:2], "a parameter follows too")

	c = load(t, map[string]string{"house.yml": paired[1:], ".printlint.yml": `
use: [standard, house.yml]
rules: {b-leader: {limits: {span: 30 mm}}}
places:
  - {paths: ["x/**"], rules: {b-leader: {limits: {span: 8 mm}}}}
  - {paths: ["y/**"], process: {bridge: 4 mm}}
  - {paths: ["x/y/**"], rules: {a-follower: {limits: {reach: 1 mm}}}}
`})
	for path, want := range map[string][2]float64{"a.stl": {15, 3}, "x/a.stl": {4, 3}, "y/a.stl": {15, 3}, "x/y/a.stl": {4, 1}} {
		rules := c.For(path).Rules
		assert.Equal(t, want[0], limitOf(t, rules, "a-follower", "span").Value, path)
		assert.Equal(t, want[1], limitOf(t, rules, "a-follower", "reach").Value, path)
	}
	other := load(t, one(paired+"places: [{paths: [a], rules: {b-leader: {limits: {span: 9 mm}}}}]"))
	assert.NotEqual(t, load(t, one(paired+"places: [{paths: [a], rules: {b-leader: {limits: {span: 8 mm}}}}]")).Digest, other.Digest)
}

// TestWhatCannotBeFollowed holds the complaints.
func TestWhatCannotBeFollowed(t *testing.T) {
	const first = "rules:\n  a: {measure: bridge, limits: {span: %s}, find: span > limits.span, level: note, say: s, because: b}\n"
	for text, want := range map[string]string{
		"rules.b.limits.span":                   `2:39: nothing here is called "rules.b.limits.span"; no rule is called b`,
		"rules.max-bridge-lenght.limits.span":   `no rule is called max-bridge-lenght (did you mean "max-bridge-length"?)`,
		"rules.max-bridge-length.limits.sapn":   `rule max-bridge-length has no limit sapn (did you mean "span"?)`,
		"rules.max-bridge-length.span":          "the limit of another rule is written rules.NAME.limits.NAME",
		"rules.min-wall.limits.area":            "limit span is mm2", // not what the measure counts in
		"rules.a.limits.span":                   "limits follow each other in a circle: rules.a.limits.span follows rules.a.limits.span",
		"1 mm / rules.crowded-edges.limits.any": "rule crowded-edges has no limit any",
	} {
		_, err := loadText(fmt.Sprintf(first, text))
		if want == "limit span is mm2" { // given first by this file, it may be an area
			require.ErrorContains(t, err, "mm on the left of >, but mm² on its right", text)
			continue
		}
		require.ErrorContains(t, err, want, text)
		assert.Len(t, err.(*Problems).List, 1, "%v", err)
	}
	_, err := loadText("rules: {max-bridge-length: {limits: {span: rules.sagging-bridge.limits.span}}, sagging-bridge: {limits: {span: rules.max-bridge-length.limits.span / 2}}}")
	require.ErrorContains(t, err, "limits follow each other in a circle: rules.max-bridge-length.limits.span follows rules.sagging-bridge.limits.span follows rules.max-bridge-length.limits.span")
	assert.Equal(t, 1, strings.Count(err.Error(), "circle"))
	_, err = loadText("rules: {sagging-bridge: {find: span > rules.max-bridge-length.limits.span}}")
	require.ErrorContains(t, err, "give this rule a limit that follows it")
	_, err = loadText("rules: {sagging-bridge: {limits: {span: rules.min-wall.limits.area}}}")
	require.ErrorContains(t, err, "limit span of rule sagging-bridge must be mm (built-in/standard.yml:")
	_, err = loadText("rules: {min-wall: {limits: {area: 3 foo}}, sagging-bridge: {limits: {span: rules.min-wall.limits.area}}}")
	assert.Len(t, err.(*Problems).List, 1, "what follows a mistake is none: %v", err)
}

// TestALongChainIsFollowedOnce holds that a chain of limits, each of which names the next one
// many times, is worked out once a limit: by the number of ways through it, it would never end.
func TestALongChainIsFollowedOnce(t *testing.T) {
	const length, times = 60, 12
	text := "rules:\n"
	for i := range length {
		next := "1 mm"
		if i+1 < length {
			next = strings.TrimSuffix(strings.Repeat(fmt.Sprintf("rules.a%d.limits.span + ", i+1), times), " + ")
			next = fmt.Sprintf("(%s) / %d", next, times)
		}
		text += fmt.Sprintf("  a%d: {measure: bridge, limits: {span: %s}, find: span > limits.span, level: note, say: s, because: b}\n", i, next)
	}
	c := load(t, one(text))
	first := limitOf(t, c.Rules(), "a0", "span")
	assert.InDelta(t, 1, first.Value, 1e-9)
	assert.Len(t, first.Follows, maxFollows)
}

// TestFirstUnitsMayGoInACircle holds that a pair may be turned round: the leader follows now,
// and the follower has a figure of its own.
func TestFirstUnitsMayGoInACircle(t *testing.T) {
	c := load(t, map[string]string{"house.yml": paired[1:], ".printlint.yml": "use: [standard, house.yml]\nrules: {b-leader: {limits: {span: rules.a-follower.limits.span}}, a-follower: {limits: {span: 7 mm}}}"})
	assert.Equal(t, 7.0, limitOf(t, c.Rules(), "b-leader", "span").Value)
}
