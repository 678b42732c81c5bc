package ruleset

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write what the tests see as what they want")

// wanted is the name of the expectation inside an archive of files.
const wanted = "complaints"

// TestComplaints loads each archive below testdata/complaints and compares everything
// that is complained about, whole. The expectation lies in the archive itself, so none
// can be left over without its files.
func TestComplaints(t *testing.T) {
	archives, err := filepath.Glob("testdata/complaints/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, archives)
	others, err := os.ReadDir("testdata/complaints")
	require.NoError(t, err)
	require.Len(t, others, len(archives), "a file among the archives that no test reads")
	for _, name := range archives {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			require.NoError(t, err)
			files, want := filesOf(archive)
			_, err = Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files), List: listing(files), Today: "2026-06-01"})
			require.Error(t, err, "nothing was complained about")
			require.IsType(t, &Problems{}, err)
			got := err.Error() + "\n"
			if *update {
				writeLast(t, name, archive, wanted, got)
				return
			}
			assert.Equal(t, want, got)
			assert.NotContains(t, got, "%!", "a complaint is ill-formed")
		})
	}
}

func filesOf(a *txtar.Archive) (files map[string]string, want string) {
	files = map[string]string{}
	for _, f := range a.Files {
		if f.Name == wanted {
			want = string(f.Data)
			continue
		}
		files[f.Name] = strings.NewReplacer("<TAB>", "\t", "<FF>", "\xff", "<ESC>", "\x1b").Replace(string(f.Data))
	}
	return files, want
}
