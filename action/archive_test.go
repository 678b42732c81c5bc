package action_test

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// builtArchive packs the program as a release does, and returns the archive and its checksum.
func builtArchive(t *testing.T) (path, sum string) {
	t.Helper()
	dir := t.TempDir()
	run := func(name string, args ...string) {
		c := exec.Command(name, args...)
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "printlint-here"), 0o777))
	run("go", "build", "-o", filepath.Join(dir, "printlint-here", "printlint"), "../cmd/printlint")
	path = filepath.Join(dir, "here.tar.gz")
	run("tar", "-C", dir, "-czf", path, "printlint-here")
	digest := sha256.Sum256([]byte(read(t, path)))
	return path, hex.EncodeToString(digest[:])
}

// withoutCompiler makes go refuse to build.
func withoutCompiler(t *testing.T) {
	t.Helper()
	real, err := exec.LookPath("go")
	require.NoError(t, err)
	dir := t.TempDir()
	text := "#!/bin/sh\n[ \"$1\" = env ] && exec '" + real + "' \"$@\"\necho 'no compiler here' >&2\nexit 1\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go"), []byte(text), 0o755))
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
}

// TestBuiltArchive holds that the action runs from an archive with nothing compiled, and that
// nothing of an archive runs whose checksum is another.
func TestBuiltArchive(t *testing.T) {
	archive, sum := builtArchive(t)
	workspace := shelf(t, map[string]*mesh.Triangles{"cube.stl": shapes.Cube(20)})
	withoutCompiler(t)
	r := runAction(t, workspace, map[string]string{"archive": archive, "checksum": strings.ToUpper(sum)})
	assert.Equal(t, 0, r.code, r.complaints)
	assert.Equal(t, "1", r.outputs["models"])
	for _, c := range []struct{ archive, checksum, says string }{
		{"", "", "could not be built from its checkout: no compiler here"},
		{archive, "", "archive: give the SHA-256"},
		{archive, "none", "archive: give the SHA-256"},
		{archive, strings.Repeat("0", 64), "it is another file than you asked for"},
		{archive + ".gone", sum, "archive: there is no file"},
		{"http://example.com/a.tar.gz", sum, "is no https address"},
		{"", sum, "checksum: it is of an archive, and none is given"},
	} {
		r := runAction(t, workspace, map[string]string{"archive": c.archive, "checksum": c.checksum})
		assert.Equal(t, 2, r.code, c.says)
		assert.Equal(t, map[string]string{"exit-code": "2"}, r.outputs)
		require.Len(t, r.commands, 1)
		assert.Contains(t, r.commands[0], c.says)
	}
}

// TestProgramThatDies holds that a program which ends without a word, as one does that is out of
// memory, is told of in words, and that a name with a colon is a file of this machine.
func TestProgramThatDies(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "printlint", "#!/bin/sh\n[ \"$1\" = version ] || kill -KILL $$\n")
	require.NoError(t, os.Chmod(filepath.Join(dir, "printlint"), 0o755))
	archive := filepath.Join(dir, "elsewhere:a.tar.gz")
	out, err := exec.Command("tar", "--force-local", "-C", dir, "-czf", archive, "printlint").CombinedOutput()
	require.NoError(t, err, "%s", out)
	digest := sha256.Sum256([]byte(read(t, archive)))
	workspace := shelf(t, map[string]*mesh.Triangles{"cube.stl": shapes.Cube(20)})
	require.NoError(t, os.Rename(archive, filepath.Join(workspace, filepath.Base(archive))))
	r := runAction(t, workspace, map[string]string{"archive": filepath.Base(archive), "checksum": hex.EncodeToString(digest[:])})
	assert.Equal(t, 2, r.code)
	require.Len(t, r.commands, 1)
	assert.Contains(t, r.commands[0], "printlint ended with exit code 137 and said nothing; 137 is mostly too little memory")
	assert.Contains(t, r.summary, "137")
}

// TestArtifact holds what is kept of a run: a page for each model, a summary, and pictures that it
// names from where it lies. The summary of the job, which can show no file, names none.
func TestArtifact(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"parts/cube.stl": shapes.Cube(20), "parts/t.stl": shapes.T()})
	r := runAction(t, workspace, map[string]string{"artifact": "models"})
	require.Equal(t, 1, r.code, r.complaints)
	folder := r.outputs["folder"]
	require.DirExists(t, folder)
	assert.FileExists(t, filepath.Join(folder, "pages", "index.html"))
	kept := read(t, filepath.Join(folder, "summary.md"))
	pictures := regexp.MustCompile(`(?m)^!\[[^\]]*\]\(([^)]*)\)$`).FindAllStringSubmatch(kept, -1)
	require.NotEmpty(t, pictures)
	for _, p := range pictures {
		assert.FileExists(t, filepath.Join(folder, p[1]))
	}
	assert.NotContains(t, r.summary, "![")
	assert.Equal(t, strings.Count(kept, "\n####"), strings.Count(r.summary, "\n####"))
	assert.Less(t, len(r.summary), 1<<20)

	r = runAction(t, workspace, nil)
	assert.Empty(t, r.outputs["folder"], "nothing is drawn that nobody asked for")

	d := readDefinition(t)
	last := d.Runs.Steps[len(d.Runs.Steps)-1]
	assert.Contains(t, last.If, "steps.check.outputs.folder != ''")
	assert.Contains(t, last.If, "!cancelled()", "a failed check is the one that is to be looked at")
	assert.Equal(t, "${{ steps.check.outputs.folder }}", last.With["path"])
}

// TestFailOnNew holds that only what a change brings fails the step.
func TestFailOnNew(t *testing.T) {
	workspace := shelf(t, map[string]*mesh.Triangles{"old.stl": shapes.T()})
	git(t, workspace, "init", "-q", "-b", "main")
	git(t, workspace, "add", ".")
	git(t, workspace, "commit", "-q", "-m", "The shelf")
	git(t, workspace, "mv", "old.stl", "renamed.stl")
	git(t, workspace, "commit", "-q", "-m", "Another name")
	inputs := map[string]string{"changed-since": "HEAD~1", "rules-from": "HEAD~1"}
	assert.Equal(t, 1, runAction(t, workspace, inputs).code)
	inputs["fail-on"] = "new"
	r := runAction(t, workspace, inputs)
	assert.Equal(t, 0, r.code, r.complaints)
	assert.Contains(t, r.summary, "as before")
}
