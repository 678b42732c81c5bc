package lint

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/cache"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/report"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// machines loads the standard set with four machines and more.
func machines(t testing.TB, more string) *ruleset.Config {
	t.Helper()
	files := map[string]string{
		"rules.yml": "machines: [a.yml, b.yml, c.yml, d.yml]\n" + more,
		"a.yml":     "process: {nozzle: 0.4 mm}",
		"b.yml":     "process: {material: tpu, bed: [60 mm, 60 mm, 60 mm]}",
		"c.yml":     "process: {nozzle: 0.8 mm}",
		"d.yml":     "process: {layer: 0.3 mm, material: petg}",
	}
	return loaded(t, files)
}

// loaded is the configuration rules.yml of some files.
func loaded(t testing.TB, files map[string]string) *ruleset.Config {
	t.Helper()
	config, err := ruleset.Load("rules.yml", ruleset.Options{Catalog: measure.Catalog(), Open: func(name string) ([]byte, error) {
		if text, ok := files[name]; ok {
			return []byte(text), nil
		}
		return nil, fs.ErrNotExist
	}})
	require.NoError(t, err)
	return config
}

// rod is a bar of that length in mm.
func rod(long float64) *mesh.Triangles {
	return shapes.Box(mesh.Vec{}, mesh.Vec{X: long, Y: 6, Z: 4})
}

// plate is a square plate of that side in mm.
func plate(side float64) *mesh.Triangles {
	return shapes.Box(mesh.Vec{}, mesh.Vec{X: side, Y: side, Z: 2})
}

// shelfFiles are models in which the machines agree and others in which they do not.
func shelfFiles(t testing.TB) []collection.File {
	return []collection.File{
		model(t, "arm.stl", shapes.LeaningArm(60, 8)), fileOf("broken.stl", []byte("solid x\nfacet normal 0 0 1\n")),
		model(t, "cube.stl", shapes.Cube(20)), model(t, "fin.stl", shapes.Fin(.6)),
		model(t, "hook.stl", shapes.Hook()), model(t, "long.stl", rod(400)),
		model(t, "portal.stl", shapes.Portal(40)), model(t, "tiny.stl", shapes.Scale(shapes.Cube(20), .04)),
	}
}

// verdictOn is what a report says of a model on one machine.
func verdictOn(m *finding.Model, machine string) (found []string, on finding.OnMachine) {
	for i := range m.Findings {
		if f := &m.Findings[i]; f.HoldsOn(machine) {
			found = append(found, f.Rule+" "+string(f.Level))
		}
	}
	for _, o := range m.Machines {
		if o.Machine == machine {
			on = o
		}
	}
	on.Advice = nil
	return found, on
}

// TestEachMachineComesToWhatItIsAlone holds that judging for several machines at once
// changes nothing of what each of them says.
func TestEachMachineComesToWhatItIsAlone(t *testing.T) {
	config := machines(t, "")
	files := shelfFiles(t)
	all := check(t, config, Options{Jobs: 2, Machines: config.Machines}, files...)
	require.Len(t, all.Machines, 4)
	differ := 0
	for k, one := range config.Machines {
		alone := check(t, config, Options{Jobs: 2, Machines: []*ruleset.Machine{one}}, files...)
		plain := check(t, one.Config, Options{Jobs: 2}, files...)
		for i := range all.Models {
			m := &all.Models[i]
			require.Len(t, m.Machines, 4, m.Path)
			require.Equal(t, one.Name, m.Machines[k].Machine, "in the order of the configuration")
			found, on := verdictOn(m, one.Name)
			wantFound, wantOn := verdictOn(&alone.Models[i], one.Name)
			assert.ElementsMatch(t, wantFound, found, "%s on %s", m.Path, one.Name)
			assert.Equal(t, wantOn, on, "%s on %s", m.Path, one.Name)
			plainFound, _ := verdictOn(&plain.Models[i], one.Name)
			assert.ElementsMatch(t, plainFound, found, "%s by the rules of %s", m.Path, one.Name)
			if len(found) < len(m.Findings) {
				differ++
			}
		}
	}
	require.Positive(t, differ, "the machines agree in everything, and show nothing")
}

