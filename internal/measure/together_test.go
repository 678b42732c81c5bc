package measure

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// evaluationOf is what is measured for one process in a call of its own.
func evaluationOf(c *call, p catalog.Process) *evaluation {
	return &evaluation{laid: &laid{call: c, layer: p.Layer, line: p.Line, parts: new(store)}, process: p}
}

// TestProcessesTogetherComeToTheSame holds every measure for several processes at once to
// what it gives for each by itself: nothing of one process may get into another's results,
// whatever the measures share. A measure that looks at more of the process than it says
// fails here.
func TestProcessesTogetherComeToTheSame(t *testing.T) {
	random := rand.New(rand.NewPCG(dice.Seed(t), 1))
	of := func(list ...float64) float64 { return list[random.IntN(len(list))] }
	solids := map[string]*mesh.Triangles{
		"portal": shapes.Portal(40), "arm": shapes.LeaningArm(60, 12), "table": shapes.Table(), "hollow": shapes.HollowBox(20, 2),
		"floating": shapes.FloatingCube(), "slot": shapes.Slot(.3), "fin": shapes.Fin(.5), "ball": shapes.Ball(10, 24), "tiny": shapes.Cube(1),
		// A table with a tongue at the middle of an edge: what holds it depends on how far bridges hold.
		"tongue": shapes.Blocks([]float64{0, 8, 26, 34, 52, 60}, []float64{0, 8, 32, 40, 60}, []float64{0, 30, 35}, func(i, j, k int) bool {
			return k == 1 && (j < 3 || i == 2) || k == 0 && (i == 0 || i == 4) && (j == 0 || j == 2)
		}),
		"two": shapes.Join(shapes.Portal(30), shapes.Move(shapes.Cube(0.5), mesh.Vec{X: 60})),
	}
	differ := 0
	for name, solid := range solids {
		for round := range 4 {
			var asked []Asked
			for range 2 + random.IntN(3) {
				p := process
				p.Layer, p.Line = of(0.2, 0.2, 0.3), of(0.4, 0.4, 0.6)
				p.Bridge, p.Density, p.Flow, p.Price = of(0, 10, 100), of(1, 1.3), of(5, 9), of(0, 20)
				side := of(220, 120, 30, 2)
				p.Bed = [3]float64{side, side, of(side, 2*side)}
				a := Asked{Process: p}
				for _, m := range Catalog() {
					q := Request{Measure: m.Name}
					for _, k := range m.Params {
						q.Params = append(q.Params, k.Default*of(1, 1, 1.2))
					}
					a.Requests = append(a.Requests, q)
				}
				asked = append(asked, a)
			}
			together, err := NewBody(mesh.Weld(solid)).MeasureAll(context.Background(), AsIs, Options{}, asked)
			require.NoError(t, err)
			keeping := NewBody(mesh.Weld(solid))
			keeping.KeepPoses = true
			for i, a := range asked {
				alone, err := NewBody(mesh.Weld(solid)).Measure(context.Background(), AsIs, a.Process, Options{}, a.Requests)
				require.NoError(t, err)
				later, err := keeping.Measure(context.Background(), AsIs, a.Process, Options{}, a.Requests)
				require.NoError(t, err)
				for k := range alone {
					require.Equal(t, alone[k], later[k], "%s, round %d, process %d after others, %s", name, round, i, fmt.Sprint(a.Requests[k], a.Process))
					require.Equal(t, alone[k], together[i][k], "%s, round %d, process %d of %d, %s", name, round, i, len(asked), fmt.Sprint(a.Requests[k], a.Process))
					if !assert.ObjectsAreEqual(together[0][k], together[i][k]) {
						differ++
					}
				}
			}
		}
	}
	require.Positive(t, differ, "the processes differ in nothing that is measured, and show nothing")
}

// TestTheSurfaceIsLookedAtOnce holds that what does not depend on how a model lies is found once
// for all layers and lines.
func TestTheSurfaceIsLookedAtOnce(t *testing.T) {
	c := &call{ctx: context.Background(), body: NewBody(mesh.Weld(shapes.Cube(10))), pose: AsIs}
	var found []*found[MeshSite, MeshModel]
	for _, layer := range []float64{0.2, 0.3} {
		p := process
		p.Layer = layer
		f, err := Mesh.of(evaluationOf(c, p), None{})
		require.NoError(t, err)
		found = append(found, f)
	}
	assert.Same(t, found[0], found[1])
}

// TestTheLayersAreCutOnce holds that machines which lay a model alike share the layers, and
// that those which do not have their own.
func TestTheLayersAreCutOnce(t *testing.T) {
	c := &call{body: new(Body)}
	var groups []*laid
	one := c.group(&groups, 0.2, 0.4)
	assert.Same(t, one, c.group(&groups, 0.2, 0.4))
	assert.NotSame(t, one, c.group(&groups, 0.3, 0.4))
	assert.NotSame(t, one, c.group(&groups, 0.2, 0.6))
	assert.Len(t, groups, 3)
}

// TestPosesAreKept holds that what is found in a pose serves whoever asks there later, on the
// same layers in the same cells, and only where it is to be kept.
func TestPosesAreKept(t *testing.T) {
	over := Pose{M: [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}}
	for _, keep := range []bool{false, true} {
		body := NewBody(mesh.Weld(shapes.Portal(40)))
		body.KeepPoses = keep
		group := func(pose Pose, opt Options, layer float64) *store {
			return (&call{body: body, pose: pose, opt: opt}).group(new([]*laid), layer, 0.4).parts
		}
		first := group(AsIs, Options{}, 0.2)
		assert.Equal(t, keep, first == group(AsIs, Options{Jobs: 2}, 0.2))
		assert.NotSame(t, first, group(over, Options{}, 0.2))
		assert.NotSame(t, first, group(AsIs, Options{Cell: 0.4}, 0.2))
		assert.NotSame(t, first, group(AsIs, Options{}, 0.3))
	}
}
