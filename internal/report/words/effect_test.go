package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestEffectsPutWhatIsNewFirst compares a shelf on which one of each thing happened.
func TestEffectsPutWhatIsNewFirst(t *testing.T) {
	found := func(level finding.Level, c finding.Change) finding.Finding {
		return finding.Finding{Level: level, Change: c}
	}
	was := func(path string) *finding.Former { return &finding.Former{Path: path, Shape: sameShape} }
	now := func(path string, list ...finding.Finding) finding.Model {
		return finding.Model{Path: path, Status: finding.Checked, Findings: list, Was: was(path)}
	}
	better, renamed, fresh := now("better.stl"), now("renamed.stl", found(finding.Error, finding.Same)), now("fresh.stl", found(finding.Warning, finding.New))
	renamed.Notes, renamed.Was, fresh.Was = []string{"it was old.stl in main"}, was("old.stl"), nil
	accepted := now("accepted.stl", finding.Finding{Level: finding.Error, Change: finding.New, Waived: &finding.Waived{}})
	lost := finding.Model{Path: "better.stl", Findings: []finding.Finding{found(finding.Error, finding.Gone)}}
	split, gone := lost, lost
	split.Path, gone.Path = "split.stl", "gone.stl"
	r := &finding.Report{
		Models: []finding.Model{accepted, better, fresh, {Path: "pack.zip", Status: finding.Unreadable}, renamed, now("worse.stl", found(finding.Error, finding.New)),
			{Path: ".printlint.yml", Kind: finding.KindConfig}},
		Compared: &finding.Comparison{Models: []finding.Model{lost, split, gone}, Lost: []string{"empty.stl", "gone.stl"}},
	}
	var told [][3]string
	for _, e := range Effects(r) {
		told = append(told, [3]string{e.Path, e.Became, strings.Join(e.Counts(), ", ")})
	}
	assert.Equal(t, [][3]string{
		{"worse.stl", "the same shape", "1 error new"},
		{"fresh.stl", "new", "1 warning new"},
		{"better.stl", "", "1 error gone"},
		{"gone.stl", "the model is gone", "1 error gone"},
		{"split.stl", "it went into other models", "1 error gone"},
		{"accepted.stl", "the same shape", "1 accepted"},
		{"empty.stl", "the model is gone", ""},
		{"pack.zip", "it could not be judged", ""},
		{"renamed.stl", "it was old.stl in main; the same shape", "1 error as before"},
	}, told)
	r.Compared = nil
	assert.Empty(t, Effects(r))
}
