package cli

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersionSaysTheBuild(t *testing.T) {
	of := func(pairs ...string) string {
		info := &debug.BuildInfo{}
		for i := 0; i < len(pairs); i += 2 {
			info.Settings = append(info.Settings, debug.BuildSetting{Key: pairs[i], Value: pairs[i+1]})
		}
		return versionOf(info)
	}
	assert.Equal(t, release, versionOf(nil))
	assert.Equal(t, release, of())
	assert.Equal(t, release+"+0123456789ab", of("vcs.revision", "0123456789abcdef", "vcs.modified", "false"))
	assert.Equal(t, release+"+0123456789ab.changed", of("vcs.modified", "true", "vcs.revision", "0123456789abcdef"))
	assert.Equal(t, release+"+01", of("vcs.revision", "01"))
}
