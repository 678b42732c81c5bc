package ruleset

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// effective is the name of the expectation, and asked of the paths asked about, inside
// an archive below testdata/effective.
const (
	effective = "effective"
	asked     = "asked"
)

// TestEffective loads each archive and compares, whole, what is in force: the process,
// and every rule that the archive's own files speak of, for each path asked about.
func TestEffective(t *testing.T) {
	archives, err := filepath.Glob("testdata/effective/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, archives)
	others, err := os.ReadDir("testdata/effective")
	require.NoError(t, err)
	require.Len(t, others, len(archives), "a file among the archives that no test reads")
	for _, name := range archives {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			require.NoError(t, err)
			files, _ := filesOf(archive)
			want, paths := files[effective], strings.Fields(files[asked])
			delete(files, effective)
			require.NotEmpty(t, paths, "no path is asked about")
			got := inForce(load(t, files), paths)
			if *update {
				writeLast(t, name, archive, effective, got)
				return
			}
			assert.Equal(t, want, got)
		})
	}
}

func writeLast(t *testing.T, name string, a *txtar.Archive, last, text string) {
	var files []txtar.File
	for _, f := range a.Files {
		if f.Name != last {
			files = append(files, f)
		}
	}
	a.Files = append(files, txtar.File{Name: last, Data: []byte(text)})
	require.NoError(t, os.WriteFile(name, txtar.Format(a), 0o644))
}

// inForce prints what holds for each path. Rules that stand in the built-in sets alone
// are left out.
func inForce(c *Config, paths []string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "sets: %s\nfail-at: %s\n", strings.Join(c.Sets, ", "), c.FailAt)
	for _, path := range paths {
		v := c.For(path)
		p := v.Process
		fmt.Fprintf(&b, "\n%s\n", path)
		fmt.Fprintf(&b, "  process: %s, nozzle %v, line %v, layer %v, bed %v, bridge %v, density %v, flow %v, price %v; unit %s\n",
			p.Material, p.Nozzle, p.Line, p.Layer, p.Bed, p.Bridge, p.Density, p.Flow, p.Price, v.Unit.Word)
		for _, r := range v.all {
			if own(r) {
				printRule(&b, r)
			}
		}
	}
	return b.String()
}

// own says whether a file of the archive speaks of the rule.
func own(r *Rule) bool {
	for _, o := range r.Origins {
		if !strings.HasPrefix(o.File, builtinDir) {
			return true
		}
	}
	return false
}

func printRule(b *strings.Builder, r *Rule) {
	fmt.Fprintf(b, "  %s: %s over %s %v\n", r.ID, r.Level, r.Measure, r.Asks()[0].Params)
	for _, l := range r.Limits {
		fmt.Fprintf(b, "    %s: %s from %q\n", l.Name, catalog.FormatLimit(l.Value, l.Unit), l.Text)
	}
	fmt.Fprintf(b, "    says: %s\n", r.Message(make([]float64, len(r.def.Values))))
	for _, o := range r.Origins {
		if !strings.HasPrefix(o.File, builtinDir) {
			fmt.Fprintf(b, "    %s at %s\n", o.Field, o.Position)
		}
	}
}
