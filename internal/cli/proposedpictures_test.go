package cli

import (
	"encoding/base64"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// picturesIn are the pictures of a page by their titles, decoded.
func picturesIn(t *testing.T, page string) map[string]string {
	t.Helper()
	list := map[string]string{}
	for _, m := range regexp.MustCompile(`aria-label="([^"]+)"><image id="[^"]+" width="\d+" height="\d+" href="data:image/png;base64,([^"]+)"`).FindAllStringSubmatch(page, -1) {
		png, err := base64.StdEncoding.DecodeString(strings.ReplaceAll(m[2], "&#43;", "+"))
		require.NoError(t, err)
		title, _, _ := strings.Cut(m[1], ", seen ")
		list[title] = string(png)
	}
	require.NotEmpty(t, list)
	return list
}

// TestPageShowsWhatIsAdvised: a flat, pieces and solids are drawn where they are advised, and
// before and after differ. No picture is large, however fine the model.
func TestPageShowsWhatIsAdvised(t *testing.T) {
	for name, c := range map[string]struct {
		solid    *mesh.Triangles
		has, not []string
	}{
		"cross": {cross(), []string{"Where to cut", "The pieces as they print", "Before", "After the change"}, []string{"What to cut off"}},
		"bored": {shapes.Channels(32, 26), []string{"Before", "After the change"}, []string{"What to cut off"}},
		"feet":  {shapes.FiveFeet([5]float64{.3, 0, .5, .6, .9}, 40), []string{"What to cut off", "The flat it then stands on"}, []string{"Where to cut"}},
		"pin":   {shapes.Join(shapes.Cylinder(15, 4, 48), shapes.Move(shapes.Cylinder(.5, 30, 48), shapes.Vec{Z: 4})), []string{"Before", "After the change"}, []string{"Where to cut"}},
		"fin":   {shapes.Fin(.3), []string{"Before", "After the change"}, []string{"Where to cut"}},
		"cube":  {shapes.Cube(20), nil, []string{"What to cut off", "Where to cut", "Before"}},
	} {
		path := saveSTL(t, t.TempDir(), "m.stl", c.solid)
		code, page, told := run(t, Env{}, "advise", "--format", "html", path)
		require.Equal(t, 0, code, told)
		pictures := picturesIn(t, page)
		seen := map[string]string{}
		for _, title := range c.has {
			png := pictures[title]
			if assert.NotEmpty(t, png, "%s: %s", name, title) {
				assert.Less(t, len(png), 150_000, "%s: %s", name, title)
				assert.Empty(t, seen[png], "%s: %s looks as this", name, title)
				seen[png] = title
			}
		}
		for _, title := range c.not {
			assert.NotContains(t, pictures, title, name)
		}
	}
}

// TestCheckShowsAFlat: the gate's page shows it too, with what can be done in a table, and so
// does the folder of pages.
func TestCheckShowsAFlat(t *testing.T) {
	dir := t.TempDir()
	path := saveSTL(t, dir, "m.stl", shapes.FiveFeet([5]float64{.3, 0, .5, .6, .9}, 40))
	out := filepath.Join(t.TempDir(), "pages") + string(filepath.Separator)
	_, page, told := run(t, Env{}, "check", "--cache", "off", "--format", "html", "--also", "html="+out, path)
	alone, err := os.ReadFile(filepath.Join(out, "m1.html"))
	require.NoError(t, err)
	for _, text := range []string{page, string(alone)} {
		assert.Contains(t, picturesIn(t, text), "What to cut off", told)
		assert.Contains(t, text, `<table class="choices">`)
	}
	_, text, _ := run(t, Env{}, "check", "--cache", "off", "--format", "markdown", path)
	assert.Contains(t, text, "| what can be done, the best first |")
	assert.Contains(t, text, "| cut a flat to stand on | 0 |")
}

// TestBodiesLieApart: laid in rows, no two overlap, and the boxes are those they had.
func TestBodiesLieApart(t *testing.T) {
	var list []*mesh.Mesh
	for i := range 7 {
		x := float64(i)
		list = append(list, mesh.Weld(shapes.Box(mesh.Vec{X: -x, Z: -3}, mesh.Vec{X: 10 * (x + 1), Y: 5 + x, Z: 4 * x})))
	}
	for n := 1; n <= len(list); n++ {
		laid := inRows(list[:n])
		require.Len(t, laid, n)
		for i, m := range laid {
			box := m.Box()
			assert.InDelta(t, 0, box.Min.Z, 1e-5)
			assert.InDelta(t, 0, box.Size().Sub(list[i].Box().Size()).Len(), 1e-4)
			for k := range i {
				other := laid[k].Box()
				apart := max(box.Min.X-other.Max.X, other.Min.X-box.Max.X, box.Min.Y-other.Max.Y, other.Min.Y-box.Max.Y)
				assert.Greater(t, apart, 1.0, "%d and %d of %d", k, i, n)
			}
		}
	}
}
