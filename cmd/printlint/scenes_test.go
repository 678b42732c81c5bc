package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// put writes a solid as binary STL.
func put(t *testing.T, path string, solid *mesh.Triangles) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(t, os.WriteFile(path, stlOf(t, solid), 0o666))
}

func stlOf(t *testing.T, solid *mesh.Triangles) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&b, solid, "test"))
	return b.Bytes()
}

// pullRequestScene is a clone of a bare remote, on a branch that adds a hook that does
// not print as it lies.
func pullRequestScene(t *testing.T) string {
	top := t.TempDir()
	dir := filepath.Join(top, "clone")
	must(t, top, "git init -q --bare -b main remote.git && git clone -q remote.git clone 2>&1 && cd clone && git checkout -q -b main")
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte("version: 1\nuse: [standard]\n"), 0o666))
	put(t, filepath.Join(dir, "parts/old.stl"), shapes.T()) // bad, but none of this change
	must(t, dir, "git add . && git commit -q -m 'The shelf' && git push -q origin main 2>&1 && git checkout -q -b hook")
	put(t, filepath.Join(dir, "parts/hook.stl"), shapes.Hook())
	must(t, dir, "git add . && git commit -q -m 'A hook'")
	return dir
}

// auditScene is a folder with a downloaded pack of 300 models, some of them bad, and
// one of these taken out of it.
func auditScene(t *testing.T) string {
	dir := t.TempDir()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	add := func(name string, solid *mesh.Triangles) {
		w, err := z.Create("models/" + name)
		require.NoError(t, err)
		_, err = w.Write(stlOf(t, solid))
		require.NoError(t, err)
	}
	add("hook.stl", shapes.Hook())
	put(t, filepath.Join(dir, "models/hook.stl"), shapes.Hook())
	for i := range 299 {
		solid := shapes.Cube(10 + float64(i)/20)
		if i%30 == 0 {
			solid = shapes.T()
		}
		add(fmt.Sprintf("part-%03d.stl", i), solid)
	}
	require.NoError(t, z.Close())
	require.NoError(t, os.WriteFile(filepath.Join(dir, "spring-pack.zip"), b.Bytes(), 0o666))
	return dir
}

// strangersScene is a downloaded pack beside the rules of the house.
func strangersScene(t *testing.T) string {
	dir := t.TempDir()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("hook.stl")
	require.NoError(t, err)
	_, err = w.Write(stlOf(t, shapes.Hook()))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	require.NoError(t, os.WriteFile(filepath.Join(dir, "pack.zip"), b.Bytes(), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "house.yml"), []byte("version: 1\nprocess: {material: petg}\n"), 0o666))
	return dir
}

// hookScene is a repository with a bad model that is not staged yet.
func hookScene(t *testing.T) string {
	dir := t.TempDir()
	must(t, dir, "git init -q -b main && git commit -q --allow-empty -m Begin")
	put(t, filepath.Join(dir, "parts/hook.stl"), shapes.Hook())
	return dir
}

// shelfScene is an old collection: bad models, and a configuration.
func shelfScene(t *testing.T) string {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "old/t.stl"), shapes.T())
	put(t, filepath.Join(dir, "old/hook.stl"), shapes.Hook())
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte("version: 1\nuse: [standard]\n"), 0o666))
	return dir
}

// sharesScene is a folder of models to be shared out, some of them bad.
func sharesScene(t *testing.T) string {
	dir := t.TempDir()
	for i := range 11 {
		put(t, filepath.Join(dir, fmt.Sprintf("models/part-%02d.stl", i)), shapes.Cube(10+float64(i)))
	}
	put(t, filepath.Join(dir, "models/hook.stl"), shapes.Hook())
	bin := filepath.Join(dir, "bin")
	require.NoError(t, os.MkdirAll(bin, 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(bin, "sbatch"), []byte(arrayOfTasks), 0o755))
	t.Setenv("PATH", bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	return dir
}

// severalScene is a folder with a model that prints on a larger bed alone, and with answers of
// the smaller printer.
func severalScene(t *testing.T) string {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "models/plate.stl"), shapes.Box(mesh.Vec{}, mesh.Vec{X: 150, Y: 150, Z: 3}))
	put(t, filepath.Join(dir, "models/cube.stl"), shapes.Cube(20))
	must(t, dir, `mkdir answers
printf 'version: 1\nprocess: {material: petg, bed: [120 mm, 120 mm, 120 mm]}\n' > asked.yml
printlint coupon --config asked.yml --out asked
sed 's/^date: /date: 2026-11-20/; s/^machine: /machine: mini-2/; s/^    held:  *# it sags/    held: 40 # it sags/' asked/answers.yml > answers/mini-2.yml
rm -r asked asked.yml`)
	return dir
}

// arrayOfTasks plays the part of Slurm: it runs the tasks of an array, the last one first, and
// tells each its number the way Slurm does.
const arrayOfTasks = `#!/bin/bash
set -eu
last=$(sed -n 's/^#SBATCH --array=1-//p' "$2")
for ((task = last; task > 0; task--)); do
  SLURM_ARRAY_TASK_ID=$task SLURM_ARRAY_TASK_COUNT=$last SLURM_ARRAY_TASK_MIN=1 SLURM_ARRAY_TASK_MAX=$last SLURM_ARRAY_TASK_STEP=1 sh "$2"
done
`

// printerScene is a shelf with a ledge, and what two prints of the test pieces gave: the
// answers that docs/your-printer.md shows, and others that are worse at ledges.
func printerScene(t *testing.T) string {
	dir := t.TempDir()
	ledge := shapes.Polygon{{0, 0}, {10, 0}, {10, 10}, {12, 10}, {12, 20}, {0, 20}}
	put(t, filepath.Join(dir, "models/ledge.stl"), shapes.ExtrudeY(ledge, 0, 20))
	must(t, dir, "printlint check --no-advice models && mkdir answers && printlint coupon --out asked")
	asked, err := os.ReadFile(filepath.Join(dir, "asked/answers.yml"))
	require.NoError(t, err)
	page, err := os.ReadFile("../../docs/your-printer.md")
	require.NoError(t, err)
	given := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindSubmatch(page)
	require.NotNil(t, given)
	_, made, found := strings.Cut(string(asked), "made-for:")
	require.True(t, found)
	made, _, found = strings.Cut(made, "\nrows:")
	require.True(t, found)
	one := "version: 1\nmade-for:" + made + string(given[1])
	again := strings.NewReplacer("2026-11-20", "2026-11-21", "held: 2.5", "held: 1.5").Replace(one)
	for name, text := range map[string]string{"bench-2.yml": one, "bench-2-again.yml": again} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "answers", name), []byte(text), 0o666))
	}
	return dir
}
