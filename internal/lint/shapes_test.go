package lint

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func block(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return shapes.Box(mesh.Vec{X: x0, Y: y0, Z: z0}, mesh.Vec{X: x1, Y: y1, Z: z1})
}

// hand has no symmetry, and hangs nowhere by more than hangRules allow.
func hand() *mesh.Triangles {
	return shapes.Join(block(0, 0, 0, 30, 20, 10), block(0, 0, 10, 5, 20, 20), block(20, 0, 10, 23, 5, 15))
}

func TestWhatShapesBecome(t *testing.T) {
	config := load(t, hangRules)
	for name, c := range map[string]struct {
		now    *mesh.Triangles
		became finding.Became
		words  string
	}{
		"the same bytes":  {hand(), finding.SameShape, "the same shape, from a file of the same bytes"},
		"in other order":  {shapes.Shuffle(hand(), 3), finding.SameShape, "the same shape"},
		"split":           {shapes.Split4(hand()), finding.SameShape, "the same shape; in other triangles, the same within 0.001 mm"},
		"moved":           {shapes.Move(hand(), mesh.Vec{X: 10, Z: 2.5}), finding.SameShape, "the same shape, moved by (10, 0, 2.5) mm"},
		"turned":          {shapes.Turn(hand(), shapes.Z, 37), finding.SameShape, "the same shape, turned 37° about the z axis"},
		"turned back":     {shapes.Turn(hand(), shapes.X, -90), finding.SameShape, "the same shape, turned -90° about the x axis"},
		"over":            {shapes.Turn(hand(), shapes.Y, 180), finding.SameShape, "the same shape, turned 180° about the y axis"},
		"mirrored":        {shapes.Mirror(hand()), finding.SameShape, "the same shape, mirrored along x (left is right)"},
		"in inches":       {shapes.Scale(hand(), 1/25.4), finding.SameShape, "the same shape, 25.4 times as small: a unit mistake?"},
		"in centimetres":  {shapes.Scale(hand(), 10), finding.SameShape, "the same shape, 10 times as large: a unit mistake?"},
		"a little larger": {shapes.Scale(hand(), 1.02), finding.SameShape, "the same shape, 1.02 times as large"},
		"inside out":      {shapes.Flip(hand()), finding.SameShape, "the same shape; 36 triangles face the other way now"},
		"with a peg":      {shapes.Move(shapes.Join(hand(), block(10, 5, 10, 12, 7, 13)), mesh.Vec{Y: 50}), finding.OtherShape, "the shape changed and moved by (0, 50, 0) mm: the surfaces lie up to 3.00 mm apart"},
	} {
		r := against(t, config, list(model(t, "m.stl", hand())), list(model(t, "m.stl", c.now)))
		require.NotNil(t, r.Models[0].Was, name)
		assert.Equal(t, c.became, r.Models[0].Was.Shape.Became, name)
		assert.Equal(t, c.words, r.Models[0].Was.Shape.Words, name)
	}
}

func TestAUnitMistakeIsAFinding(t *testing.T) {
	config := load(t, hangRules)
	small := shapes.Scale(hand(), 0.1)
	r := against(t, config, list(model(t, "m.stl", small)), list(model(t, "m.stl", shapes.Scale(small, 25.4))))
	require.Len(t, r.Models[0].Findings, 1)
	f := r.Models[0].Findings[0]
	assert.Equal(t, finding.RuleResized, f.Rule)
	assert.Equal(t, finding.Warning, f.Level)
	assert.Equal(t, finding.New, f.Change)
	assert.Equal(t, "same shape, 25.4 times as large: a unit mistake?", f.Message)
	assert.Equal(t, 1, r.Summary.Warning)
	assert.Equal(t, ExitFindings, Exit(r, finding.Warning))
	assert.Equal(t, ExitClean, Exit(r, finding.Error))
	for _, format := range []string{"text", "json", "markdown", "sarif", "junit", "html", "github"} {
		assert.Contains(t, bytesOf(t, format, r), "25.4 times as large", format)
	}
	r = against(t, config, list(model(t, "m.stl", hand())), list(model(t, "m.stl", shapes.Scale(hand(), 1.02))))
	assert.Empty(t, r.Models[0].Findings)
}

