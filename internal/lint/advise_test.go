package lint

import (
	"bytes"
	"context"
	"math"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/pose"
	"printlint/internal/shapes"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// full asks for advice on every model.
var full = Options{Jobs: 2, Advice: advise.Options{Depth: advise.Full}}

// advised is what the standard rules say of a solid and advise for it.
func advised(t testing.TB, solid *mesh.Triangles) (*finding.Model, *finding.Advice) {
	t.Helper()
	r := check(t, load(t, standard), full, model(t, "m.stl", solid))
	require.Len(t, r.Models, 1)
	require.Equal(t, finding.Checked, r.Models[0].Status, r.Models[0].Reason)
	require.NotNil(t, r.Models[0].Advice)
	return &r.Models[0], r.Models[0].Advice
}

// lying finds the pose in which the model lies in its file.
func lying(t testing.TB, a *finding.Advice) *finding.Pose {
	t.Helper()
	for i := range a.Poses {
		if a.Poses[i].Down == [3]float64{0, 0, -1} {
			return &a.Poses[i]
		}
	}
	require.Fail(t, "as it lies is missing")
	return nil
}

// towards finds the pose with a direction down.
func towards(a *finding.Advice, x, y, z float64) *finding.Pose {
	for i := range a.Poses {
		d := a.Poses[i].Down
		if d[0]*x+d[1]*y+d[2]*z > 0.999 {
			return &a.Poses[i]
		}
	}
	return nil
}

func none(c finding.LevelCount) bool { return c == (finding.LevelCount{}) }

// TestTurnedOverThesePrint: solids that a turn by hand makes clean, and the turn.
func TestTurnedOverThesePrint(t *testing.T) {
	for name, c := range map[string]struct {
		solid *mesh.Triangles
		down  [3]float64 // a way up that must be told of and be clean
	}{
		"T":           {shapes.T(), [3]float64{0, 0, 1}},
		"two boxes":   {shapes.TOverlapping(), [3]float64{0, 0, 1}},
		"table":       {shapes.Table(), [3]float64{0, 0, 1}},
		"arm":         {shapes.LeaningArm(90, 30), [3]float64{0, 0, 1}},
		"hook":        {shapes.Hook(), [3]float64{0, -1, 0}},
		"cone":        {shapes.Cone(0, 15, 30, 64), [3]float64{0, 0, 1}},
		"bolt lying":  {shapes.BoltLying(32), [3]float64{-1, 0, 0}},
		"table on x":  {shapes.OnBed(shapes.Turn(shapes.Table(), shapes.X, 90)), [3]float64{0, -1, 0}},
		"cube corner": {shapes.OnBed(shapes.Turn(shapes.Turn(shapes.Cube(20), shapes.X, 45), shapes.Y, 35)), [3]float64{}},
	} {
		m, a := advised(t, c.solid)
		best := &a.Poses[0]
		assert.True(t, none(best.Findings), "%s: %s leaves %v", name, best.Words, best.Left)
		assert.Nil(t, best.Support, name)
		assert.Nil(t, a.Support, name)
		if c.down != ([3]float64{}) && len(m.Findings) > 0 {
			p := towards(a, c.down[0], c.down[1], c.down[2])
			require.NotNil(t, p, "%s: %v is not told of", name, c.down)
			assert.True(t, none(p.Findings), "%s: %s leaves %v", name, p.Words, p.Left)
		}
		if len(m.Findings) > 0 {
			assert.NotEqual(t, [3]float64{0, 0, -1}, best.Down, name)
			assert.Contains(t, a.Words, ": then it prints without support (", name)
		}
	}
}

func TestWhatAPoseCosts(t *testing.T) {
	_, bolt := advised(t, shapes.BoltLying(32))
	costs := strings.Join(bolt.Poses[0].Costs, "; ")
	assert.Contains(t, costs, "a pin 7.96 mm wide then stands 30.0 mm tall")
	assert.Contains(t, costs, "it stands 36.0 mm tall instead of 18.0 mm")
	assert.Empty(t, lying(t, bolt).Costs, "as it lies costs nothing")

	// A lid with a pattern on top and a rim below, turned over, lies on its pattern.
	up := mesh.Vec{Z: 1}
	r := check(t, load(t, standard), Options{Jobs: 1, Advice: advise.Options{Depth: advise.Full, Down: &up}}, model(t, "lid.stl", patternedLid()))
	over := towards(r.Models[0].Advice, 0, 0, 1)
	require.NotNil(t, over)
	assert.Contains(t, strings.Join(over.Costs, "; "), "fine detail then lies on the bed")
}

// patternedLid is a plate 120 by 100 with ribs on top and a rim of 10 mm below.
func patternedLid() *mesh.Triangles {
	wall := func(x0, y0, x1, y1 float64) *mesh.Triangles {
		return shapes.Box(shapes.Vec{X: x0, Y: y0}, shapes.Vec{X: x1, Y: y1, Z: 10.5})
	}
	top := shapes.Map(shapes.PatternLid(), func(p shapes.Vec) shapes.Vec { return shapes.Vec{X: p.X, Y: 2.5 * p.Y, Z: p.Z + 10} })
	return shapes.Join(wall(0, 0, 120, 3), wall(0, 97, 120, 100), wall(0, 0, 3, 100), wall(117, 0, 120, 100),
		top, shapes.Move(top, shapes.Vec{X: 60}))
}

func TestSupportWhereNothingElseHelps(t *testing.T) {
	// The lid as it lies needs a grid under its ceiling.
	r := check(t, load(t, standard), Options{Jobs: 1, Advice: advise.Options{Depth: advise.Full, Down: &pose.Down}}, model(t, "lid.stl", patternedLid()))
	lid := r.Models[0].Advice
	require.NotNil(t, lid.Support)
	assert.Equal(t, "grid", lid.Support.Kind)
	require.Len(t, lid.Support.Sites, 1)
	assert.Equal(t, "bed", lid.Support.Sites[0].Stands)
	assert.InDelta(t, 114*94, lid.Support.Sites[0].Area, 100)

	// A figure with a stretched arm needs trees: on its side, a grid would roughen all of
	// that side, and on its head it stands on nothing.
	_, figure := advised(t, shapes.Figure())
	require.NotNil(t, figure.Support)
	assert.Equal(t, "tree", figure.Support.Kind)
	assert.Contains(t, figure.Words, "no other way up is better")

	// A ball is clean no way up: support, and a brim.
	_, ball := advised(t, shapes.Ball(15, 48))
	for _, p := range ball.Poses {
		assert.Positive(t, p.Findings.Error)
	}
	require.NotNil(t, ball.Support)
	assert.Contains(t, ball.Words, "print it with a brim")
}

// TestALoosePieceIsToldToBeJoined, before anybody builds support below it.
func TestALoosePieceIsToldToBeJoined(t *testing.T) {
	_, a := advised(t, shapes.Join(shapes.HollowBox(20, 2), shapes.Move(shapes.Cube(6), shapes.Vec{X: 7, Y: 7, Z: 7})))
	assert.Contains(t, a.Words, "; better join the loose piece to the rest, or take it out")
	_, a = advised(t, shapes.Figure())
	assert.NotContains(t, a.Words, "loose")
}

// TestT12000: the support of the letter as it lies stands in 12000 mm3.
func TestT12000(t *testing.T) {
	r := check(t, load(t, standard), Options{Jobs: 1, Advice: advise.Options{Depth: advise.Full, Down: &pose.Down}}, model(t, "t.stl", shapes.T()))
	s := r.Models[0].Advice.Support
	require.NotNil(t, s)
	require.Len(t, s.Sites, 2)
	assert.InDelta(t, 12000*0.15, s.Volume, 18)
	assert.Zero(t, s.Cost, "nobody said what plastic costs")
	sum := 0.0
	for _, site := range s.Sites {
		sum += site.Volume
		assert.NotEmpty(t, site.Why)
		assert.NotEmpty(t, site.Reach)
	}
	assert.InDelta(t, s.Volume, sum, 1e-3)
}

// TestWings: a ball between two level wings prints leaned or on the edge of its wings;
// what is left is told.
func TestWings(t *testing.T) {
	_, a := advised(t, shapes.Winged())
	now := lying(t, a)
	assert.Positive(t, now.Findings.Error)
	assert.Zero(t, a.Poses[0].Findings.Error, a.Poses[0].Words)
	for _, p := range a.Poses {
		left := 0
		for _, l := range p.Left {
			left += l.Count
		}
		assert.Equal(t, p.Findings.Error+p.Findings.Warning+p.Findings.Note, left, "every finding left has its rule")
	}
}

// TestAGliderLeanedNoseUpNeedsLittleSupport: level it needs a grid below all of its wings,
// leaned nose up support at its start, which also keeps it from falling over. The search
// finds that by itself, as its coarse look knows how each way up stands.
func TestAGliderLeanedNoseUpNeedsLittleSupport(t *testing.T) {
	_, a := advised(t, shapes.Glider())
	now, first := lying(t, a), &a.Poses[0]
	assert.Less(t, first.Down[1], -0.5, first.Words)
	require.NotNil(t, a.Support)
	require.NotNil(t, first.Support)
	assert.Less(t, first.Support.Volume, now.Support.Volume/20)
	assert.Contains(t, a.Words, "needs support in one place")
	for _, s := range a.Support.Sites {
		assert.Equal(t, "bed", s.Stands)
	}
}

// TestTheEndOfABarIsLookedAt: that much seems to hang above it, and less above each of its
// sides, is no reason to look at sides alone.
func TestTheEndOfABarIsLookedAt(t *testing.T) {
	for _, sides := range []int{12, 20} {
		_, a := advised(t, shapes.GroovedBar(sides))
		first := &a.Poses[0]
		assert.Equal(t, finding.LevelCount{}, first.Findings, first.Words)
		assert.InDelta(t, 1, math.Abs(first.Down[1]), 1e-6, "%d sides: %s", sides, first.Words)
	}
}

// TestLyingOnTheSmallFaceIsTold, in advice alone: it is no finding.
func TestLyingOnTheSmallFaceIsTold(t *testing.T) {
	cone := shapes.Cone(5, 8, 12, 48)
	m, a := advised(t, cone)
	assert.Empty(t, m.Findings)
	assert.Regexp(t, `more of it would lie on the bed the other way: 199 mm.* instead of 78 mm.* \(turn it over\)`, a.Words)
	_, a = advised(t, shapes.OnBed(shapes.Turn(cone, shapes.X, 180)))
	assert.NotContains(t, a.Words, "more of it")
}

// TestALittleAskewIsOneThing: a model exported a little askew is told to be laid flat, whatever
// other side it could lie on, and that all findings which come of it go away with that.
func TestALittleAskewIsOneThing(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{
		"plate": shapes.Box(shapes.Vec{}, shapes.Vec{X: 60, Y: 40, Z: 5}), "recess": shapes.Recess(8, 2, 48),
		"pillar": shapes.Box(shapes.Vec{}, shapes.Vec{X: 20, Y: 20, Z: 60}), "T": shapes.Turn(shapes.T(), shapes.X, 180),
	} {
		m, a := advised(t, shapes.OnBed(shapes.Turn(solid, shapes.Vec{X: 1, Y: 1}, 0.9)))
		require.Contains(t, a.Words, "it lies 0.9° askew; lay it flat (turn it -45° about the z axis, then -0.9° about the x axis): ", name)
		for _, f := range m.Findings {
			if f.Level != finding.Note {
				assert.Contains(t, strings.Split(a.Words, " with that")[0], f.Rule, name)
			}
		}
		assert.Contains(t, a.Words, " with that, and it prints without support", name)
	}
}

func TestACleanModelIsLeftInPeace(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{"cube": shapes.Cube(20), "lid": shapes.PatternLid(), "M": shapes.M(), "slab": shapes.Slab(5)} {
		m, a := advised(t, solid)
		if len(m.Findings) == 0 {
			assert.Equal(t, [3]float64{0, 0, -1}, a.Poses[0].Down, name)
			assert.Contains(t, a.Words, "as it lies it prints without support", name)
		}
	}
}

// TestTheAdviceIsResults: each way up that is advised, written and checked, has exactly
// the findings promised.
func TestTheAdviceIsKept(t *testing.T) {
	config := load(t, standard)
	for name, solid := range map[string]*mesh.Triangles{
		"T": shapes.T(), "table": shapes.Table(), "bolt": shapes.BoltLying(32), "hook": shapes.Hook(), "figure": shapes.Figure(),
		"winged": shapes.Winged(), "ball": shapes.Ball(15, 48), "lid": shapes.PatternLid(), "arm": shapes.LeaningArm(70, 20), "fin": shapes.Fin(0.6),
	} {
		_, a := advised(t, solid)
		for i := range a.Poses {
			p := &a.Poses[i]
			turned, _ := mesh.Weld(solid).Posed(p.Matrix)
			var b bytes.Buffer
			require.NoError(t, meshfile.WriteSTL(&b, turned, name, 1))
			again := check(t, config, Options{Jobs: 1}, fileOf("turned.stl", b.Bytes()))
			s := again.Summary
			assert.Equal(t, p.Findings, finding.LevelCount{Error: s.Error, Warning: s.Warning, Note: s.Note}, "%s: %s", name, p.Words)
			assert.InDelta(t, 0, float64(turned.Box().Min.Z), 1e-9, "it lies on the bed")
		}
	}
}

// TestTurningTheModelFirst changes no advice but its words.
func TestTurningTheModelFirst(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{"T": shapes.T(), "table": shapes.Table(), "hook": shapes.Hook(), "bolt": shapes.BoltLying(32)} {
		_, plain := advised(t, solid)
		for _, turn := range []struct {
			axis shapes.Vec
			deg  float64
		}{{shapes.X, 180}, {shapes.Z, 90}, {shapes.Z, 37}, {shapes.Vec{X: 1, Y: 2, Z: 3}, 71}} {
			_, a := advised(t, shapes.OnBed(shapes.Turn(solid, turn.axis, turn.deg)))
			p, q := &plain.Poses[0], &a.Poses[0]
			assert.Equal(t, p.Findings, q.Findings, "%s turned %v: %s, %s", name, turn, q.Words, a.Words)
			if lying(t, a) != q && lying(t, plain) != p { // a clean model stays as it lies
				assert.InEpsilon(t, p.Base, q.Base, 0.02, "%s turned %v", name, turn)
				assert.InDelta(t, p.Height, q.Height, 0.05, "%s turned %v", name, turn)
			}
		}
	}
}

func TestGivenWayUp(t *testing.T) {
	down := mesh.Vec{X: 3, Y: 1, Z: -2}.Unit()
	r := check(t, load(t, standard), Options{Jobs: 1, Advice: advise.Options{Depth: advise.Full, Down: &down}}, model(t, "t.stl", shapes.T()))
	poses := r.Models[0].Advice.Poses
	require.Len(t, poses, 2)
	assert.InDelta(t, down.X, poses[0].Down[0], 1e-9)
	assert.Equal(t, [3]float64{0, 0, -1}, poses[1].Down)
	m := poses[0].Matrix
	assert.InDelta(t, 0, mesh.Turn(&m, down).Sub(pose.Down).Len(), 1e-8)
}

// TestShortAdvice is what the gate prints: for models that another way up may help.
func TestShortAdvice(t *testing.T) {
	config := load(t, standard)
	short := Options{Jobs: 2, Advice: advise.Options{Depth: advise.Short}}
	r := check(t, config, short, model(t, "a.stl", shapes.T()), model(t, "b.stl", shapes.Cube(20)),
		model(t, "c.stl", shapes.Fin(0.2)))
	require.Len(t, r.Models, 3)
	assert.NotNil(t, r.Models[0].Advice)
	assert.Nil(t, r.Models[1].Advice, "nothing was found")
	plain := check(t, config, Options{Jobs: 1}, model(t, "a.stl", shapes.T()))
	assert.Equal(t, plain.Models[0].Findings, r.Models[0].Findings, "advice changes no finding")
	assert.Equal(t, plain.Models[0].Measures, r.Models[0].Measures)
	assert.Nil(t, plain.Models[0].Advice)
}

// TestAdviceNeverFailsAModel: when the time is up, what was found stands.
func TestAdviceNeverFailsAModel(t *testing.T) {
	config := load(t, hangRules)
	file := model(t, "t.stl", shapes.T())
	parts, err := meshfile.Read("t.stl", contentOf(t, file), meshfile.Options{})
	require.NoError(t, err)
	j := &judge{usage: config.NewUsage(), advice: advise.Options{Depth: advise.Short}, limit: time.Minute}
	m := mesh.Weld(parts[0].Triangles)
	e := &entry{}
	require.NoError(t, j.judge(context.Background(), e, "t.stl", m, 1))
	require.NotNil(t, e.Advice)

	late := work.Start(context.Background(), time.Nanosecond)
	require.Error(t, work.Of(late).Spend(2))
	// Without results, so that judging must break off.
	q := &advise.Question{Options: j.advice, AsItLies: &verdict.Verdict{Subject: verdict.New(m, "", config.For("t.stl"))}, Config: config, Jobs: 1}
	plain := finding.Model{Status: finding.Checked}
	for _, ctx := range []context.Context{late, context.Background()} {
		advice, err := j.advise(ctx, &plain, q)
		require.NoError(t, err, "a panic is told, not passed on")
		require.Nil(t, advice)
	}
	require.Len(t, plain.Notes, 2)
	assert.Equal(t, "the search for other ways up was cut short by the limit of 1m0s of work", plain.Notes[0])
	assert.Contains(t, plain.Notes[1], "other ways up were not looked for: the analysis broke off (")
}

func contentOf(t *testing.T, f collection.File) collection.Content {
	t.Helper()
	c, err := f.Open()
	require.NoError(t, err)
	return c
}

// TestWaivedFindingsDoNotCount, in any way up, and looking marks no waiver as used.
func TestWaivedFindingsDoNotCount(t *testing.T) {
	waiving := hangRules + `
waivers:
  - {path: "*.stl", rule: hangs, reason: "printed many times"}
`
	config := load(t, waiving)
	r := check(t, config, full, model(t, "t.stl", shapes.T()))
	require.Len(t, r.Models, 1)
	a := r.Models[0].Advice
	assert.Contains(t, a.Words, "as it lies it has no finding but what is accepted")
	assert.Nil(t, a.Support, "what is accepted needs no support")
	whole := full
	whole.Whole = true
	// As it lies this one is clean, and turned on its side it would use the waiver.
	fresh := load(t, waiving)
	r = check(t, fresh, whole, model(t, "t.stl", shapes.OnBed(shapes.Turn(shapes.T(), shapes.X, 180))))
	require.Len(t, r.Models, 2, "the waiver matched nothing that is there")
	assert.Equal(t, RuleStale, r.Models[0].Findings[0].Rule)
}

// TestAdviceDoesNotDependOnJobs and is the same again.
func TestAdviceDoesNotDependOnJobs(t *testing.T) {
	config := load(t, standard)
	files := func() []collection.File {
		return []collection.File{model(t, "a.stl", shapes.Figure()), model(t, "b.stl", shapes.T()), model(t, "c.stl", shapes.Winged())}
	}
	one := check(t, config, Options{Jobs: 1, Advice: full.Advice}, files()...)
	many := check(t, config, Options{Jobs: 6, Advice: full.Advice}, files()...)
	assert.Equal(t, one, many)
}

// TestObserversSeeTheAdvice, and their error makes the model unreadable.
func TestObserversSeeTheAdvice(t *testing.T) {
	var mutex sync.Mutex
	seen := 0
	opt := full
	opt.Observer = ObserverFunc(func(_ context.Context, m *Judged) error {
		mutex.Lock()
		defer mutex.Unlock()
		seen += len(m.Mesh.Tris)
		assert.NotNil(t, m.Model.Advice)
		if m.Model.Path == "b.stl" {
			return assert.AnError
		}
		return nil
	})
	r := check(t, load(t, standard), opt, model(t, "a.stl", shapes.T()), model(t, "b.stl", shapes.Cube(20)))
	assert.Equal(t, 28+12, seen)
	assert.Equal(t, finding.Checked, r.Models[0].Status)
	assert.Equal(t, finding.Unreadable, r.Models[1].Status)
}

// TestSolidsAreForObserversAlone: pictures are drawn of them, and no report keeps them.
func TestSolidsAreForObserversAlone(t *testing.T) {
	seen := 0
	opt := full
	opt.Observer = ObserverFunc(func(_ context.Context, m *Judged) error {
		for _, e := range m.Model.Advice.Edits.List {
			seen += len(e.Solid)
		}
		return nil
	})
	r := check(t, load(t, standard), opt, model(t, "a.stl", shapes.Signpost()))
	assert.Positive(t, seen)
	require.NotNil(t, r.Models[0].Advice.Edits)
	assert.Nil(t, r.Models[0].Advice.Edits.List[0].Solid)
}

// TestFiguresAreFinite: no pose of any solid has a figure that JSON cannot hold.
func TestFiguresAreFinite(t *testing.T) {
	for _, solid := range []*mesh.Triangles{shapes.FloatingCube(), shapes.CubesAtEdge(), shapes.HollowBox(30, 2), shapes.CubeOnEdge(20)} {
		_, a := advised(t, solid)
		for _, p := range a.Poses {
			for _, x := range []float64{p.Base, p.Height, p.Tip, p.Overhang, p.Grams, p.Minutes} {
				assert.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%+v", p)
			}
		}
	}
}

// TestHangsFromTheRules: the search lets hang what the rules let hang.
func TestHangsFromTheRules(t *testing.T) {
	assert.InDelta(t, 45, verdict.OverhangAngle(load(t, hangRules).For("m.stl").Rules), 1e-9)
	assert.InDelta(t, 45, verdict.OverhangAngle(nil), 1e-9, "where no rule says so")
	fromStandard := verdict.OverhangAngle(load(t, standard).For("m.stl").Rules)
	assert.Greater(t, fromStandard, 45.0)
	assert.Less(t, fromStandard, 90.0)
}
