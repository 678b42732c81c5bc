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
		assert.True(t, r.Closes(same, Error))
		assert.True(t, r.Closes(added, Error))
	}
	assert.False(t, fresh.Closes(same, Error))
	assert.True(t, fresh.Closes(added, Error))
	assert.True(t, fresh.Closes(&Finding{Level: Error}, Error), "what nobody compared")
	assert.False(t, fresh.Closes(added, None))
	assert.False(t, fresh.Closes(&Finding{Level: Warning, Change: New}, Error))
	assert.True(t, fresh.Closes(&Finding{Level: Warning, Change: New}, Note))
	assert.False(t, fresh.Closes(&Finding{Level: Error, Change: New, Waived: &Waived{}}, Note))
	assert.False(t, fresh.Closes(&Finding{Level: None, Change: New}, Note))
}
