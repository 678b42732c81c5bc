package lint

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/cache"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// open is two opposite walls of a cube, between which no layer can be filled in.
func open() *mesh.Triangles {
	s := shapes.Cube(10)
	kept := &mesh.Triangles{}
	for i := 0; i < len(s.Corners); i += 3 {
		if a := s.Corners[i][0]; s.Corners[i+1][0] != a || s.Corners[i+2][0] != a {
			continue // neither the wall at x = 0 nor that at x = 10
		}
		kept.Corners = append(kept.Corners, s.Corners[i:i+3]...)
	}
	return kept
}

// What could not be judged is never clean: not at any level that fails, and not by a
// waiver. A model that only lacks what no rule asks for is judged.
func TestUndecidedIsNeverClean(t *testing.T) {
	for _, rules := range []string{hangRules, hangRules + everythingWaived} {
		r := check(t, load(t, rules), Options{Advice: advise.Options{Depth: advise.Short}}, model(t, "open.stl", open()))
		m := r.Models[0]
		assert.Equal(t, finding.Undecided, m.Status)
		assert.Contains(t, m.Reason, "inside and outside cannot be told apart: ")
		assert.Contains(t, m.Reason, "; close the surface")
		assert.NotEmpty(t, m.Measures.All(), "what was measured stays")
		assert.Nil(t, m.Advice)
		assert.Equal(t, 1, r.Summary.Undecided)
		assert.Zero(t, r.Summary.Clean)
		for _, level := range []finding.Level{finding.Error, finding.Note, finding.None} {
			assert.Equal(t, ExitTrouble, Exit(r, level))
		}
	}
}

// everythingWaived accepts whatever a rule can find on any model.
const everythingWaived = `
waivers:
  - {path: "*.stl", rule: hangs, reason: printed many times}
`

// A part of which the reader did not take everything is judged, and undecided all the same.
func TestPartlyReadIsUndecided(t *testing.T) {
	j := &judge{usage: load(t, hangRules).NewUsage()}
	g := &engine{config: j.usage.Config, each: j.judge}
	parts := readParts(t, model(t, "t.stl", shapes.T()))
	parts[0].Undecided = "it has curves, which are not read; export it as triangles"
	e := g.part(work.Start(context.Background(), 0), entry{Model: finding.Model{Path: "t.stl", Status: finding.Checked}}, "t.stl", &parts[0], 1)
	assert.Equal(t, finding.Undecided, e.Status)
	assert.Equal(t, "it has curves, which are not read; export it as triangles", e.Reason)
	assert.Len(t, e.Findings, 2, "what was found stays")
}

// sized judges the size, which needs no work to speak of, and what hangs, which does.
const sized = hangRules + `
  large:
    measure: size
    limits: {longest: 10 mm}
    find: longest > limits.longest
    level: error
    say: too large
    because: it does not fit
`

// What was found before the limit stays, the rest is undecided, and nothing is kept.
func TestLimitKeepsWhatWasFound(t *testing.T) {
	c, err := cache.Open(t.TempDir(), cache.Standard)
	require.NoError(t, err)
	kept := ResultCache{Cache: c, Program: "test"}
	file := model(t, "t.stl", shapes.T())
	opt := Options{Jobs: 1, Results: kept}
	half := 0
	for opt.TimeLimit = time.Microsecond; ; opt.TimeLimit += opt.TimeLimit / 10 {
		r := check(t, load(t, sized), opt, file)
		m := r.Models[0]
		if m.Status == finding.Checked {
			assert.Greater(t, len(m.Findings), 1, "half a verdict was not kept")
			break
		}
		require.Equal(t, finding.Undecided, m.Status, m.Reason)
		assert.Equal(t, ExitTrouble, Exit(r, finding.None))
		assert.Contains(t, m.Reason, "not judged within the limit of "+opt.TimeLimit.String()+" of work")
		assert.Contains(t, m.Reason, "; raise --time-limit")
		if len(m.Findings) == 0 {
			continue
		}
		half++
		assert.Equal(t, "large", m.Findings[0].Rule)
		assert.Contains(t, m.Reason, "overhang")
		assert.NotContains(t, m.Reason, "size")
	}
	assert.Positive(t, half)
}

