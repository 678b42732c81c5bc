package lint

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/cache"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/report"
	"printlint/internal/shapes"
)

// metered is content that meters the bytes read of it.
type metered struct {
	collection.Content
	read *atomic.Int64
}

func (c metered) ReadAt(p []byte, off int64) (int, error) {
	n, err := c.Content.ReadAt(p, off)
	c.read.Add(int64(n))
	return n, err
}

// counting wraps files so that what is read of them is metered together.
func counting(files []collection.File, read *atomic.Int64) []collection.File {
	var out []collection.File
	for i := range files {
		f := files[i]
		wrapped := collection.New(f.Path, f.Rules, f.Size, func() (collection.Content, error) {
			c, err := f.Open()
			if err != nil {
				return nil, err
			}
			return metered{c, read}, nil
		})
		wrapped.Skip = f.Skip
		out = append(out, wrapped)
	}
	return out
}

func keeping(t testing.TB, program string) Options {
	c, err := cache.Open(filepath.Join(t.TempDir(), "cache"), cache.Standard)
	require.NoError(t, err)
	return Options{Jobs: 2, Results: ResultCache{c, program}, Advice: advise.Options{Depth: advise.Short}}
}

// shelfOf is a shelf without broken models: those are read every time.
func shelfOf(t testing.TB) []collection.File {
	return []collection.File{
		model(t, "b/hook.stl", shapes.Hook()), model(t, "c/cube.obj", shapes.Cube(10)), model(t, "d/t.ascii.stl", shapes.T()),
		fileOf("e/two.3mf", tableOf(shapes.T()).threeMF("millimeter", `<item objectid="1"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 90 0 0"/>`)),
		fileOf("f/t.amf", zipped("t.amf", tableOf(shapes.T()).amf())),
	}
}

// bytesOf renders a report in a format.
func bytesOf(t testing.TB, format string, r *finding.Report) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, format, r, report.Options{}))
	return b.String()
}

// TestNothingIsReadTwice counts what a second run reads: each file once, for its hash.
func TestNothingIsReadTwice(t *testing.T) {
	config, opt := load(t, hangRules), keeping(t, "p")
	files := shelfOf(t)
	size := int64(0)
	for i := range files {
		size += files[i].Size
	}
	var first, second atomic.Int64
	want := check(t, config, opt, counting(files, &first)...)
	got := check(t, config, opt, counting(files, &second)...)
	assert.Greater(t, first.Load(), 3*size/2, "the first run reads the meshes")
	assert.Equal(t, size, second.Load(), "the second hashes them")
	assert.NotNil(t, want.Models[0].Advice)
	for _, format := range report.Formats() {
		assert.Equal(t, bytesOf(t, format, want), bytesOf(t, format, got), format)
	}
	assert.Equal(t, bytesOf(t, "json", check(t, config, Options{Advice: opt.Advice}, files...)), bytesOf(t, "json", got), "as without a cache")
}

// TestWhatAResultDependsOn changes one thing at a time: each time the mesh is read again.
func TestWhatAResultDependsOn(t *testing.T) {
	base := keeping(t, "p")
	body := shapes.T()
	reads := func(text string, opt Options, f collection.File) bool {
		var read atomic.Int64
		check(t, load(t, text), opt, counting([]collection.File{f}, &read)...)
		return read.Load() > f.Size
	}
	plain := model(t, "a/t.stl", body)
	require.True(t, reads(hangRules, base, plain))
	require.False(t, reads(hangRules, base, plain))
	other, program, deeper := base, base, base
	program.Results.Program = "q"
	deeper.Advice.Depth = advise.Full
	other.Advice.Depth = advise.None
	content := model(t, "a/t.stl", shapes.Move(body, mesh.Vec{X: 1}))
	moved := collection.New("a/t.stl", "statues/t.stl", plain.Size, plain.Open)
	for what, again := range map[string]bool{
		"content": reads(hangRules, base, content),
		"rules":   reads(strings.Replace(hangRules, "reach: 2 mm", "reach: 3 mm", 1), base, plain),
		"process": reads(strings.Replace(hangRules, "line: 0.4 mm", "line: 0.5 mm", 1), base, plain),
		"unit":    reads(hangRules+"models: {unit: um}\n", base, plain),
		"waivers": reads(hangRules+"waivers: [{path: a/t.stl, rule: hangs, reason: x}]\n", base, plain),
		"program": reads(hangRules, program, plain),
		"advice":  reads(hangRules, other, plain) && reads(hangRules, deeper, plain),
		"path":    reads(hangRules, base, moved),
	} {
		assert.True(t, again, what)
	}
	assert.False(t, reads(hangRules, base, plain), "and what was kept is still there")
	assert.False(t, reads(hangRules, base, collection.New("../shelf/a/t.stl", "a/t.stl", plain.Size, plain.Open)), "from another folder it is the same")
}

