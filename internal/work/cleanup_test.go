package work

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWhatIsLeftIsCleanedUpOnce(t *testing.T) {
	var done []string
	note := func(name string) func() { return func() { done = append(done, name) } }
	now := AtExit(note("first"))
	AtExit(note("second"))
	AtExit(note("third"))
	now()
	now()
	CleanUp()
	CleanUp()
	now()
	assert.Equal(t, []string{"first", "third", "second"}, done)
}
