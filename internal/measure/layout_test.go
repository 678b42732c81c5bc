package measure

import (
	"context"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func TestTagsTellNameUnitAndDoc(t *testing.T) {
	type values struct {
		OverhangParams
		Low  float64 `measure:"low,mm2,signed" doc:"what may lie below 0"`
		Many int     `measure:"many" doc:"a count"`
		Yes  bool    `measure:"yes" doc:"a condition"`
	}
	l := layoutOf[values]()
	assert.Equal(t, []catalog.Value{
		{Name: "angle", Unit: catalog.Deg, Doc: "angle from vertical past which an underside counts as hanging"},
		{Name: "low", Unit: catalog.MM2, Doc: "what may lie below 0", Signed: true},
		{Name: "many", Doc: "a count"},
		{Name: "yes", Unit: catalog.Bool, Doc: "a condition"},
	}, l.values)
	assert.Equal(t, []float64{45, 0, 0, 0}, l.defaults)
	v := values{OverhangParams{30}, -2.5, 7, true}
	assert.Equal(t, []float64{30, -2.5, 7, 1}, flatten(nil, l, &v))
	assert.Equal(t, v, gather[values](l, []float64{30, -2.5, 7, 1}))
}

func TestWrongTagsPanicAtTheStart(t *testing.T) {
	for name, read := range map[string]func() *layout{
		"no tag": layoutOf[struct{ X float64 }],
		"no doc": layoutOf[struct {
			X float64 `measure:"x"`
		}],
		"unit": layoutOf[struct {
			X float64 `measure:"x,furlong" doc:"x"`
		}],
		"another spelling of a unit": layoutOf[struct {
			X float64 `measure:"x,cm" doc:"x"`
		}],
		"type": layoutOf[struct {
			X string `measure:"x" doc:"x"`
		}],
		"default": layoutOf[struct {
			X float64 `measure:"x" doc:"x" default:"much"`
		}],
		"the same name twice": layoutOf[struct {
			X float64 `measure:"x" doc:"x"`
			Y float64 `measure:"x" doc:"y"`
		}],
	} {
		assert.Panics(t, func() { read() }, name)
	}
}

func TestEveryMeasureIsNamedOnce(t *testing.T) {
	names := map[string]bool{}
	for _, m := range Catalog() {
		assert.False(t, names[m.Name], m.Name)
		names[m.Name] = true
		assert.NotEmpty(t, m.Title, m.Name)
		assert.NotEmpty(t, m.Doc, m.Name)
		assert.NotEmpty(t, m.Source, m.Name)
		assert.True(t, len(m.Values) > 0 || len(m.Model) > 0, m.Name)
	}
	assert.Len(t, names, len(registry))
	crossing := Mesh.def.Values[Mesh.def.Index("crossing")]
	assert.Contains(t, crossing.Doc, "up to "+strconv.Itoa(crossingLimit), "the words tell the bound")
}

// TestTypedResults holds that what others read is what the list says.
func TestTypedResults(t *testing.T) {
	requests := []Request{{Measure: "overhang", Params: []float64{50}}, Stability.Request(None{}), Column.Request(ColumnParams{8})}
	assert.Equal(t, Request{"column", []float64{8}}, requests[2])
	results, err := NewBody(mesh.Weld(shapes.T())).Measure(t.Context(), AsIs, process, Options{}, requests)
	require.NoError(t, err)
	p, ok := Overhang.Params(requests[0])
	assert.True(t, ok)
	assert.Equal(t, 50.0, p.Angle)
	p, ok = Overhang.Params(Request{Measure: "overhang"})
	assert.True(t, ok)
	assert.Equal(t, 45.0, p.Angle, "the default")
	_, ok = Overhang.Params(requests[1])
	assert.False(t, ok)
	assert.Equal(t, results[0].Model[1], Overhang.Model(&results[0]).Area)
	assert.Equal(t, results[1].Model[0], Stability.First(requests, results).Tip)
	assert.Equal(t, value(t, "stability", results[1].Sites[0], "centre"), Stability.Site(&results[1].Sites[0]).Centre)
	assert.Zero(t, Base.First(requests, results), "nobody asked")
	assert.Zero(t, Base.Model(&Result{Undecided: "it could not be taken"}))
	_, err = NewBody(mesh.Weld(shapes.T())).Measure(t.Context(), AsIs, process, Options{}, []Request{{"size", []float64{1}}})
	assert.ErrorContains(t, err, "measure size: it has 0 parameters, not 1")
}

// TestOnlyWhatIsAskedForIsBuilt counts the visitors of a sweep.
func TestOnlyWhatIsAskedForIsBuilt(t *testing.T) {
	for _, c := range []struct {
		name     string
		requests []Request
		visitors int
	}{
		{"not from layers", []Request{{"size", nil}, {"wall", nil}, {"mesh", nil}}, 0},
		{"one", []Request{{"base", nil}}, 1},
		{"the same twice", []Request{{"base", nil}, {"base", nil}}, 1},
		{"undersides and what lies below them", []Request{{"overhang", nil}}, 3},
		{"one angle for two measures", []Request{{"overhang", nil}, {"bridge", nil}, {"bridge", []float64{45, 3}}, {"island", nil}}, 4},
		{"two angles", []Request{{"overhang", nil}, {"bridge", []float64{50, 3}}}, 4},
		{"pieces are found once for all", []Request{{"stability", nil}, {"column", nil}, {"column", []float64{8}}, {"cavity", nil}}, 1},
	} {
		m := mesh.Weld(shapes.Cube(10))
		g, err := layers.NewGrid(m.Box(), process.Layer, 0.1)
		require.NoError(t, err)
		r := evaluationOf(&call{ctx: context.Background(), body: NewBody(m)}, process)
		s := &stack{evaluation: r, grid: g, mesh: m}
		for _, q := range c.requests {
			require.NoError(t, find(q.Measure).begin(r, q.Params))
		}
		for _, visit := range r.visits {
			visit(s)
		}
		assert.Len(t, s.visitors, c.visitors, c.name)
	}
}

// TestAMeasureMayNeedAnother takes the result of one for another, once.
func TestAMeasureMayNeedAnother(t *testing.T) {
	r := evaluationOf(&call{ctx: context.Background(), body: NewBody(mesh.Weld(shapes.Cube(10))), pose: AsIs}, process)
	Base.ask(r, None{})
	first, err := Base.of(r, None{})
	require.NoError(t, err)
	assert.InDelta(t, 100, first.model.Area, 2)
	again, err := Base.of(r, None{})
	require.NoError(t, err)
	assert.Same(t, first, again)
	assert.Panics(t, func() { _, _ = Island.of(r, None{}) }, "it was not asked for before the layers were swept")
}
