package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWaiverTerms holds waivers to what the files ask of them, all at once and with the cure.
func TestWaiverTerms(t *testing.T) {
	const house = "waiver-terms: {need: [until], reason: 20, most: 2, days: 90}\n"
	files := func(text string) map[string]string {
		return map[string]string{".printlint.yml": "use: [standard, house.yml]\n" + text, "house.yml": house}
	}
	try := func(text string) string {
		_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files(text)), Today: "2026-06-01"})
		if err == nil {
			return ""
		}
		return err.Error()
	}
	const good = "- {path: a.stl, rule: min-wall, reason: printed forty times by the print team, until: 2026-08-30}\n"
	assert.Empty(t, try("waivers:\n"+good+good))
	assert.Empty(t, try("waivers: []"))
	assert.Equal(t, ".printlint.yml:5:3: this waiver is one too many: house.yml:1:15 allows 2 and here are 4; mend a model and remove its waiver",
		try("waivers:\n"+good+good+good+good))
	assert.Equal(t, ".printlint.yml:3:3: this waiver needs until (house.yml:1:15 asks for it); write until: 2026-07-01, its last day\n"+
		".printlint.yml:3:3: the reason of this waiver has 4 letters and digits, and house.yml:1:15 asks for 20; say who accepts the finding, and why it does no harm",
		try("waivers:\n- {path: a.stl, rule: min-wall, reason: 'fine ...  .. ----   -----'}"))
	assert.Equal(t, ".printlint.yml:3:3: this waiver holds until 2026-08-31, and house.yml:1:15 allows 90 days; write until: 2026-08-30 or sooner",
		try("waivers:\n- {path: a.stl, rule: min-wall, reason: printed forty times by the print team, until: 2026-08-31}"))
	assert.Equal(t, ".printlint.yml:4:3: this waiver needs part (.printlint.yml:2:15 asks for it); write part: NAME, the part of the file that it speaks of\n"+
		".printlint.yml:4:3: this waiver needs box (.printlint.yml:2:15 asks for it); write box: [[x, y, z], [x, y, z]], around the findings that it speaks of",
		try("waiver-terms: {need: [part, box], most: 90, reason: 0}\nwaivers:\n"+good), "the terms of all files hold")
	for text, want := range map[string]string{
		"waiver-terms: {need: [reason]}": `2:23: need cannot be "reason"; it is one of until, part, box`,
		"waiver-terms: {most: many}":     "2:22: most must be a whole number from 0 to 100000",
		"waiver-terms: {most: -1}":       "2:22: most must be a whole number from 0 to 100000",
		"waiver-terms: {most: 1.5}":      "2:22: most must be a whole number from 0 to 100000",
		"waiver-terms: {least: 1}":       `2:16: unknown key "least" in waiver-terms (known here: days, most, need, reason)`,
		"waiver-terms: 3":                "2:15: waiver-terms must be a mapping (key: value), this is a number",
		"waivers: {need: [until]}":       "2:10: waivers must be a list, this is a mapping; what every waiver must have stands under waiver-terms, as in waiver-terms: {need: [until]}",
	} {
		assert.Equal(t, ".printlint.yml:"+want, try(text), text)
	}
}
