package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestRunsDoNotSeeEachOther holds that nothing of one run is left for the next: neither the
// waivers and accepted findings that held, nor the files that were renamed.
func TestRunsDoNotSeeEachOther(t *testing.T) {
	c := load(t, map[string]string{
		".printlint.yml": "accepted: [old.yml]\nwaivers: [{path: a.stl, rule: min-wall, reason: fine}]",
		"old.yml":        written(t, clip),
	})
	seen := Looked{Checked: []string{"a.stl"}}
	first, second := c.NewUsage(), c.NewUsage()
	for _, u := range []*Usage{first, second} {
		assert.Len(t, u.Stale(seen), 1, "nothing is used yet")
		assert.Len(t, u.StaleAccepted([]string{clip.Path}, nil, true), 3)
		assert.NotNil(t, u.Waive("a.stl", "", "min-wall", anywhere))
		u.Take("moved/clip.stl", clip.Path)
		assert.Equal(t, []string{"old.yml", "old.yml", "old.yml"}, accept(u, "moved/clip.stl", "", clip.Findings))
		assert.Empty(t, u.Stale(seen))
		assert.Empty(t, u.StaleAccepted([]string{"moved/clip.stl"}, nil, true))
	}
	third := c.NewUsage()
	assert.Empty(t, third.Taken("moved/clip.stl"))
	assert.NotNil(t, third.Waiver("a.stl", "", "min-wall", anywhere))
	assert.Len(t, third.Stale(seen), 1, "a finding that is only supposed uses nothing up")
}
