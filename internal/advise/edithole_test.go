package advise

import (
	"context"
	"io/fs"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/cut"
	"printlint/internal/dice"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// A plastic that bridges 10 mm, and one that bridges 2 mm, in thick layers, of which there are few.
const (
	coarse = "version: 1\nprocess: {nozzle: 0.8 mm}\n"
	soft   = "version: 1\nprocess: {nozzle: 0.8 mm, material: tpu}\n"
)

// adviceBy is the whole advice on a solid by a configuration.
func adviceBy(t *testing.T, text string, solid *mesh.Triangles) *finding.Advice {
	t.Helper()
	v, config := verdictBy(t, text, solid)
	q := &Question{Options: Options{Depth: Full}, AsItLies: v, Findings: verdict.Unite([]*verdict.Verdict{v}).Findings(nil), Config: config, Path: "a.stl"}
	advice, err := q.Answer(context.Background())
	require.NoError(t, err)
	return advice
}

// verdictBy is the verdict on a solid as it lies, by a configuration.
func verdictBy(t *testing.T, text string, solid *mesh.Triangles) (*verdict.Verdict, *ruleset.Config) {
	t.Helper()
	config, err := ruleset.Load(".printlint.yml", ruleset.Options{
		Catalog: Catalog(), Open: func(name string) ([]byte, error) {
			if name == ".printlint.yml" {
				return []byte(text), nil
			}
			return nil, fs.ErrNotExist
		},
	})
	require.NoError(t, err)
	s := verdict.New(mesh.Weld(solid), "", config.For("a.stl"), Extra...)
	results, err := s.Body.Measure(context.Background(), measure.AsIs, s.View.Process, measure.Options{}, s.Requests)
	require.NoError(t, err)
	v, err := s.Judge(results)
	require.NoError(t, err)
	return v, config
}

// asDrawn is a mesh as files hold it, each triangle by itself.
func asDrawn(m *mesh.Mesh) *mesh.Triangles {
	s := &mesh.Triangles{}
	for _, t := range m.Tris {
		s.Corners = append(s.Corners, m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]])
	}
	return s
}

// drilled is a closed solid with a round hole through it.
func drilled(t *testing.T, m *mesh.Mesh, along, at mesh.Vec, radius float64, sides int) *mesh.Mesh {
	t.Helper()
	u := mesh.Vec{Z: 1}.Cross(along).Unit()
	v := along.Cross(u)
	var planes []cut.Plane
	for i := range sides {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(sides))
		n := u.Scale(cos).Add(v.Scale(sin))
		planes = append(planes, cut.Plane{Normal: n, Offset: n.Dot(at) + radius*math.Cos(math.Pi/float64(sides))})
	}
	rest, _, err := cut.Away(work.Of(t.Context()), m, planes)
	require.NoError(t, err)
	return rest
}

// bored is a block with two round holes, one above the other and square to each other.
func bored(t *testing.T, radius, above float64, sides int) *mesh.Triangles {
	t.Helper()
	wide := 2*radius + 20
	m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: wide, Y: wide, Z: 10 + 2*(2*radius+above)}))
	m = drilled(t, m, mesh.Vec{X: 1}, mesh.Vec{Y: wide / 2, Z: 10 + radius}, radius, sides)
	return asDrawn(drilled(t, m, mesh.Vec{Y: 1}, mesh.Vec{X: wide / 2, Z: 10 + 3*radius + above}, radius, sides))
}

// kept is the model as the edits leave it, with nothing added, as a file holds it.
func kept(t *testing.T, solid *mesh.Triangles, e *finding.Edits) *mesh.Triangles {
	t.Helper()
	posed, _ := mesh.Weld(solid).Posed(e.Pose.Matrix)
	var away [][][4]float64
	for i := range e.List {
		require.Equal(t, "drop", e.List[i].Kind)
		away = append(away, e.List[i].Away)
	}
	rest, bared, err := Pointed(t.Context(), posed, away)
	require.NoError(t, err)
	assert.True(t, rest.Topology().Closed())
	count := 0
	for i := range rest.Tris {
		if bared(i) {
			count++
		}
	}
	assert.GreaterOrEqual(t, count, 4*len(away), "two planes each, of two triangles")
	return asDrawn(rest)
}

// countOf counts what the rules find on a solid as it lies.
func countOf(t *testing.T, rules string, solid *mesh.Triangles) (c finding.LevelCount) {
	t.Helper()
	v, _ := verdictBy(t, rules, solid)
	for i := range v.Hits {
		c.Add(v.Hits[i].Level)
	}
	return c
}

