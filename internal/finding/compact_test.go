package finding

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCompactChangesNothing reads a model with lists, and holds that no list has room behind it
// and that nothing else is different.
func TestCompactChangesNothing(t *testing.T) {
	const text = `{"path":"a.stl","notes":[],"findings":[{"rule":"hangs","level":"error","advice":"turn it","says":["reach","angle","area"],
		"values":{"reach":3},"limits":{"reach":2}}],"advice":{"poses":[{"words":"as it lies","costs":[],"left":[{"rule":"hangs","count":1}]}]}}`
	var as, compact Model
	require.NoError(t, json.Unmarshal([]byte(text), &as))
	require.NoError(t, json.Unmarshal([]byte(text), &compact))
	require.Greater(t, cap(compact.Findings[0].Says), 3, "a reader that leaves no room needs no cure")
	compact.Compact()
	assert.Equal(t, as, compact)
	assert.Equal(t, 1, cap(compact.Findings))
	assert.Equal(t, 3, cap(compact.Findings[0].Says))
	assert.Equal(t, 1, cap(compact.Advice.Poses))
	assert.Equal(t, 1, cap(compact.Advice.Poses[0].Left))
	var empty Model
	empty.Compact()
	assert.Equal(t, Model{}, empty)
}