func TestFiguresOfBothSides(t *testing.T) {
	config := load(t, hangRules)
	bridge := func(long float64) *mesh.Triangles {
		return shapes.Join(block(0, 0, 0, 5, 10, 10), block(5+long, 0, 0, 10+long, 10, 10), block(0, 0, 10, 10+long, 10, 12))
	}
	r := against(t, config, list(model(t, "m.stl", bridge(12))), list(model(t, "m.stl", bridge(34))))
	m := &r.Models[0]
	of := func(v finding.Values, name string) float64 {
		x, ok := v.Get(name)
		assert.True(t, ok, name)
		return x
	}
	for name, want := range map[string][2]float64{
		"x": {22, 44}, "y": {10, 10}, "height": {12, 12}, "volume": {1440, 1880}, "bridge": {12, 34}, "bed": {100, 100},
	} {
		assert.InDelta(t, want[0], of(m.Was.Figures, name), 0.2, name)
		assert.InDelta(t, want[1], of(m.Figures, name), 0.2, name)
	}
	assert.Contains(t, bytesOf(t, "text", r), "longest bridge 12.0 → 34.0 mm")
	assert.Nil(t, check(t, config, Options{}, model(t, "m.stl", hand())).Models[0].Figures, "only a comparison takes them")
}

// TestSplitJoinedAndCopied holds that findings follow bodies that go into files of their own,
// or come together in one.
func TestSplitJoinedAndCopied(t *testing.T) {
	config := load(t, hangRules)
	a, b := ledge(20, 8, 0), shapes.Move(ledge(26, 12, 0), mesh.Vec{X: 60})
	plate := model(t, "plate.stl", shapes.Join(a, b))
	parts := list(model(t, "a.stl", shapes.Move(a, mesh.Vec{Y: 30})), model(t, "b.stl", shapes.Shuffle(shapes.Turn(b, shapes.Z, 90), 2)))
	r := against(t, config, list(plate), parts)
	assert.Equal(t, [3]int{0, 2, 0}, changes(r), "split")
	for i := range r.Models {
		assert.Equal(t, []string{"it was part of plate.stl in main"}, r.Models[i].Notes)
	}
	assert.Empty(t, r.Compared.Lost)
	r = against(t, config, parts, list(plate))
	assert.Equal(t, [3]int{0, 2, 0}, changes(r), "joined")
	assert.Equal(t, []string{"a.stl in main became part of it", "b.stl in main became part of it"}, r.Models[0].Notes)
	r = against(t, config, list(plate), list(model(t, "plate.stl", a), model(t, "b.stl", b)))
	assert.Equal(t, [3]int{0, 2, 0}, changes(r), "one stays, one goes into a file of its own")
	// Both have the same beam, and it must be told which of the two belongs to which.
	c, d := ledge(20, 8, 0), shapes.Move(ledge(33, 8, 0), mesh.Vec{X: 50})
	r = against(t, config, list(model(t, "two.stl", shapes.Join(c, d))), list(model(t, "c.stl", c), model(t, "d.stl", shapes.Move(d, mesh.Vec{X: -50}))))
	assert.Equal(t, [3]int{0, 2, 0}, changes(r), "split where bodies are alike")
	r = against(t, config, list(model(t, "a.stl", a)), list(model(t, "a.stl", a), model(t, "c.stl", a)))
	assert.Equal(t, [3]int{1, 1, 0}, changes(r), "a copy is a new model")
	assert.Equal(t, []string{"it is a copy of a.stl in main, which fails alike"}, r.Models[1].Notes)
	r = against(t, config, list(plate), nil)
	assert.Equal(t, []string{"plate.stl"}, r.Compared.Lost)
}

