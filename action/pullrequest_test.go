package action_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// git runs git in a folder, with nothing of the machine's own settings.
func git(t *testing.T, dir string, args ...string) string {
	t.Helper()
	c := exec.Command("git", args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL=/dev/null", "GIT_CONFIG_SYSTEM=/dev/null",
		"GIT_AUTHOR_NAME=a", "GIT_AUTHOR_EMAIL=a@example.com", "GIT_COMMITTER_NAME=a", "GIT_COMMITTER_EMAIL=a@example.com")
	out, err := c.CombinedOutput()
	require.NoError(t, err, "%s", out)
	return strings.TrimSpace(string(out))
}

// TestOnlyTheChangeByTheRulesOfItsBase holds the two inputs of the example workflow, as
// a service fills them: the commit that a pull request is compared with.
func TestOnlyTheChangeByTheRulesOfItsBase(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"old.stl": shapes.T()})
	git(t, workspace, "init", "-q", "-b", "main")
	git(t, workspace, "add", ".")
	git(t, workspace, "commit", "-q", "-m", "The shelf")
	base := git(t, workspace, "rev-parse", "HEAD")
	for name, solid := range map[string]*mesh.Triangles{"new.stl": shapes.T(), "good.stl": shapes.Cube(20)} {
		path := shelf(t, map[string]*mesh.Triangles{name: solid})
		require.NoError(t, os.Rename(path+"/"+name, workspace+"/"+name))
	}
	write(t, workspace, ".printlint.yml", "version: 1\nrules: {max-overhang-angle: {level: none}, rough-underside: {level: none}, long-slope: {level: none}}\n")
	git(t, workspace, "add", ".")
	git(t, workspace, "commit", "-q", "-m", "A change that relaxes its own gate")

	r := runAction(t, workspace, map[string]string{"changed-since": base, "rules-from": base})
	assert.Equal(t, 1, r.code, r.complaints)
	assert.Equal(t, "2", r.outputs["models"])
	require.NotEmpty(t, r.commands)
	assert.Contains(t, strings.Join(r.commands, "\n"), "file=new.stl")
	assert.NotContains(t, r.log+r.summary, "old.stl")

	r = runAction(t, workspace, map[string]string{"changed-since": base})
	assert.Equal(t, 0, r.code, "by its own rules it would pass: %s", r.log)
}
