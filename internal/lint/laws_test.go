package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// lawBodies are solids with findings of several kinds.
var lawBodies = map[string]*mesh.Triangles{
	"t":      shapes.T(),
	"table":  shapes.Table(),
	"figure": shapes.Figure(),
	"hook":   shapes.Hook(),
	"ball":   shapes.Ball(15, 48),
	"arm":    shapes.LeaningArm(60, 20),
}

// TestLaws holds that what does not change the printed thing changes neither the
// findings nor their fingerprints: moving it, turning it about z, writing its triangles in another
// order or in smaller pieces, another format.
func TestLaws(t *testing.T) {
	config := load(t, hangRules)
	for name, body := range lawBodies {
		want := check(t, config, Options{Jobs: 1}, model(t, "m.stl", body))
		require.Equal(t, finding.Checked, want.Models[0].Status, "%s: %s", name, want.Models[0].Reason)
		require.NotEmpty(t, want.Models[0].Findings, name)
		for what, changed := range map[string]*mesh.Triangles{
			"moved":     shapes.Move(body, mesh.Vec{X: 31.25, Y: -7.5, Z: 12.125}),
			"turned 90": shapes.Turn(body, shapes.Z, 90),
			"turned 37": shapes.Turn(body, shapes.Z, 37),
			"shuffled":  shapes.Shuffle(body, 7),
			"split":     shapes.Split4(body),
			"all": shapes.Shuffle(shapes.Split4(shapes.Move(shapes.Turn(body, shapes.Z, 180),
				mesh.Vec{X: 3, Y: 4, Z: -5})), 11),
		} {
			got := check(t, config, Options{Jobs: 1}, model(t, "m.stl", changed))
			assert.Equal(t, stamps(&want.Models[0]), stamps(&got.Models[0]), "%s, %s", name, what)
		}
		for _, path := range []string{"m.ascii.stl", "m.obj"} {
			got := check(t, config, Options{Jobs: 1}, model(t, path, body))
			assert.Equal(t, stamps(&want.Models[0]), stamps(&got.Models[0]), "%s, %s", name, path)
			for _, f := range got.Models[0].Findings {
				assert.Positive(t, f.Line, "a text format has lines")
				assert.Nil(t, f.Bytes)
			}
		}
	}
}

// TestFingerprintsTellFindingsApart holds that no two findings of a model share one.
func TestFingerprintsTellFindingsApart(t *testing.T) {
	config := load(t, hangRules)
	for name, body := range lawBodies {
		r := check(t, config, Options{Jobs: 1}, model(t, "m.stl", body))
		for stamp, n := range stamps(&r.Models[0]) {
			assert.Equal(t, 1, n, "%s: %s", name, stamp)
		}
	}
}
