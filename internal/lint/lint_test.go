package lint

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/report"
	"printlint/internal/shapes"
)

// mixed is a shelf with good, bad and broken models.
func mixed(t testing.TB) []collection.File {
	files := []collection.File{
		model(t, "b/hook.stl", shapes.Hook()),
		fileOf("a/broken.stl", []byte("solid x\nfacet normal 0 0 1\n")),
		model(t, "c/cube.obj", shapes.Cube(10)),
		collection.New("a/gone.stl", "a/gone.stl", 0, func() (collection.Content, error) { return nil, errors.New("gone") }),
		{Path: "a/left.stl", Rules: "a/left.stl", Skip: "left out"},
	}
	for i := range 12 {
		files = append(files, model(t, fmt.Sprintf("d/t%02d.ascii.stl", i), shapes.T()))
	}
	return files
}

func TestOneBadModelStopsNothing(t *testing.T) {
	r := check(t, load(t, hangRules), Options{Jobs: 2}, mixed(t)...)
	var seen []string
	for _, m := range r.Models {
		seen = append(seen, fmt.Sprintf("%s %s %d", m.Path, m.Status, len(m.Findings)))
	}
	require.Len(t, seen, 17)
	assert.Equal(t, []string{
		"a/broken.stl unreadable 0", "a/gone.stl unreadable 0", "a/left.stl skipped 0",
		"b/hook.stl checked 1", "c/cube.obj checked 0", "d/t00.ascii.stl checked 2",
	}, seen[:6])
	assert.Equal(t, "gone", r.Models[1].Reason)
	assert.NotZero(t, r.Models[0].Line)
	assert.Equal(t, finding.Summary{Models: 16, Fail: 13, Clean: 1, Error: 25, Unreadable: 2}, r.Summary)
	assert.Equal(t, ExitTrouble, Exit(r, finding.Error))
}

func TestSameBytesWhateverTheWorkers(t *testing.T) {
	config := load(t, hangRules)
	var want bytes.Buffer
	require.NoError(t, report.Write(&want, "json", check(t, config, Options{Jobs: 1}, mixed(t)...), report.Options{}))
	for _, opt := range []Options{{Jobs: 2}, {Jobs: 8}, {Jobs: 3, Memory: memoryBase}, {Jobs: 8, Memory: 200 << 20}, {}} {
		var got bytes.Buffer
		require.NoError(t, report.Write(&got, "json", check(t, config, opt, mixed(t)...), report.Options{}))
		assert.Equal(t, want.String(), got.String(), "%+v", opt)
	}
}

func TestFindingsSayWhereTheyAre(t *testing.T) {
	r := check(t, load(t, hangRules), Options{}, model(t, "t.stl", shapes.T()))
	require.Len(t, r.Models[0].Findings, 2)
	f := r.Models[0].Findings[0]
	assert.Equal(t, "hangs", f.Rule)
	assert.Equal(t, finding.Error, f.Level)
	assert.Equal(t, "turn it over", f.Advice)
	assert.Zero(t, f.Line)
	require.NotNil(t, f.Bytes)
	assert.Equal(t, finding.Bytes{Offset: 84 + 50*int64(f.Triangle-1), Length: 50}, *f.Bytes)
	angle, ok := f.Values.Get("angle")
	assert.True(t, ok)
	assert.InDelta(t, 90, angle, 1e-6)
	limit, ok := f.Limits.Get("reach")
	assert.True(t, ok)
	assert.InDelta(t, 2, limit, 0)
	assert.InDelta(t, 30, f.At[2], 0.2)
	assert.Len(t, r.Models[0].SHA256, 64)
}

func TestPanicsBecomeEntries(t *testing.T) {
	g := &engine{config: load(t, hangRules), each: func(_ context.Context, e *entry, _ string, _ *mesh.Mesh, _ int) error {
		if e.Path == "bad.stl" {
			panic("index out of range")
		}
		return nil
	}}
	files := []collection.File{model(t, "bad.stl", shapes.Cube(1)), model(t, "good.stl", shapes.Cube(1)),
		collection.New("worse.stl", "worse.stl", 1, func() (collection.Content, error) { panic("open") })}
	entries, err := g.all(context.Background(), files, Options{Jobs: 2})
	require.NoError(t, err)
	assert.Equal(t, finding.Unreadable, entries[0].Status)
	assert.Equal(t, "the analysis broke off (index out of range); this is a defect of printlint, please report it with the model", entries[0].Reason)
	assert.Equal(t, finding.Checked, entries[1].Status)
	assert.Equal(t, finding.Unreadable, entries[2].Status)
}

func TestStoppedFromOutside(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Run(ctx, "test", mixed(t), load(t, hangRules), Options{Jobs: 2})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestProgressCountsEveryFile(t *testing.T) {
	var steps []int
	check(t, load(t, hangRules), Options{Jobs: 4, Progress: func(done, total int) {
		assert.Equal(t, 17, total)
		steps = append(steps, done)
	}}, mixed(t)...)
	require.Len(t, steps, 17)
	for i, n := range steps {
		assert.Equal(t, i+1, n)
	}
}

func TestTimingIsAskedFor(t *testing.T) {
	config := load(t, hangRules)
	assert.Zero(t, check(t, config, Options{}, mixed(t)...).Summary.Seconds)
	assert.Positive(t, check(t, config, Options{Timing: true}, mixed(t)...).Summary.Seconds)
}
