package main

import (
	"crypto/sha256"
	"fmt"
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

// fileText is what stands in a file.
func fileText(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

// TestSharesOfRecipes runs what the recipes of the page on audits run in each job, and holds
// that the shares make the bytes of one run.
func TestSharesOfRecipes(t *testing.T) {
	page := fileText(t, "../../docs/audit.md")
	matrix := regexp.MustCompile(`(?m)^ +"\$RUNNER_TEMP/printlint" (check --shard .*)$`).FindStringSubmatch(page)
	indexed := regexp.MustCompile(`(?m)^ +- printlint (check --shard auto .*)$`).FindStringSubmatch(page)
	require.NotNil(t, matrix)
	require.NotNil(t, indexed)
	dir := sharesScene(t)
	must(t, dir, "printlint check --also json=one.json models >/dev/null || [ $? = 1 ]; printlint check --also json=here.json >/dev/null || [ $? = 1 ]")
	must(t, dir, "for SHARE in 1 2 3 4; do printlint "+matrix[1]+"; done; printlint merge share-*.json --also json=matrix.json >/dev/null || [ $? = 1 ]")
	assert.Equal(t, fileText(t, dir+"/here.json"), fileText(t, dir+"/matrix.json"))
	must(t, dir, "mkdir reports; export PRINTLINT_SHARDS=8; for i in 0 1 2 3 4 5 6 7; do JOB_COMPLETION_INDEX=$i; export JOB_COMPLETION_INDEX; printlint "+
		strings.ReplaceAll(indexed[1], "/reports/", "reports/")+"; done; printlint merge reports/*.json --also json=indexed.json >/dev/null || [ $? = 1 ]")
	assert.Equal(t, fileText(t, dir+"/one.json"), fileText(t, dir+"/indexed.json"))
}

// TestStoredShelf holds that the recipe for object storage fetches each model for one share only,
// and that nothing is missing.
func TestStoredShelf(t *testing.T) {
	dir := sharesScene(t)
	for _, e := range examples(t) {
		if strings.Contains(e.text, "stored-$share.json") {
			code, out := shell(t, dir, e.text)
			require.Equal(t, 1, code, out)
		}
	}
	fetched := 0
	for share := 1; share <= 3; share++ {
		files, err := filepath.Glob(fmt.Sprintf("%s/work-%d/*.stl", dir, share))
		require.NoError(t, err)
		require.Len(t, files, 12)
		for _, f := range files {
			if fileText(t, f) == fileText(t, filepath.Join(dir, "models", filepath.Base(f))) {
				fetched++
			}
		}
	}
	assert.Equal(t, 12, fetched)
	must(t, dir, "printlint merge stored-*.json --also json=stored.json >/dev/null || [ $? = 1 ]; cd models; printlint check --also json=../one.json >/dev/null || [ $? = 1 ]")
	assert.Equal(t, fileText(t, dir+"/one.json"), fileText(t, dir+"/stored.json"))
}

// TestOnlyLargeFilesOfTheChange plays the recipe for a clone of depth 2 with the real git and
// git-lfs: only the content of the changed model is fetched, and it is judged.
func TestOnlyLargeFilesOfTheChange(t *testing.T) {
	page := fileText(t, "../../docs/pull-request.md")
	fetch := regexp.MustCompile(`(?s)      - run: \|\n(          printlint check --changed HEAD~1 .*?)      - run: (printlint [^\n]*)\n`).FindStringSubmatch(page)
	require.NotNil(t, fetch)
	top := t.TempDir()
	dir := filepath.Join(top, "author")
	keep := largeStore(t, top)
	must(t, top, "git init -q --bare -b main remote.git && git init -q -b main author && cd author && git lfs install --local && git remote add origin ../remote.git && echo '*.stl filter=lfs -text' > .gitattributes")
	for i := range 3 {
		keep(filepath.Join(dir, fmt.Sprintf("parts/old-%d.stl", i)), shapes.Cube(10+float64(i)))
	}
	must(t, dir, "git add . && git commit -q -m one && git commit -q --allow-empty -m two && git push -q origin main 2>&1")
	keep(filepath.Join(dir, "parts/hook.stl"), shapes.Hook())
	must(t, dir, "git add . && git commit -q -m 'A hook' && git push -q origin main 2>&1")

	must(t, top, "GIT_LFS_SKIP_SMUDGE=1 git clone -q --depth 2 \"file://$PWD/remote.git\" gate 2>&1 && cd gate && git lfs install --local --skip-smudge")
	gate := filepath.Join(top, "gate")
	require.Contains(t, fileText(t, gate+"/parts/hook.stl"), "git-lfs", "nothing is fetched yet")
	must(t, gate, "export RUNNER_TEMP="+t.TempDir()+"\n"+fetch[1])
	code, out := shell(t, gate, fetch[2])
	assert.Equal(t, 1, code, out)
	assert.Contains(t, out, "parts/hook.stl")
	assert.Contains(t, out, "1 model: 1 would fail")
	assert.Equal(t, string(stlOf(t, shapes.Hook())), fileText(t, gate+"/parts/hook.stl"))
	for i := range 3 {
		assert.Contains(t, fileText(t, fmt.Sprintf("%s/parts/old-%d.stl", gate, i)), "git-lfs", "not of the change")
	}
	assert.Equal(t, "2", strings.TrimSpace(must(t, gate, "git rev-list --count HEAD")))
}

// largeStore returns what puts a model into a repository that keeps content outside of git. Where
// git-lfs is not installed, which the gate does not let pass, a script fetches in its place.
func largeStore(t *testing.T, top string) func(path string, solid *mesh.Triangles) {
	t.Helper()
	if _, err := exec.LookPath("git-lfs"); err == nil {
		return func(path string, solid *mesh.Triangles) { put(t, path, solid) }
	}
	require.Empty(t, os.Getenv("PRINTLINT_NEED_LFS"), "git-lfs is asked for and not there")
	bin, store := filepath.Join(top, "bin"), filepath.Join(top, "store")
	for _, folder := range []string{bin, store} {
		require.NoError(t, os.Mkdir(folder, 0o777))
	}
	text := "#!/bin/bash\nset -eu\n[ \"$1\" = pull ] || exit 0\nIFS=, read -ra names <<<\"$3\"\n" +
		"for n in \"${names[@]}\"; do cp '" + store + "'/$(sed -n 's/^oid sha256://p' \"$n\") \"$n\"; done\n"
	require.NoError(t, os.WriteFile(filepath.Join(bin, "git-lfs"), []byte(text), 0o755))
	t.Setenv("PATH", bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	return func(path string, solid *mesh.Triangles) {
		data := stlOf(t, solid)
		oid := fmt.Sprintf("%x", sha256.Sum256(data))
		require.NoError(t, os.WriteFile(filepath.Join(store, oid), data, 0o666))
		pointer := fmt.Sprintf("version https://git-lfs.github.com/spec/v1\noid sha256:%s\nsize %d\n", oid, len(data))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(pointer), 0o666))
	}
}