// TestMachinesAreSteady holds the same bytes whatever the workers, with advice, and from the
// cache, which keeps what another choice of machines found apart.
func TestMachinesAreSteady(t *testing.T) {
	config := machines(t, "")
	stored, err := cache.Open(filepath.Join(t.TempDir(), "results"), cache.Standard)
	require.NoError(t, err)
	run := func(opt Options, chosen []*ruleset.Machine) string {
		opt.Machines, opt.Advice = chosen, advise.Options{Depth: advise.Short}
		var out bytes.Buffer
		require.NoError(t, report.Write(&out, "json", check(t, config, opt, shelfFiles(t)...), report.Options{}))
		return out.String()
	}
	want, one := run(Options{Jobs: 1}, config.Machines), run(Options{Jobs: 1}, config.Machines[:1])
	kept := Options{Jobs: 2, Results: ResultCache{Cache: stored, Program: "test"}}
	for range 2 {
		assert.Equal(t, want, run(Options{Jobs: 4}, config.Machines))
		assert.Equal(t, want, run(kept, config.Machines))
		assert.Equal(t, one, run(kept, config.Machines[:1]))
	}
}

// TestUndecidedWhereItCounts holds that a model which cannot be judged for a machine is
// trouble, unless that machine does not count. Its size is a warning only, since an error would
// decide it.
func TestUndecidedWhereItCounts(t *testing.T) {
	file := model(t, "long.stl", rod(400)) // 400 mm, on a bed of 60
	for more, code := range map[string]int{
		"": ExitTrouble, "fail-at: {on: all}": ExitTrouble, "fail-at: {on: [b, c]}": ExitTrouble, "fail-at: {level: none, on: [a, c]}": ExitClean,
	} {
		config := machines(t, "rules: {fits-bed: {level: warning}}\n"+more+"\n")
		r := check(t, config, Options{Machines: config.Machines}, file)
		m := &r.Models[0]
		assert.Equal(t, code, Exit(r, config.FailAt), more)
		assert.Contains(t, m.Machines[1].Undecided, "far larger than the bed of 60 x 60 x 60 mm", more)
		assert.Empty(t, m.Machines[0].Undecided, more)
		if code == ExitTrouble {
			assert.Contains(t, m.Reason, "on b: ", more)
		}
	}
	config := machines(t, "")
	r := check(t, config, Options{Machines: config.Machines}, fileOf("broken.stl", []byte("solid x\n")))
	require.Len(t, r.Models[0].Machines, 4)
	assert.Equal(t, r.Models[0].Reason, r.Models[0].Machines[3].Undecided)
}

// TestTheLimitOfWorkHoldsForAllMachines together, as for one.
func TestTheLimitOfWorkHoldsForAllMachines(t *testing.T) {
	config := machines(t, "")
	r := check(t, config, Options{Machines: config.Machines, TimeLimit: 100_000}, model(t, "hook.stl", shapes.Hook()))
	m := &r.Models[0]
	assert.Equal(t, finding.Undecided, m.Status)
	require.Len(t, m.Machines, 4)
	for _, o := range m.Machines {
		assert.NotEmpty(t, o.Undecided)
	}
}

// TestWaysUpAreMeasuredOnce holds that machines which differ only in their beds share what is
// measured in other ways up: four of them take little more work than one.
func TestWaysUpAreMeasuredOnce(t *testing.T) {
	files := map[string]string{"rules.yml": "machines: [a.yml, b.yml, c.yml, d.yml]"}
	for k, name := range []string{"a.yml", "b.yml", "c.yml", "d.yml"} {
		files[name] = fmt.Sprintf("process: {bed: [%d mm, 200 mm, 200 mm]}", 210+k)
	}
	config := loaded(t, files)
	m := mesh.Weld(readParts(t, model(t, "arm.stl", shapes.LeaningArm(30, 8)))[0].Triangles)
	spent := func(list []*ruleset.Machine) int64 {
		const limit = time.Hour // of work, which is counted: no clock has a part in it
		j := &judge{usage: config.NewUsage(), machines: list, where: whereOf(config, list), advice: advise.Options{Depth: advise.Full}, limit: limit}
		ctx := work.Start(context.Background(), limit)
		e := &entry{Model: finding.Model{Path: "arm.stl", Status: finding.Checked, Notes: []string{}}}
		require.NoError(t, j.judge(ctx, e, "arm.stl", m, 1))
		require.NotNil(t, e.Advice)
		return limit.Nanoseconds() - work.Of(ctx).Left()
	}
	one, four := spent(config.Machines[:1]), spent(config.Machines)
	assert.Less(t, float64(four), 1.5*float64(one), "one takes %d units of work, and four %d", one, four)
}

