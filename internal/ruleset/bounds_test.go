package ruleset

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/pathname"
)

// TestBounds holds what a stranger's file may ask for at most.
func TestBounds(t *testing.T) {
	places := "places:\n" + strings.Repeat("  - {paths: [a], unit: in}\n", maxPlaces+1)
	_, err := loadText(places)
	assert.EqualError(t, err, ".printlint.yml:2:3: here are 201 places, more than the 200 that are read; let one glob speak for several")
	var many strings.Builder
	many.WriteString("rules:\n")
	for i := range maxRules + 1 {
		fmt.Fprintf(&many, "  r%d: {level: note}\n", i)
	}
	_, err = loadText(many.String())
	assert.EqualError(t, err, ".printlint.yml:2:3: here are 501 rules, more than the 500 that are read")
	sets := map[string]string{".printlint.yml": "use: [standard"}
	for i := range maxSets {
		name := fmt.Sprintf("s%d.yml", i)
		sets[name] = "version: 1"
		sets[".printlint.yml"] += ", " + name
	}
	sets[".printlint.yml"] += "]"
	_, err = Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(sets)})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "more than 64 sets in use")
}

// TestTheMostThatIsRead loads a file at its bounds: it takes no longer than a person
// waits, though the figure itself is no assertion.
func TestTheMostThatIsRead(t *testing.T) {
	var text strings.Builder
	text.WriteString("rules:\n")
	for i := range maxRules {
		fmt.Fprintf(&text, "  r%d: {measure: wall, limits: {a: %d mm}, find: thickness < limits.a, level: note, say: s, because: b}\n", i, i+1)
	}
	text.WriteString("places:\n")
	for i := range maxPlaces {
		fmt.Fprintf(&text, "  - {paths: ['p%d/**'], rules: {r0: {level: error}}}\n", i)
	}
	start := time.Now()
	c, err := loadText(text.String())
	require.NoError(t, err)
	t.Logf("%d rules in %d places: %v", maxRules, maxPlaces, time.Since(start))
	v := c.For("p7/a.stl")
	assert.Same(t, rule(t, c.Rules(), "r1"), rule(t, v.Rules, "r1"), "a rule that no place touches is shared")
	assert.NotSame(t, rule(t, c.Rules(), "r0"), rule(t, v.Rules, "r0"))
}

// TestGlobsCannotStall holds that braces, which multiply, are bounded.
func TestGlobsCannotStall(t *testing.T) {
	for glob, want := range map[string]int{
		"**/*.{stl,obj}": 2, "{a,b}{c,d}{e,f,g}": 12, "{a,{b,c}}": 4, "a,b": 1, "}{": 1, strings.Repeat("{a,b}", 10): 1024,
	} {
		assert.Equal(t, want, alternatives(glob), glob)
	}
	for _, glob := range []string{strings.Repeat("{a,}", 40), "a" + strings.Repeat("b", maxGlob)} {
		_, err := loadText("models: {include: ['" + glob + "']}")
		assert.EqualError(t, err, ".printlint.yml:1:20: a glob may have 500 characters and its braces 1000 alternatives; write several globs")
	}
	start := time.Now()
	assert.False(t, pathname.Match(strings.Repeat("{a,aa}", 9)+strings.Repeat("**/", 20)+"x", strings.Repeat("a/", 200)))
	t.Logf("the worst glob that is read: %v", time.Since(start))
}
