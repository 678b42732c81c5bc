package ruleset

import (
	"io/fs"
	"math"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seeds are the built-in sets, the example, every file that is complained about and
// every file about which schema and loader agree.
func seeds(t testing.TB) []string {
	var out []string
	names, err := fs.Glob(frozen, "*.yml")
	require.NoError(t, err)
	for _, name := range names {
		text, err := fs.ReadFile(frozen, name)
		require.NoError(t, err)
		out = append(out, string(text))
	}
	archives, err := filepath.Glob("testdata/complaints/*.txtar")
	require.NoError(t, err)
	for _, name := range archives {
		archive, err := txtar.ParseFile(name)
		require.NoError(t, err)
		files, _ := filesOf(archive)
		for _, f := range files {
			out = append(out, f)
		}
	}
	for _, a := range agreed {
		out = append(out, a.text)
	}
	sort.Strings(out)
	return append(out, withPlaces, wholeSeed)
}

// wholeSeed has rules over the whole model.
const wholeSeed = `rules:
  wide: {per: model, limits: {most: 2, long: 20 mm}, find: "count(bridge, span > limits.long and sequential) > limits.most or size.z / max(size.x, 1 mm) > 3",
    level: note, say: "{count(bridge, span > limits.long)} of {bridge.sites}", because: b}
  named: {per: model, limits: {most: 20 MB}, find: "not file.name matches '^[a-z]+[.](stl|3mf)$' or file.format in ['obj', \"ply\"] or not beside('READ*') or file.bytes > limits.most",
    level: note, say: "{file.name} {file.bytes}", because: b}
  heavy: {per: model, limits: {angle: 30 deg}, find: overhang.area > 9 mm2 and not (mesh.volume < -1 mm3) and cost.mass > 3 g, level: error, say: "{cost.mass}", because: b}
places:
- {paths: ["statues/**"], rules: {wide: {limits: {most: 3}}}}
`

// TestSeeds proves that the fuzz target starts from something: none is empty, and both
// right and wrong files are among them.
func TestSeeds(t *testing.T) {
	right, wrong := 0, 0
	for _, text := range seeds(t) {
		require.NotEmpty(t, strings.TrimSpace(text))
		if _, err := loadText(text); err == nil {
			right++
		} else {
			wrong++
		}
	}
	assert.Greater(t, right, 20)
	assert.Greater(t, wrong, 60)
}

func loadText(text string) (*Config, error) {
	files := map[string]string{".printlint.yml": text, "house.yml": "rules: {flat-base: {level: note}}"}
	return Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files), List: listing(files), Today: "2026-06-01"})
}

// FuzzLoad holds that no text breaks the loader, that its complaints name places that
// exist, and that what it accepts can judge.
func FuzzLoad(f *testing.F) {
	for _, text := range seeds(f) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := loadText(text)
		_, again := loadText(text)
		if err != nil {
			require.Equal(t, err, again, "two loads differ")
			checkProblems(t, text, err)
			return
		}
		require.NoError(t, again)
		require.Len(t, c.Digest, 64)
		for _, path := range []string{"a.stl", "statues/small/b.zip!/c.stl"} {
			v := c.For(path)
			for _, r := range v.Rules {
				for _, x := range []float64{0, 1, -3.7, math.Inf(1)} {
					checkRule(t, r, x)
				}
			}
		}
		u := c.NewUsage()
		u.Waive("a.stl", "", "flat-base", [2][3]float64{})
		l := Looked{Checked: []string{"a.stl"}, Unjudged: []string{"b.zip"}, Whole: true}
		u.Stale(l)
		c.StalePlaces(l)
	})
}

func checkProblems(t *testing.T, text string, err error) {
	require.IsType(t, &Problems{}, err)
	list := err.(*Problems).List
	require.NotEmpty(t, list)
	// In YAML a carriage return alone ends a line too (YAML 1.2.2, 5.4), and so do the
	// separators of YAML 1.1 that the library still counts.
	lines := 1
	for _, end := range []string{"\n", "\r", "\u0085", "\u2028", "\u2029"} {
		lines += strings.Count(text, end)
	}
	for i, p := range list {
		require.NotEmpty(t, p.Text)
		require.NotContains(t, p.Text, "%!")
		require.NotContains(t, p.Text, "\n")
		if p.Line == 0 || p.File != ".printlint.yml" {
			continue
		}
		require.LessOrEqual(t, p.Line, lines+1, "%v", p)
		require.Positive(t, p.Column)
		if i > 0 && list[i-1].File == p.File {
			require.LessOrEqual(t, list[i-1].Line, p.Line, "out of order")
		}
	}
}

func checkRule(t *testing.T, r *Rule, x float64) {
	values := make([]float64, len(r.def.Values))
	for i := range values {
		values[i] = x
		if r.def.Values[i].Unit == "bool" {
			values[i] = 1
		}
	}
	if _, err := r.Match(values); err != nil {
		require.Contains(t, err.Error(), "has no answer")
	}
	require.NotEmpty(t, r.Message(values))
	require.NotContains(t, r.Message(values)+r.Action(values)+r.Because, "\n")
	for _, a := range r.Asks() {
		require.Len(t, a.Params, len(find(fixture(), a.Measure).Params))
	}
	if r.Per == PerModel {
		whole, place := make([][]float64, len(r.asks)), []float64{x, x, x, x, x, x, x, x, x}
		for i := range whole {
			whole[i] = place
		}
		if _, err := r.Gather(nil, whole, func(int) [][]float64 { return [][]float64{place} }, func(int, int) {}); err != nil {
			require.Contains(t, err.Error(), "has no answer")
		}
	}
}
