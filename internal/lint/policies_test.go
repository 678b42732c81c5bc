package lint

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// policy is what a school or a society asks for: the words of a configuration beside the
// rules that hold anyway, with a folder that keeps to it and one that breaks it. Where the name of a
// rule is not "policy", another rule tells.
type policy struct {
	text          string
	keeps, breaks map[string][]byte
	rule          string
}

// mine makes a rule of one's own, with the limits and all else that stands before find.
func mine(per, find, more string) string {
	return "rules:\n  policy:\n    per: " + per + "\n    find: >-\n      " + find + "\n    level: error\n    say: it does not keep to the policy\n    because: we agreed on it\n" + more
}

// only is a folder with one model, and files beside it.
func only(name string, data []byte, beside ...string) map[string][]byte {
	files := map[string][]byte{name: data}
	for _, other := range beside {
		files[other] = []byte("x")
	}
	return files
}

// joined lays solids into one file.
func joined(list ...*mesh.Triangles) *mesh.Triangles {
	all := new(mesh.Triangles)
	for _, s := range list {
		all.Corners = append(all.Corners, s.Corners...)
	}
	return all
}

// amf is a file of tetrahedra in a unit.
func amf(unit string, models int) []byte {
	var b bytes.Buffer
	b.WriteString(`<amf unit="` + unit + `">`)
	for i := range models {
		b.WriteString(`<object id="` + string(rune('1'+i)) + `"><mesh><vertices>` +
			`<vertex><coordinates><x>0</x><y>0</y><z>0</z></coordinates></vertex><vertex><coordinates><x>20</x><y>0</y><z>0</z></coordinates></vertex>` +
			`<vertex><coordinates><x>0</x><y>20</y><z>0</z></coordinates></vertex><vertex><coordinates><x>0</x><y>0</y><z>20</z></coordinates></vertex></vertices>` +
			`<volume><triangle><v1>0</v1><v2>2</v2><v3>1</v3></triangle><triangle><v1>0</v1><v2>1</v2><v3>3</v3></triangle>` +
			`<triangle><v1>1</v1><v2>2</v2><v3>3</v3></triangle><triangle><v1>2</v1><v2>0</v2><v3>3</v3></triangle></volume></mesh></object>`)
	}
	b.WriteString(`</amf>`)
	return b.Bytes()
}

// box is a solid from the origin.
func box(x, y, z float64) *mesh.Triangles {
	return shapes.Box(shapes.Vec{}, shapes.Vec{X: x, Y: y, Z: z})
}

