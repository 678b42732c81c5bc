package lint

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// arm is a post of 30 by 30 by 40 that holds a body out, its underside a slope of lean deg
// from vertical over run mm and then a flat lip of lip mm, wide mm across.
func arm(lean, run, lip, wide float64) *mesh.Triangles {
	rise := run / math.Tan(lean*math.Pi/180)
	if run == 0 {
		rise = 0
	}
	out, z := run+lip, 40+rise
	top := z + 6
	profile := shapes.Polygon{{0, 30}}
	if run > 0 {
		profile = append(profile, [2]float64{run, 30 + rise})
	}
	if lip > 0 {
		profile = append(profile, [2]float64{out, 30 + rise})
	}
	profile = append(profile, [2]float64{out, top}, [2]float64{0, top})
	return shapes.Join(shapes.Box(shapes.Vec{X: -30, Y: -15}, shapes.Vec{Y: 15, Z: top}), shapes.ExtrudeY(profile, -wide/2, wide/2))
}

// hangingLevel is the worst level of the findings on what hangs, and their rules.
func hangingLevel(t *testing.T, config *ruleset.Config, body *mesh.Triangles) (level finding.Level, rules string) {
	t.Helper()
	r := check(t, config, Options{Jobs: 1}, model(t, "m.stl", body))
	require.Equal(t, finding.Checked, r.Models[0].Status, r.Models[0].Reason)
	level = finding.None
	for _, f := range r.Models[0].Findings {
		switch f.Rule {
		case "max-overhang-angle", "long-slope", "rough-underside", "max-bridge-length", "wide-ceiling", "sagging-bridge", "no-floating-islands":
			rules += " " + f.Rule
			if f.Level.Rank() < level.Rank() {
				level = f.Level
			}
		}
	}
	return level, rules
}

// TestTheLadderHasNoHole holds that the level never falls while an arm grows longer, wider
// or steeper, or gets a lip at its end.
func TestTheLadderHasNoHole(t *testing.T) {
	config := load(t, "use: [standard]")
	ladders := map[string]func(x float64) *mesh.Triangles{}
	for _, lip := range []float64{0, 2} {
		for _, lean := range []float64{48, 55, 66, 75} {
			ladders[fmt.Sprintf("run at %v deg, lip %v", lean, lip)] = func(x float64) *mesh.Triangles { return arm(lean, 24*x, lip, 12) }
		}
		for _, run := range []float64{5, 12, 20} {
			ladders[fmt.Sprintf("lean over %v mm, lip %v", run, lip)] = func(x float64) *mesh.Triangles { return arm(38+45*x, run, lip, 12) }
		}
	}
	for _, lean := range []float64{40, 52, 66} {
		ladders[fmt.Sprintf("lip after a slope of %v deg", lean)] = func(x float64) *mesh.Triangles { return arm(lean, 15, 8*x, 8) }
	}
	for _, wide := range []float64{1, 2, 4, 8, 20} {
		ladders[fmt.Sprintf("ledge %v wide", wide)] = func(x float64) *mesh.Triangles { return arm(90, 0, 8*x, wide) }
	}
	for _, reach := range []float64{2.4, 3, 4, 4.8} {
		ladders[fmt.Sprintf("width of a ledge of %v", reach)] = func(x float64) *mesh.Triangles { return arm(90, 0, reach, 29*x) }
	}
	const rungs = 16
	for name, body := range ladders {
		worst, was := finding.None, ""
		for k := 1; k <= rungs; k++ {
			level, rules := hangingLevel(t, config, body(float64(k)/rungs))
			assert.LessOrEqual(t, level.Rank(), worst.Rank(), "%s: rung %d finds%s, the one before%s", name, k, rules, was)
			worst, was = level, rules
		}
		if worst != finding.Error {
			t.Logf("%s ends in %s", name, worst)
		}
	}
}

// TestRungs holds single steps of the ladder.
func TestRungs(t *testing.T) {
	levels := map[string]struct {
		body  *mesh.Triangles
		rules string
		want  finding.Level
	}{
		"66 deg over 20":                     {arm(66, 20, 0, 12), "", finding.Error},
		"the same with a lip of 2":           {arm(66, 20, 2, 12), "", finding.Error},
		"52 deg over 4 with a lip of 2":      {arm(52, 4, 2, 12), "", finding.Warning},
		"60 deg over 48":                     {arm(60, 48, 0, 12), "", finding.Error},
		"55 deg over 7":                      {arm(55, 7, 0, 12), "", finding.Warning},
		"a stub that reaches 4 over 17 mm2":  {arm(90, 0, 4, 4.25), "", finding.Error},
		"80 deg over 12 in layers of 0.05":   {arm(80, 12, 0, 12), "process: {layer: 0.05 mm}", finding.Error},
		"a ledge of 2.4":                     {arm(90, 0, 2.4, 20), "", finding.None},
		"a ledge of 2.4 in TPU":              {arm(90, 0, 2.4, 20), "process: {material: tpu}", finding.Error},
		"a ceiling of 34 by 20":              {ceiling(34, 20), "", finding.Error},
		"a lintel of 60 by 3":                {ceiling(60, 3), "", finding.Warning},
		"a ceiling of 80, 0.6 above a floor": {lowCeiling(0.6), "", finding.Warning},
		"a ceiling of 80, 1.6 above a floor": {lowCeiling(1.6), "", finding.Error},
	}
	for name, c := range levels {
		level, rules := hangingLevel(t, load(t, "use: [standard]\n"+c.rules), c.body)
		assert.Equal(t, c.want, level, "%s:%s", name, rules)
	}
}

// ceiling is a deck of span by wide on two piers.
func ceiling(span, wide float64) *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{{0, 0}, {10, 0}, {10, 30}, {10 + span, 30}, {10 + span, 0}, {20 + span, 0}, {20 + span, 36}, {0, 36}}, 0, wide)
}

// lowCeiling is a slot of 80 by 20, gap high, through a block.
func lowCeiling(gap float64) *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Rect(0, 0, 100, 20), 0, 20, shapes.Rect(10, 4, 90, 4+gap))
}
