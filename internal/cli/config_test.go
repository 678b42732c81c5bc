package cli

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/ruleset"
)

// folders makes folders and empty files, and moves to their top.
func folders(t *testing.T, paths ...string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, p := range paths {
		require.NoError(t, os.MkdirAll(filepath.Dir(p), 0o777))
		if filepath.Base(p) == "x" {
			continue // a folder only
		}
		require.NoError(t, os.WriteFile(p, nil, 0o666))
	}
}

// holds is the configuration that holds for the paths, on disk.
func holds(t *testing.T, paths ...string) (string, error) {
	t.Helper()
	s, err := newSearch(onDisk())
	require.NoError(t, err)
	return s.configOf(paths, collection.Find)
}

// TestOutermostConfigurationHolds holds that what a file is judged by depends on nothing but
// where it lies: not on how it is named, nor from where.
func TestOutermostConfigurationHolds(t *testing.T) {
	folders(t, "top/.printlint.yml", "top/a/.printlint.yml", "top/a/b/.printlint.yml", "top/a/b/c.stl",
		"top/repo/.git/HEAD", "top/repo/sub/t.stl", "top/in/.git/HEAD", "top/in/.printlint.yml", "top/in/sub/.printlint.yml", "top/in/sub/c.stl")
	top, err := os.Getwd()
	require.NoError(t, err)
	for _, cwd := range []string{".", "top", "top/a/b", "top/in/sub", "top/repo"} {
		t.Chdir(filepath.Join(top, cwd))
		for start, want := range map[string]string{
			"top":                "top/.printlint.yml",
			"top/a":              "top/.printlint.yml",
			"top/a/b":            "top/.printlint.yml",
			"top/a/b/c.stl":      "top/.printlint.yml",
			"top/repo":           "", // the one above the repository is none of its business
			"top/repo/sub/t.stl": "",
			"top/in":             "top/in/.printlint.yml",
			"top/in/sub/c.stl":   "top/in/.printlint.yml",
			"top/gone":           "top/.printlint.yml",
		} {
			full := filepath.Join(top, start)
			rel, err := filepath.Rel(filepath.Join(top, cwd), full)
			require.NoError(t, err)
			for _, named := range []string{full, rel} {
				got, err := holds(t, named)
				require.NoError(t, err)
				if want == "" {
					assert.Empty(t, got, "%s from %s", named, cwd)
					continue
				}
				assert.Equal(t, filepath.Join(top, want), filepath.Join(top, cwd, got), "%s from %s", named, cwd)
			}
		}
	}
}

// TestTwoConfigurationsAreRefused holds that no order and no way of naming lets one
// configuration judge what another holds for.
func TestTwoConfigurationsAreRefused(t *testing.T) {
	folders(t, ".git/HEAD", "a/.printlint.yml", "a/t.stl", "b/t.stl", "c/.printlint.yml", "c/t.stl", "d/.printlint.yml", "d/note.txt")
	for _, paths := range [][]string{
		{"a/t.stl", "b/t.stl"}, {"b/t.stl", "a/t.stl"}, {"a", "b"}, {"b", "a/t.stl"}, {"a", "c"}, {"c/t.stl", "a/t.stl"},
		{"."}, {".", "a/t.stl"}, {"a/t.stl", "."},
	} {
		_, err := holds(t, paths...)
		require.ErrorContains(t, err, "more than one configuration", "%q", paths)
		assert.ErrorContains(t, err, "a/.printlint.yml", "%q", paths)
	}
	for _, paths := range [][]string{{"a/t.stl"}, {"a"}, {"a/t.stl", "a"}} {
		got, err := holds(t, paths...)
		require.NoError(t, err)
		assert.Equal(t, "a/.printlint.yml", got)
	}
	require.NoError(t, os.RemoveAll("c"))
	require.NoError(t, os.Remove("b/t.stl"))
	got, err := holds(t, ".")
	require.NoError(t, err)
	assert.Equal(t, "a/.printlint.yml", got, "all models lie below it; d has none")
}

// TestLinkedFolder holds that a model is judged by the configuration of where it lies, and
// not of the link that leads there.
func TestLinkedFolder(t *testing.T) {
	folders(t, "real/.git/HEAD", "real/.printlint.yml", "real/parts/t.stl", "lax/.git/HEAD", "lax/.printlint.yml")
	require.NoError(t, os.Symlink("../real/parts", "lax/parts"))
	for _, p := range []string{"lax/parts", "lax/parts/t.stl", "real/parts"} {
		got, err := holds(t, p)
		require.NoError(t, err)
		assert.Equal(t, "real/.printlint.yml", got, p)
	}
}

// TestAlikeNames holds the names that are refused, and that no others are.
func TestAlikeNames(t *testing.T) {
	for _, name := range []string{".printlint.yaml", "printlint.yml", "printlint.yaml", ".printlint.yml.txt", "Printlint.YML", ".PrintLint.yml", ".printlint.yml "} {
		folders(t, name, "parts/t.stl")
		_, err := holds(t, "parts/t.stl")
		assert.ErrorContains(t, err, "a configuration is called .printlint.yml", name)
	}
	for _, name := range []string{".printlint.yml.example", ".printlint-accepted.yml", "house.yml", "other/printlint.yml", "printlint.yml/x"} {
		folders(t, name, "parts/t.stl")
		_, err := holds(t, "parts/t.stl")
		assert.NoError(t, err, name)
	}
}

// TestDaysEndInUTC holds that a waiver's last day is the same on every machine: shares of a
// run must not disagree on it.
func TestDaysEndInUTC(t *testing.T) {
	here := time.Local
	t.Cleanup(func() { time.Local = here })
	for hours, days := range map[int]int{14: 0, -12: -1} { // one of them is another day there, at any hour
		folders(t, "t.stl")
		time.Local = time.FixedZone("far away", hours*3600)
		day := time.Now().UTC().AddDate(0, 0, days).Format(time.DateOnly)
		require.NoError(t, os.WriteFile("a.yml", []byte("waivers: [{path: t.stl, rule: min-wall, reason: fine, until: "+day+"}]"), 0o666))
		l, err := onDisk().load("a.yml", nil, nil)
		require.NoError(t, err)
		past := len(l.NewUsage().Stale(ruleset.Looked{})) == 1
		assert.Equal(t, days < 0, past, "%s, %d hours from UTC", day, hours)
	}
}
