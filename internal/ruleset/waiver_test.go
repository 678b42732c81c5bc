package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var anywhere = [2][3]float64{{0, 0, 0}, {1, 1, 1}}

func TestWaive(t *testing.T) {
	c := load(t, one(`
waivers:
  - {path: "legacy/*.stl", rule: min-wall, reason: printed many times, until: 2027-03-01}
  - {path: "kit.zip", rule: min-wall, reason: by the maker, part: lid}
  - {path: "box.stl", rule: flat-base, reason: a brim holds it, box: [[12, 4, 3 cm], [0, 0, 0]]}
`)).NewUsage()
	for _, w := range []struct {
		path, part, rule string
		box              [2][3]float64
		want             string
	}{
		{"legacy/clip.stl", "", "min-wall", anywhere, "printed many times"},
		{"legacy/clip.stl", "any part", "min-wall", anywhere, "printed many times"},
		{"legacy/clip.stl", "", "thin-wall", anywhere, ""},
		{"legacy/deep/clip.stl", "", "min-wall", anywhere, ""},
		{"kit.zip!/lid.stl", "lid", "min-wall", anywhere, "by the maker"},
		{"kit.zip!/lid.stl", "", "min-wall", anywhere, ""},
		{"box.stl", "", "flat-base", anywhere, "a brim holds it"},
		{"box.stl", "", "flat-base", [2][3]float64{{0, 0, 0}, {12, 4, 30}}, "a brim holds it"},
		{"box.stl", "", "flat-base", [2][3]float64{{-0.09, 0, 0}, {12.09, 4, 30}}, "a brim holds it"},
		{"box.stl", "", "flat-base", [2][3]float64{{-0.11, 0, 0}, {12, 4, 30}}, ""},
		{"box.stl", "", "flat-base", [2][3]float64{{0, 0, 0}, {12, 4, 30.11}}, ""},
	} {
		got := c.Waive(w.path, w.part, w.rule, w.box)
		if w.want == "" {
			assert.Nil(t, got, "%+v", w)
			continue
		}
		require.NotNil(t, got, "%+v", w)
		assert.Equal(t, w.want, got.Reason)
	}
	assert.Equal(t, Position{".printlint.yml", 3, 5}, c.Waivers[0].From)
	assert.Equal(t, "2027-03-01", c.Waivers[0].Until)
}

// TestLastDay holds that a waiver counts on its last day and not on the next.
func TestLastDay(t *testing.T) {
	for until, holds := range map[string]bool{"2026-06-01": true, "2026-06-02": true, "2026-05-31": false, "2025-12-31": false} {
		c := load(t, one("waivers: [{path: a.stl, rule: min-wall, reason: fine, until: "+until+"}]")).NewUsage()
		got := c.Waive("a.stl", "", "min-wall", anywhere)
		assert.Equal(t, holds, got != nil, until)
		stale := c.Stale(Looked{})
		if holds {
			assert.Empty(t, stale)
			continue
		}
		require.Len(t, stale, 1)
		assert.Equal(t, "its last day was "+until+" in UTC", stale[0].Why)
	}
	c, err := Load("a.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(map[string]string{
		"a.yml": "waivers: [{path: a.stl, rule: min-wall, reason: fine, until: 1999-01-01}]"})})
	require.NoError(t, err)
	assert.NotNil(t, c.Waiver("a.stl", "", "min-wall", anywhere), "without a day of today none is past")
}

// TestStale tells waivers that matched nothing from those whose models were not asked.
func TestStale(t *testing.T) {
	c := load(t, one(`
waivers:
  - {path: "used/**", rule: min-wall, reason: one}
  - {path: "unused/**", rule: min-wall, reason: two}
  - {path: "absent/**", rule: min-wall, reason: three}
`)).NewUsage()
	require.NotNil(t, c.Waive("used/a.stl", "", "min-wall", anywhere))
	reasons := func(list []Stale) (out []string) {
		for _, s := range list {
			out = append(out, s.Reason+": "+s.Why)
		}
		return out
	}
	checked := []string{"used/a.stl", "unused/b.zip!/c.stl"}
	const two = "two: the rule finds nothing there, or a waiver before it accepts that"
	assert.Equal(t, []string{two}, reasons(c.Stale(Looked{Checked: checked})))
	assert.Equal(t, []string{two, "three: no model matches its path"}, reasons(c.Stale(Looked{Checked: checked, Whole: true})))
	assert.Empty(t, reasons(c.Stale(Looked{})))
}

// TestStaleWaitsForWhatWasNotJudged holds that nothing follows from a model that could not
// be read or decided, nor from a pack that could not be opened.
func TestStaleWaitsForWhatWasNotJudged(t *testing.T) {
	c := load(t, one(`
waivers:
  - {path: "a.stl", rule: min-wall, reason: a}
  - {path: "packs/*.zip!/b.stl", rule: min-wall, reason: b}
  - {path: "c.stl", rule: min-wall, reason: c}
  - {path: "a.stl", rule: min-wall, reason: past, until: 2000-01-01}
places:
  - {paths: ["packs/*.zip!/b.stl"], rules: {min-wall: {level: note}}}
  - {paths: ["packs/*.zap!/b.stl"], rules: {min-wall: {level: note}}}
`)).NewUsage()
	l := Looked{Checked: []string{"c.stl"}, Unjudged: []string{"a.stl", "packs/p.zip"}, Whole: true}
	var got []string
	for _, s := range c.Stale(l) {
		got = append(got, s.Reason)
	}
	assert.Equal(t, []string{"c", "past"}, got)
	places := c.StalePlaces(l)
	require.Len(t, places, 1)
	assert.Equal(t, "packs/*.zap!/b.stl", places[0].Paths)
}

// TestNearestPath holds what a path that matches nothing is told it may have meant.
func TestNearestPath(t *testing.T) {
	paths := []string{"statues/owl.stl", "statues/small/mouse.stl", "parts/clip.stl", "parts/hook.stl", "old/hook.stl"}
	for glob, want := range map[string]string{
		"statuse/**":        "statues/**",
		"statue/**":         "statues/**",
		"clip.stl":          "parts/clip.stl", // it is the only one of that name
		"part/clip.stl":     "parts/clip.stl",
		"hook.stl":          "", // two of them
		"parts/hok.stl":     "parts/hook.stl",
		"part/*.stl":        "parts/*.stl",
		"statues/smal/**":   "statues/small/**",
		"nothing/like/it/*": "",
		"parts/*.obj":       "",
	} {
		hint := ""
		if want != "" {
			hint = ` (did you mean "` + want + `"?)`
		}
		assert.Equal(t, hint, nearPath(glob, paths), glob)
	}
	assert.Empty(t, nearPath("a.stl", nil))
}

// TestTheFirstWaiverCounts holds that one that adds nothing is stale.
func TestTheFirstWaiverCounts(t *testing.T) {
	c := load(t, one(`
waivers:
  - {path: "**", rule: min-wall, reason: broad}
  - {path: "a.stl", rule: min-wall, reason: narrow}
`)).NewUsage()
	assert.Equal(t, "broad", c.Waive("a.stl", "", "min-wall", anywhere).Reason)
	stale := c.Stale(Looked{Whole: true})
	require.Len(t, stale, 1)
	assert.Equal(t, "narrow", stale[0].Reason)
}