// policies are those that schools and societies ask for.
func policies(t *testing.T) map[string]policy {
	cube, tee := stl(t, shapes.Cube(20)), stl(t, shapes.T())
	two := joined(box(10, 10, 10), shapes.Box(shapes.Vec{X: 15}, shapes.Vec{X: 25, Y: 10, Z: 10}))
	near := joined(box(10, 10, 10), shapes.Box(shapes.Vec{X: 10.1}, shapes.Vec{X: 20, Y: 10, Z: 10}))
	open := stl(t, shapes.DropTriangles(shapes.Ball(10, 24), 1, 1))
	return map[string]policy{
		"weight":            {mine("model", "print.grams > 100 g", ""), only("a.stl", cube), only("a.stl", stl(t, shapes.Cube(80))), ""},
		"time":              {mine("model", "print.minutes > 4 h", ""), only("a.stl", cube), only("a.stl", stl(t, shapes.Cube(80))), ""},
		"support by weight": {mine("model", "support.grams > 0.2 g", ""), only("a.stl", cube), only("a.stl", tee), ""},
		"all that is laid": {mine("model", "print.grams + support.grams > 6 g or print.minutes + support.minutes > 2 h", "    limits: {brim: 5 mm}\n"),
			only("a.stl", stl(t, shapes.Cube(20))), only("a.stl", stl(t, shapes.Cube(27))), ""},
		"exactly one body":  {mine("model", "print.bodies != 1", ""), only("a.stl", cube), only("a.stl", stl(t, two)), ""},
		"parts a file":      {mine("model", "file.models > 2", ""), only("a.amf", amf("millimeter", 2)), only("a.amf", amf("millimeter", 3)), ""},
		"names":             {mine("model", `not file.name matches "^[a-z0-9-]+(_x[0-9]+)?\.[a-z0-9]+$"`, ""), only("foot_x4.stl", cube), only("Foot 4.stl", cube), ""},
		"formats":           {mine("model", `not file.format in ["stl", "3mf"]`, ""), only("a.stl", cube), only("a.amf", amf("inch", 1)), ""},
		"size of files":     {mine("model", "file.bytes > 20 kB", ""), only("a.stl", cube), only("a.stl", stl(t, shapes.Ball(10, 48))), ""},
		"note beside":       {mine("model", `not beside("README*")`, ""), only("a/b.stl", cube, "a/readme.md"), only("a/b.stl", cube, "README.md"), ""},
		"licence beside":    {mine("folder", `not beside("LICEN[CS]E*")`, ""), only("a/b.stl", cube, "a/LICENSE"), only("a/b.stl", cube, "LICENSE"), ""},
		"bed of a folder":   {"places: [{paths: [small/**], process: {bed: [100 mm, 100 mm, 100 mm]}}]\n", only("large/a.stl", stl(t, box(150, 20, 20))), only("small/a.stl", stl(t, box(150, 20, 20))), "fits-bed"},
		"size of a folder":  {mine("model", "size.longest > limits.most", "    limits: {most: 200 mm}\nplaces: [{paths: [keys/**], rules: {policy: {limits: {most: 60 mm}}}}]\n"), only("a/a.stl", stl(t, box(80, 20, 20))), only("keys/a.stl", stl(t, box(80, 20, 20))), ""},
		"no support":        {mine("model", "support.places > 0", ""), only("a.stl", cube), only("a.stl", tee), ""},
		"closed":            {mine("model", "mesh.open + mesh.crowded + mesh.reversed + mesh.inside_out > 0", ""), only("a.stl", cube), only("a.stl", open), ""},
		"footprint":         {mine("model", "base.pieces > 1 and base.flat < 300 mm2", ""), only("a.stl", cube), only("a.stl", stl(t, two)), ""},
		"wall":              {mine("model", "count(wall, thickness < limits.thickness) > 0", "    limits: {thickness: 1.2 mm}\n"), only("a.stl", cube), only("a.stl", stl(t, box(30, 1, 10))), ""},
		"clearance":         {mine("model", "count(gap, gap < limits.gap) > 0", "    limits: {gap: 0.3 mm}\n"), only("a.stl", stl(t, two)), only("a.stl", stl(t, near)), ""},
		"unit":              {mine("model", `file.unit != "mm"`, ""), only("a.amf", amf("millimeter", 1)), only("a.amf", amf("inch", 1)), ""},
		"unit not assumed":  {mine("model", `file.unit == "assumed"`, ""), only("a.amf", amf("inch", 1)), only("a.stl", cube), ""},
		"five pieces":       {mine("model", "print.bodies > 5", ""), only("a.stl", cube), only("a.stl", stl(t, row(6))), ""},
		"no images":         {mine("folder", `holds("*.png", "*.jpg", "*.jpeg") > 0`, ""), only("a/a.stl", cube), only("a/a.stl", cube, "a/photo.JPG"), ""},
		"source beside":     {mine("folder", `holds("*.step", "*.stp") < 1`, ""), only("a/a.stl", cube, "a/a.step"), only("a/a.stl", cube), ""},
		"no copies":         {mine("folder", "folder.copies > 0", ""), only("a/a.stl", cube), map[string][]byte{"a/a.stl": cube, "b/b.stl": cube}, ""},
		"names in capitals": {mine("folder", "folder.clash > 0", ""), only("a/a.stl", cube), only("a/a.stl", cube, "a/Note", "a/note"), ""},
		"left and right":    {mine("folder", "folder.uneven > 0", ""), map[string][]byte{"a_left.stl": cube, "a_right.stl": cube}, map[string][]byte{"a_left.stl": cube, "a_right.stl": tee}, ""},
	}
}

// row is so many cubes in a row.
func row(n int) *mesh.Triangles {
	all := new(mesh.Triangles)
	for i := range n {
		all = joined(all, shapes.Move(shapes.Cube(5), shapes.Vec{X: 10 * float64(i)}))
	}
	return all
}

// TestPoliciesOfSchools holds each policy to a folder that keeps to it and one that breaks it.
func TestPoliciesOfSchools(t *testing.T) {
	for name, p := range policies(t) {
		rule := p.rule
		if rule == "" {
			rule = "policy"
		}
		for _, broken := range []bool{false, true} {
			files := p.keeps
			if broken {
				files = p.breaks
			}
			models := lie(t, files)
			base := "version: 1\nuse: [standard]\n" // whose errors say what needs support
			if !strings.Contains(p.text, "support.") && p.rule == "" {
				base = fileProcess
			}
			r := check(t, loadAll(t, base+p.text), Options{Whole: true}, models...)
			found := false
			for _, m := range r.Models {
				for _, f := range m.Findings {
					found = found || f.Rule == rule
				}
				assert.False(t, m.Unjudged(), "%s: %s", name, m.Reason)
			}
			assert.Equal(t, broken, found, "%s: breaks %v", name, broken)
		}
	}
}

// TestAWaiverNeedsADay holds the policy about waivers, which is asked of the configuration.
func TestAWaiverNeedsADay(t *testing.T) {
	of := func(more string) error {
		text := "version: 1\nuse: [standard]\nwaiver-terms: {need: [until]}\nwaivers: [{path: a.stl, rule: min-wall, reason: printed many times" + more + "}]\n"
		_, err := ruleset.Load("rules.yml", ruleset.Options{Catalog: advise.Catalog(), Open: func(string) ([]byte, error) { return []byte(text), nil }})
		return err
	}
	require.NoError(t, of(", until: 2030-01-31"))
	require.ErrorContains(t, of(""), "until")
}