// TestRenamedAndEdited holds that a model is known again that was renamed and edited at once,
// and that another one in its place is not taken for it.
func TestRenamedAndEdited(t *testing.T) {
	config := load(t, hangRules)
	was := list(model(t, "old.stl", ledge(20, 8, 0)), model(t, "other.stl", shapes.T()))
	now := shapes.Move(shapes.Join(ledge(20, 8, 0), block(2, 2, 20, 4, 4, 22)), mesh.Vec{X: 5})
	r := against(t, config, was, list(model(t, "sub/new.stl", now), was[1]))
	assert.Equal(t, []string{"it was old.stl in main"}, r.Models[1].Notes)
	assert.Equal(t, finding.OtherShape, r.Models[1].Was.Shape.Became)
	assert.Equal(t, [3]int{0, changes(r)[1], 0}, changes(r))
	r = against(t, config, was[:1], list(model(t, "new.stl", ledge(60, 30, 0))))
	assert.Nil(t, r.Models[0].Was)
	assert.Equal(t, []string{"old.stl"}, r.Compared.Lost)
}

// TestNamesChanged holds that two models which changed names are known, and that a model
// which cannot be read does not lend its past to another one.
func TestNamesChanged(t *testing.T) {
	config := load(t, hangRules)
	one, two := ledge(20, 8, 0), ledge(40, 12, 0)
	r := against(t, config, list(model(t, "a.stl", one), model(t, "b.stl", two)), list(model(t, "b.stl", one), model(t, "a.stl", two)))
	assert.Equal(t, [3]int{0, 2, 0}, changes(r))
	assert.Equal(t, []string{"it was b.stl in main"}, r.Models[0].Notes)
	lost := func(path string) collection.File {
		return collection.New(path, path, 1, func() (collection.Content, error) { return nil, errors.New("cut off") })
	}
	r = against(t, config, list(model(t, "a.stl", one), lost("b.stl")), list(lost("a.stl"), model(t, "b.stl", one)))
	assert.Equal(t, 1, changes(r)[0], "what b.stl was is not known")
	assert.Nil(t, r.Models[1].Was)
	assert.Empty(t, r.Compared.Lost)
}

// TestMovedAndEdited holds that a finding stays known where the model was moved and much of
// it changed elsewhere.
func TestMovedAndEdited(t *testing.T) {
	config := load(t, hangRules)
	was := ledge(20, 8, 0)
	now := shapes.Move(shapes.Join(was, block(-80, 0, 0, 0, 40, 35)), mesh.Vec{X: 100, Y: 20, Z: 3})
	assert.Equal(t, [3]int{0, 1, 0}, changes(against(t, config, list(model(t, "m.stl", was)), list(model(t, "m.stl", now)))))
}

// TestComparisonWithinTheLimit holds that a comparison which costs too much is told of as
// what it is, and that nothing depends on who works.
func TestComparisonWithinTheLimit(t *testing.T) {
	h := &holder{opt: Options{TimeLimit: time.Nanosecond}}
	m := mesh.Weld(hand())
	l := h.one(context.Background(), &side{Model: &finding.Model{}, pair: &side{}}, m, m, 1)
	assert.Equal(t, finding.Unknown, l.Became)
	assert.Contains(t, l.Words, "limit of 1ns")
	config := load(t, hangRules)
	was := list(model(t, "a.stl", hand()), model(t, "b.stl", shapes.T()), model(t, "c.stl", ledge(20, 8, 0)))
	now := list(model(t, "a.stl", shapes.Turn(hand(), shapes.Z, 5)), model(t, "b.stl", shapes.Scale(shapes.T(), 2)), model(t, "d.stl", ledge(20, 9, 0)))
	run := func(jobs int) string {
		return bytesOf(t, "json", check(t, config, Options{Jobs: jobs, Before: &Before{Rev: "main", Commit: strings.Repeat("a", 40), Files: was}}, now...))
	}
	assert.Equal(t, run(1), run(5))
}
