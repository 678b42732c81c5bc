package cli

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/shapes"
)

// topHeavy is a letter T, which prints once it is turned over, as the bytes of a file.
func topHeavy(t *testing.T, threeMF bool) []byte {
	t.Helper()
	var b bytes.Buffer
	m := mesh.Weld(shapes.T())
	if threeMF {
		require.NoError(t, meshfile.Write3MF(&b, []meshfile.Named{{Name: "t", Mesh: m}}))
	} else {
		require.NoError(t, meshfile.WriteSTL(&b, m, "t", 1))
	}
	return b.Bytes()
}

func TestTheModelOfA3MFIsTurned(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("t.3mf", topHeavy(t, true), 0o644))
	code, stdout, _ := run(t, Env{}, "turn", "--uncommitted", "t.3mf")
	require.Equal(t, 0, code, stdout)
	assert.Contains(t, stdout, "turned: ")
	code, stdout, _ = run(t, Env{}, "turn", "--uncommitted", "t.3mf")
	assert.Equal(t, 0, code, stdout)
	assert.Contains(t, stdout, "it passes")
}

func TestTurnGoesByTheWayUpOfTheConfiguration(t *testing.T) {
	t.Chdir(t.TempDir())
	content := topHeavy(t, false)
	require.NoError(t, os.WriteFile("t.stl", content, 0o644))
	for lay, want := range map[string]int{"top": 0, "left": 1} {
		require.NoError(t, os.WriteFile(".printlint.yml", []byte("lay: "+lay+"\n"), 0o644))
		check, _, _ := run(t, Env{}, "check", "--cache", "off", "t.stl")
		require.Equal(t, want, check, lay)
		code, stdout, _ := run(t, Env{}, "turn", "--uncommitted", "t.stl")
		assert.Equal(t, want, code, stdout)
		assert.Contains(t, stdout, "lay in the configuration says")
		after, err := os.ReadFile("t.stl")
		require.NoError(t, err)
		assert.Equal(t, content, after, lay)
	}
}

func TestTurnLeavesLinks(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("t.stl", topHeavy(t, false), 0o644))
	require.NoError(t, os.Symlink("t.stl", "link.stl"))
	code, stdout, _ := run(t, Env{}, "turn", "--uncommitted", "link.stl")
	assert.Equal(t, 1, code, stdout)
	to, err := os.Readlink("link.stl")
	require.NoError(t, err)
	assert.Equal(t, "t.stl", to)
}

func TestTurnIsOfferedWhereItWorks(t *testing.T) {
	failing := func(path, kind string) finding.Model {
		return finding.Model{
			Path: path, Kind: kind, Status: finding.Checked, Findings: []finding.Finding{{Level: finding.Error}},
			Advice: &finding.Advice{Poses: []finding.Pose{{Down: [3]float64{0, 0, 1}}}},
		}
	}
	r := &finding.Report{Models: []finding.Model{
		failing("-a.stl", "stl"), failing("it's.stl", "stl"), failing("{a,b}.stl", "stl"), failing("c.3mf!/3D/3dmodel.model", "3mf"),
		failing("p.zip!/d.stl", "stl"), failing("p.zip!/e.3mf!/3D/3dmodel.model", "3mf"), failing("f.off", "off"), failing("g\n.stl", "stl"),
	}}
	assert.Contains(t, offersTurn(r, finding.Error), `: printlint turn ./-a.stl 'it'\''s.stl' '{a,b}.stl' c.3mf; then`)
	r.Machines = []finding.Machine{{Name: "bench-1"}, {Name: "mini 2"}}
	r.Models[1].Machines = []finding.OnMachine{{Machine: "bench-1"}, {Machine: "mini 2", Advice: r.Models[1].Advice}}
	assert.Contains(t, offersTurn(r, finding.Error), `: printlint turn --machine 'mini 2' ./-a.stl`, "of several machines one must be named")
}

func TestNothingIsTurnedWhereNothingFails(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("t.stl", topHeavy(t, false), 0o644))
	require.NoError(t, os.WriteFile(".printlint.yml", []byte("fail-at: none\n"), 0o644))
	code, stdout, _ := run(t, Env{}, "turn", "--uncommitted", "t.stl")
	assert.Equal(t, 0, code)
	assert.Equal(t, "t.stl: left as it lies: it passes\n", stdout)
}