// A file whose judging asks for nothing and never ends is given up; the others are judged.
func TestWatchdogGivesUp(t *testing.T) {
	stuck := make(chan struct{})
	defer close(stuck)
	j := &judge{usage: load(t, hangRules).NewUsage()}
	g := &engine{config: j.usage.Config, limit: time.Second, wait: 300 * time.Millisecond}
	g.each = func(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) error {
		if path == "deaf.stl" {
			<-stuck
		}
		return j.judge(ctx, e, path, m, jobs)
	}
	entries, err := g.all(context.Background(), []collection.File{model(t, "deaf.stl", shapes.Cube(1)), model(t, "t.stl", shapes.T())}, Options{Jobs: 2})
	require.NoError(t, err)
	require.Len(t, entries, 2)
	assert.Equal(t, finding.Undecided, entries[0].Status)
	assert.Equal(t, "given up 300ms after it was begun: it costs far more than the limit of 1s of work; repair the model, or leave it out", entries[0].Reason)
	assert.Equal(t, finding.Checked, entries[1].Status)
	assert.Equal(t, 14*time.Second, patience(time.Second))
	assert.Zero(t, patience(0))
}

// A limit that is reached while other ways up are looked for leaves the verdict alone:
// the gate notes it, and advise, which was asked for no more than that, is undecided.
func TestAdviceIsCutShort(t *testing.T) {
	config := load(t, standard)
	m := mesh.Weld(readParts(t, model(t, "t.stl", shapes.T()))[0].Triangles)
	judged := func(depth advise.Depth, limit time.Duration) (*entry, int64) {
		j := &judge{usage: config.NewUsage(), advice: advise.Options{Depth: depth}, limit: limit}
		ctx := work.Start(context.Background(), limit)
		e := &entry{Model: finding.Model{Path: "t.stl", Status: finding.Checked, Notes: []string{}}}
		require.NoError(t, j.judge(ctx, e, "t.stl", m, 1))
		return e, limit.Nanoseconds() - work.Of(ctx).Left()
	}
	plain, spent := judged(advise.None, time.Hour)
	for _, depth := range []advise.Depth{advise.Short, advise.Full} {
		cut := 0
		for more := int64(1000); ; more *= 4 {
			e, _ := judged(depth, time.Duration(spent+more))
			assert.Equal(t, plain.Findings, e.Findings, "the verdict stands")
			if e.Advice != nil && len(e.Notes) == 0 && e.Status == finding.Checked {
				break
			}
			cut++
			if depth == advise.Short {
				assert.Equal(t, finding.Checked, e.Status)
				require.Len(t, e.Notes, 1)
				assert.Contains(t, e.Notes[0], "the search for other ways up was cut short by the limit of ")
				assert.Nil(t, e.Advice)
			} else {
				assert.Equal(t, finding.Undecided, e.Status)
				assert.Contains(t, e.Reason, "the search for other ways up was cut short by the limit of ")
				if e.Advice != nil {
					assert.Contains(t, e.Advice.Words, "the search was cut short; so far, ")
					assert.NotContains(t, e.Advice.Words, "no other way up is better")
				}
			}
		}
		assert.Positive(t, cut)
	}
}

// readParts reads the parts of a file and their triangles.
func readParts(t *testing.T, f collection.File) []meshfile.Part {
	t.Helper()
	parts, err := meshfile.Read(f.Path, contentOf(t, f), meshfile.Options{})
	require.NoError(t, err)
	for i := range parts {
		require.NoError(t, parts[i].Load())
	}
	return parts
}