// TestOnlyTheChosenMachinesCount holds how a choice of machines and the policy meet.
func TestOnlyTheChosenMachinesCount(t *testing.T) {
	config := machines(t, "fail-at: {on: [a, c]}")
	assert.Equal(t, []string{"a", "c"}, whereOf(config, config.Machines).Names)
	assert.Equal(t, []string{"a"}, whereOf(config, config.Machines[:2]).Names)
	assert.Equal(t, &finding.FailWhere{Policy: finding.FailOnAny}, whereOf(config, config.Machines[1:2]), "or nothing could close the gate")
	assert.Nil(t, whereOf(config, nil))
	assert.Equal(t, []string{"a", "c"}, config.Where.Names, "the configuration stays as it is")
}

// TestAFindingThatSpreadsIsNew holds that what fails on one machine more than before is new
// to a gate that closes on what a change brings.
func TestAFindingThatSpreadsIsNew(t *testing.T) {
	config := machines(t, "process: {bed: [220 mm, 220 mm, 250 mm]}\n")
	run := func(before, now float64) *finding.Report {
		was := []collection.File{model(t, "box.stl", plate(before))}
		r, err := Run(context.Background(), "test", []collection.File{model(t, "box.stl", plate(now))}, config, Options{
			Machines: config.Machines, Before: &Before{Rev: "main", Commit: "c", Files: was, FailOn: finding.FailOnNew},
		})
		require.NoError(t, err)
		return r
	}
	same, grown := run(100, 100), run(100, 230) // larger than one bed, and than all
	f := &same.Models[0].Findings[0]
	assert.Equal(t, []string{"b"}, f.On)
	assert.Equal(t, finding.Same, f.Change)
	assert.Equal(t, ExitClean, Exit(same, finding.Error))
	assert.Equal(t, finding.New, grown.Models[0].Findings[0].Change)
	assert.Equal(t, ExitFindings, Exit(grown, finding.Error))
	assert.True(t, spreads(&finding.Finding{On: []string{"a"}}, &finding.Finding{On: []string{"a", "b"}}))
	assert.True(t, spreads(&finding.Finding{On: []string{"a"}}, &finding.Finding{}))
	assert.False(t, spreads(&finding.Finding{}, &finding.Finding{On: []string{"a"}}))
	assert.False(t, spreads(&finding.Finding{On: []string{"a", "b"}}, &finding.Finding{On: []string{"b"}}))
}

// TestTooLargeForASmallMachine holds that a model far larger than a bed that is named fails
// there, and is decided, so that the policy on machines counts. Where no rule finds its size
// it stays undecided, as it does where nobody says which bed it is.
func TestTooLargeForASmallMachine(t *testing.T) {
	long := func(more string) *finding.Model {
		config := machines(t, more)
		r := check(t, config, Options{Jobs: 1, Machines: config.Machines}, model(t, "long.stl", rod(290)))
		return &r.Models[0]
	}
	m := long("")
	assert.Equal(t, finding.Checked, m.Status, m.Reason)
	found, on := verdictOn(m, "b")
	assert.Equal(t, []string{"fits-bed error"}, found)
	assert.Empty(t, on.Undecided)
	assert.Equal(t, 1, on.Findings.Error)
	assert.Equal(t, finding.Undecided, long("rules: {fits-bed: {level: warning}}").Status, "no error says that it fails")
	waived := long("waivers: [{path: long.stl, rule: fits-bed, reason: cut in four before it is printed}]")
	assert.Equal(t, finding.Undecided, waived.Status, "its size was accepted, and its shape was not looked at")

	config := machines(t, "")
	plain := check(t, config.Machines[1].Config, Options{Jobs: 1}, model(t, "long.stl", rod(290)))
	assert.Equal(t, finding.Undecided, plain.Models[0].Status, "no printer is named")
}
