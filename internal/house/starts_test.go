package house

import (
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestOnePlaceStartsPrograms holds that the program starts nothing but git, and that in
// one place: what else it started might be a stranger's.
func TestOnePlaceStartsPrograms(t *testing.T) {
	var starts []string
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		for _, spec := range s.file.Imports {
			if name, _ := strconv.Unquote(spec.Path.Value); name == "os/exec" {
				starts = append(starts, s.path)
			}
		}
	}
	slices.Sort(starts)
	assert.Equal(t, []string{"internal/collection/repo/run.go"}, starts)
}