// TestTheModelWithPointedHolesIsAsPromised: what is advised is done and the model judged again.
func TestTheModelWithPointedHolesIsAsPromised(t *testing.T) {
	side := 32 - 2*0.04
	for name, c := range map[string]struct {
		rules  string
		solid  *mesh.Triangles
		count  int
		volume float64 // of each
		within float64
	}{
		"square":           {coarse, shapes.Channels(32, 22), 2, side * side / 4 * 52, 1},
		"square, soft":     {soft, shapes.Channels(12, 16), 2, 11.92 * 11.92 / 4 * 32, 0.1},
		"round, 20 mm":     {soft, bored(t, 10, 9, 64), 2, 100 * (1 - math.Pi/4) * 40, 40},
		"round, 30 mm":     {soft, bored(t, 15, 12, 48), 2, 225 * (1 - math.Pi/4) * 50, 70},
		"round, few sides": {soft, bored(t, 10, 12, 20), 2, 100 * (1 - math.Pi/4) * 40, 110},
	} {
		a := adviceBy(t, c.rules, c.solid)
		require.NotNil(t, a.Edits, name)
		require.Equal(t, c.count, len(a.Edits.List), name)
		assert.Zero(t, a.Edits.Pose.Findings.Error, name)
		assert.Equal(t, DropCaution, a.Edits.Caution, name)
		taken := 0.0
		for i := range a.Edits.List {
			e := &a.Edits.List[i]
			assert.InDelta(t, -c.volume, e.Volume, c.within, name)
			assert.Negative(t, e.Grams, name)
			taken -= e.Volume
		}
		changed := kept(t, c.solid, a.Edits)
		assert.InDelta(t, mesh.Weld(c.solid).Volume()-taken, mesh.Weld(changed).Volume(), 1e-3*taken, name)
		assert.Equal(t, a.Edits.Pose.Findings, countOf(t, c.rules, changed), name)
	}
}

// TestTheTopOfAHoleIsLeftWhereTheWallIsThin: 1 mm above a hole is no room for a point, and nothing
// is put in its place, since a shaft may sit there. A wide channel gets walls or an arch.
func TestTheTopOfAHoleIsLeftWhereTheWallIsThin(t *testing.T) {
	a := adviceBy(t, soft, shapes.Channels(12, 1))
	assert.Nil(t, a.Edits)
	a = adviceBy(t, coarse, shapes.Channels(32, 1))
	require.NotNil(t, a.Edits)
	for i := range a.Edits.List {
		assert.Contains(t, []string{"arch", "wall"}, a.Edits.List[i].Kind)
		assert.Positive(t, a.Edits.List[i].Volume)
	}
}

// TestAnArchEndsWhereTheSpanHolds: under a tall gate less plastic makes an arch than walls, and less
// yet where the slopes end as soon as the span between them stays flat, which is 10 mm.
func TestAnArchEndsWhereTheSpanHolds(t *testing.T) {
	a := adviceBy(t, coarse, shapes.Gates())
	require.NotNil(t, a.Edits)
	assert.Zero(t, a.Edits.Pose.Findings.Error)
	assert.NotEmpty(t, a.Edits.List)
	for i := range a.Edits.List {
		e := &a.Edits.List[i]
		assert.Equal(t, "arch", e.Kind)
		assert.Contains(t, e.Words, "until a span of 9.5 mm is left")
		assert.InDelta(t, (40-9.5)*(40-9.5)/4*60, e.Volume, 30.5*60/2)
	}
	assert.Equal(t, EditCaution, a.Edits.Caution)
}

// TestAPointEndsAtAFlat where less room is above a hole than the whole point takes.
func TestAPointEndsAtAFlat(t *testing.T) {
	a := adviceBy(t, coarse, shapes.Channels(32, 15))
	require.NotNil(t, a.Edits)
	require.Equal(t, 2, len(a.Edits.List))
	for i := range a.Edits.List {
		e := &a.Edits.List[i]
		assert.Contains(t, e.Words, "up to a flat 9.5 mm wide, 11.2 mm higher")
		side := 32 - 2*0.04
		assert.InDelta(t, -(side*side-9.5*9.5)/4*52, e.Volume, 1)
	}
}

// TestHolesAtRandomAreAsPromised: of any width, with any room above, by rules of a soft plastic.
func TestHolesAtRandomAreAsPromised(t *testing.T) {
	r := dice.New(t)
	said := 0
	for range 3 {
		radius, above, sides := 9+3*r.Float64(), 12*r.Float64(), 16+4*r.IntN(15)
		solid := bored(t, radius, above, sides)
		a := adviceBy(t, soft, solid)
		if a.Edits == nil || !strings.Contains(a.Edits.Words, "point the top") {
			continue
		}
		said++
		assert.Equal(t, a.Edits.Pose.Findings, countOf(t, soft, kept(t, solid, a.Edits)), "radius %v, %v above, %d sides", radius, above, sides)
	}
	assert.Positive(t, said)
}

// TestNoTopIsPointedOfADirtyModel: of an open surface it is not certain what lies within it.
func TestNoTopIsPointedOfADirtyModel(t *testing.T) {
	solid := shapes.DropTriangles(shapes.Channels(32, 22), 1, 1)
	if a := adviceBy(t, coarse, solid); a.Edits != nil {
		for i := range a.Edits.List {
			assert.NotEqual(t, "drop", a.Edits.List[i].Kind)
		}
	}
}