// TestKeptPathsFollow holds that models are shown under the path of this run, also those
// inside a container.
func TestKeptPathsFollow(t *testing.T) {
	config, opt := load(t, hangRules), keeping(t, "p")
	pack := fileOf("f/t.amf", zipped("in/t.amf", tableOf(shapes.T()).amf()))
	want := check(t, config, opt, pack)
	got := check(t, config, opt, collection.New("../f/t.amf", pack.Rules, pack.Size, pack.Open))
	assert.Equal(t, "f/t.amf!/in/t.amf", want.Models[0].Path)
	assert.Equal(t, "../f/t.amf!/in/t.amf", got.Models[0].Path)
	assert.Equal(t, strings.ReplaceAll(bytesOf(t, "json", want), `"f/t`, `"../f/t`), bytesOf(t, "json", got))
}

func TestWaiversInUseAreNotStaleFromTheCache(t *testing.T) {
	text := hangRules + "waivers: [{path: a/t.stl, rule: hangs, reason: known}]\n"
	opt := keeping(t, "p")
	opt.Whole = true
	for range 2 {
		r := check(t, load(t, text), opt, model(t, "a/t.stl", shapes.T()))
		require.Len(t, r.Models, 1, "no entry for the configuration")
		assert.Equal(t, 2, r.Summary.Waived)
	}
}

func TestWhatMayChangeIsNotKept(t *testing.T) {
	opt := keeping(t, "p")
	broken := fileOf("broken.stl", []byte("solid x\nfacet normal 0 0 1\n"))
	var read atomic.Int64
	for range 2 {
		r := check(t, load(t, hangRules), opt, counting([]collection.File{broken}, &read)...)
		assert.Equal(t, 1, r.Summary.Unreadable)
	}
	assert.Greater(t, read.Load(), 2*broken.Size, "read both times")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	k := newResults(&opt, &judge{usage: load(t, hangRules).NewUsage()}, nil)
	f := fileOf("a.stl", nil)
	e := entry{Model: finding.Model{SHA256: "sum"}}
	k.store(ctx, &f, &e, []entry{{Model: finding.Model{Path: "a.stl", Status: finding.Checked}}})
	_, ok := k.load(&f, &e)
	assert.False(t, ok, "a run that was stopped keeps nothing")
}

func TestWhoDrawsSeesEveryMesh(t *testing.T) {
	opt := keeping(t, "p")
	for range 2 {
		seen := 0
		opt.Observer = ObserverFunc(func(context.Context, *Judged) error { seen++; return nil })
		check(t, load(t, hangRules), opt, model(t, "t.stl", shapes.T()))
		assert.Equal(t, 1, seen)
	}
}

func TestDamagedResultsAreComputedAgain(t *testing.T) {
	opt := keeping(t, "p")
	config := load(t, hangRules)
	f := model(t, "t.stl", shapes.T())
	want := check(t, config, opt, f)
	key := newResults(&opt, &judge{usage: config.NewUsage()}, nil).key(&f, &entry{Model: want.Models[0]})
	for _, junk := range []string{"", "[]", "{}", `[{"path":"","findings":[{}],"locations":[]}]`, "null", "not json"} {
		require.NoError(t, opt.Results.Cache.Put(key, []byte(junk)))
		assert.Equal(t, bytesOf(t, "json", want), bytesOf(t, "json", check(t, config, opt, f)), junk)
	}
}

// BenchmarkKeptShelf is a second run over 134 unchanged files of 100 kB.
func BenchmarkKeptShelf(b *testing.B) {
	config := load(b, hangRules)
	opt := keeping(b, "p")
	opt.Advice.Depth = advise.None
	var files []collection.File
	for i := range 134 {
		var data bytes.Buffer
		require.NoError(b, shapes.WriteBinarySTL(&data, shapes.Move(shapes.Ball(10, 32), mesh.Vec{X: float64(i)}), "x"))
		files = append(files, fileOf(fmt.Sprintf("ball%03d.stl", i), data.Bytes()))
	}
	check(b, config, opt, files...)
	for b.Loop() {
		if r := check(b, config, opt, files...); r.Summary.Models != len(files) {
			b.Fatal(r.Summary)
		}
	}
}
