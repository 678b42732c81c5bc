package finding

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWhatClosesAGate tries every kind of finding on both kinds of gate.
func TestWhatClosesAGate(t *testing.T) {
	plain, all, fresh := &Report{}, &Report{Compared: &Comparison{FailOn: FailOnAll}}, &Report{Compared: &Comparison{FailOn: FailOnNew}}
	same, added := &Finding{Level: Error, Change: Same}, &Finding{Level: Error, Change: New}
	for _, r := range []*Report{plain, all} {
		assert.True(t, r.Closes(&Model{}, same, Error))
		assert.True(t, r.Closes(&Model{}, added, Error))
	}
	assert.False(t, fresh.Closes(&Model{}, same, Error))
	assert.True(t, fresh.Closes(&Model{}, added, Error))
	assert.True(t, fresh.Closes(&Model{}, &Finding{Level: Error}, Error), "what nobody compared")
	assert.False(t, fresh.Closes(&Model{}, added, None))
	assert.False(t, fresh.Closes(&Model{}, &Finding{Level: Warning, Change: New}, Error))
	assert.True(t, fresh.Closes(&Model{}, &Finding{Level: Warning, Change: New}, Note))
	assert.False(t, fresh.Closes(&Model{}, &Finding{Level: Note, Rule: RuleStale}, Note))
	assert.True(t, all.Closes(&Model{}, &Finding{Level: Note, Rule: RuleStale}, Note))
	assert.False(t, fresh.Closes(&Model{}, &Finding{Level: Error, Change: New, Waived: &Waived{}}, Note))
	assert.False(t, fresh.Closes(&Model{}, &Finding{Level: None, Change: New}, Note))
}
