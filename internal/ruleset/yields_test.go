package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestYieldsTo holds that the last word on what a rule yields to wins as a whole, an empty
// one too, and that it decides the digest.
func TestYieldsTo(t *testing.T) {
	const first = "rules: {thin-wall: {yields-to: [min-wall, min-floor]}}\n"
	c := load(t, one(first+`places:
  - {paths: [other/**], rules: {thin-wall: {yields-to: [flat-base]}}}
  - {paths: [none/**], rules: {thin-wall: {yields-to: []}}}
`))
	of := func(path string) *Rule { return rule(t, c.For(path).Rules, "thin-wall") }
	assert.Equal(t, []string{"min-wall", "min-floor"}, of("a.stl").YieldsTo)
	assert.Equal(t, []string{"flat-base"}, of("other/a.stl").YieldsTo)
	assert.Empty(t, of("none/a.stl").YieldsTo)
	assert.Contains(t, of("a.stl").Origins, Origin{"yields-to", Position{".printlint.yml", 1, 32}})
	assert.NotEqual(t, load(t, one("use: [standard]")).Digest, load(t, one(first)).Digest)
}
