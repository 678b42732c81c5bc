package lint

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/report"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// folderRules are over folders alone.
const folderRules = fileProcess + `
rules:
  images: {per: folder, find: 'holds("*.png", "*.jpg") > 0', level: note, say: 'images in {folder.path}: {which holds("*.png","*.jpg")}', do: 'take {holds("*.png", "*.jpg")} out', because: b}
  no-note: {per: folder, find: 'not beside("README*")', level: warning, say: 'no note in {folder.name}', because: b}
  copies: {per: folder, find: folder.copies > 0, level: note, say: '{folder.copies} copies, {which folder.copies}', because: b}
  clash: {per: folder, find: folder.clash > 0, level: error, say: 'names {which folder.clash}', because: b}
  many: {per: folder, limits: {most: 2}, find: folder.models > limits.most, level: note, say: '{folder.models} models and {folder.others} others', because: b}
`

// stl is a binary STL file.
func stl(t testing.TB, s *mesh.Triangles) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, shapes.WriteBinarySTL(&b, s, "test"))
	return b.Bytes()
}

// lie puts files into a new working directory and lists the models.
func lie(t *testing.T, files map[string][]byte) []collection.File {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, data := range files {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
		require.NoError(t, os.WriteFile(name, data, 0o666))
	}
	return listed(t, ".")
}

func listed(t *testing.T, paths ...string) []collection.File {
	t.Helper()
	list, err := collection.Find(paths, collection.Options{Include: ruleset.ModelGlobs})
	require.NoError(t, err)
	return list
}

// inFolders lists the messages on folders.
func inFolders(r *finding.Report) map[string][]string {
	list := map[string][]string{}
	for _, m := range r.Models {
		if m.Kind == finding.KindFolder {
			list[m.Path] = append(m.Notes, found(r)[m.Path]...)
		}
	}
	return list
}

// cluttered is a shelf that breaks each of the rules.
func cluttered(t *testing.T) []collection.File {
	return lie(t, map[string][]byte{
		"a/clip.stl": stl(t, shapes.Cube(20)), "a/README.md": nil, "a/photo.png": nil, "a/Photo.PNG": nil,
		"b/copy.stl": stl(t, shapes.Cube(20)), "b/lid.stl": stl(t, shapes.Cube(10)), "b/same.stl": stl(t, shapes.Cube(10)), "b/readme.txt": nil,
		"clean/box.stl": stl(t, shapes.Cube(11)), "clean/README": nil,
		"top.stl": stl(t, shapes.Cube(12)),
	})
}

// TestRulesOverFolders holds what they find, where it stands in the report, and how it counts.
func TestRulesOverFolders(t *testing.T) {
	files := cluttered(t)
	r := check(t, load(t, folderRules), Options{Whole: true}, files...)
	assert.Equal(t, map[string][]string{
		".": {"no note in ."},
		"a": {"names Photo.PNG, photo.png", "images in a: Photo.PNG, photo.png"},
		"b": {"2 copies, copy.stl (equal to a/clip.stl), same.stl (equal to lid.stl)", "3 models and 1 others"},
	}, inFolders(r))
	assert.Equal(t, finding.Summary{Models: 6, Clean: 6, Error: 1, Warning: 1, Note: 3}, r.Summary, "a folder is no model")
	assert.Equal(t, ExitFindings, Exit(r, finding.Error))
	assert.Equal(t, "take 2 out", entryOf(r, "a").Findings[1].Advice)
	var want bytes.Buffer
	require.NoError(t, report.Write(&want, "json", r, report.Options{}))
	for _, jobs := range []int{2, 8} {
		var got bytes.Buffer
		require.NoError(t, report.Write(&got, "json", check(t, load(t, folderRules), Options{Whole: true, Jobs: jobs}, files...), report.Options{}))
		assert.Equal(t, want.String(), got.String())
	}
}

// TestPartOfAFolder holds that a folder is judged whole when one model of it is looked at.
func TestPartOfAFolder(t *testing.T) {
	cluttered(t)
	around := Around{Rest: func() ([]collection.File, error) { return listed(t, "."), nil }}
	r := check(t, load(t, folderRules), Options{Around: around}, listed(t, "b/same.stl")...)
	assert.Equal(t, map[string][]string{
		"b": {"2 copies, copy.stl (equal to a/clip.stl), same.stl (equal to lid.stl)", "3 models and 1 others"},
	}, inFolders(r))
}

// TestHugeFilesOfOneSize holds that no more of files that the run does not look at is read than
// the limit of work on one file allows, and that the folder says so.
func TestHugeFilesOfOneSize(t *testing.T) {
	lie(t, map[string][]byte{"b/clip.stl": stl(t, shapes.Cube(20)), "a/huge.stl": nil, "b/huge.stl": nil})
	for _, name := range []string{"a/huge.stl", "b/huge.stl"} {
		require.NoError(t, os.Truncate(name, 4<<20))
	}
	around := Around{Rest: func() ([]collection.File, error) { return listed(t, "."), nil }}
	check := func(limit time.Duration) []string {
		return inFolders(check(t, load(t, folderRules), Options{Around: around, TimeLimit: limit}, listed(t, "b/clip.stl")...))["b"]
	}
	assert.NotContains(t, fmt.Sprint(check(0)), "was not compared")
	assert.Equal(t, []string{"huge.stl was not compared with files of its size: that takes more than the limit of 1ms of work", "no note in b"}, check(time.Millisecond))
}

// TestFoldersInShares holds that each folder is judged in one share, and that together they
// say what the run in one piece says.
func TestFoldersInShares(t *testing.T) {
	files, config := cluttered(t), load(t, folderRules)
	whole := check(t, config, Options{Whole: true}, files...)
	var reports []*finding.Report
	for k := 1; k <= 3; k++ {
		share := &finding.Shard{Index: k, Count: 3, All: ListingOf(files)}
		reports = append(reports, check(t, config, Options{Shard: share, Whole: true, Around: Around{All: files}}, collection.Shard(files, k, 3)...))
	}
	merged, _, err := Merge(reports, []string{"1", "2", "3"})
	require.NoError(t, err)
	assert.Equal(t, inFolders(whole), inFolders(merged))
	assert.Equal(t, whole.Summary, merged.Summary)
}

// TestNamesThatClash holds which names some systems cannot keep side by side: an accent may be
// one sign with its letter, or one of its own.
func TestNamesThatClash(t *testing.T) {
	assert.Equal(t, []string{"KO\u0308RPER.stl", "k\u00f6rper.stl", "Lid.stl", "lid.stl"},
		clashing([]string{"KO\u0308RPER.stl", "korper.stl", "k\u00f6rper.stl", "Lid.stl", "lid.stl", "lid.step"}))
	assert.Empty(t, clashing([]string{"a.stl", "b.stl"}))
}

// TestLinksAreNoCopies holds that a file reached under several names is one file, also where a
// link leads round to the folder it lies in.
func TestLinksAreNoCopies(t *testing.T) {
	lie(t, map[string][]byte{"a/clip.stl": stl(t, shapes.Cube(20)), "b/readme.txt": nil})
	for link, to := range map[string]string{"a/same.stl": "clip.stl", "b/other.stl": "../a/clip.stl", "a/loop": "../a", "b/gone.stl": "nowhere.stl"} {
		require.NoError(t, os.Symlink(to, link))
	}
	r := check(t, load(t, folderRules), Options{Whole: true}, listed(t, ".")...)
	for _, messages := range inFolders(r) {
		for _, m := range messages {
			assert.NotContains(t, m, "copies")
		}
	}
	assert.NotEmpty(t, inFolders(r))
}

// TestWaiversOfFolders holds that they speak of a folder by its path, and are stale where it
// has no such finding.
func TestWaiversOfFolders(t *testing.T) {
	waivers := `
waivers:
  - {path: a, rule: clash, reason: both are wanted}
  - {path: clean, rule: images, reason: there are none}
`
	r := check(t, load(t, folderRules+waivers), Options{Whole: true}, cluttered(t)...)
	assert.Equal(t, 1, r.Summary.Waived)
	assert.Zero(t, r.Summary.Error)
	stale := entryOf(r, "rules.yml").Findings
	require.Len(t, stale, 1)
	assert.Equal(t, "the waiver of images for clean should go: the rule finds nothing there, or a waiver before it accepts that", stale[0].Message)
}

// entryOf is the entry of a path.
func entryOf(r *finding.Report, path string) *finding.Model {
	return &r.Models[slices.IndexFunc(r.Models, func(m finding.Model) bool { return m.Path == path })]
}

// TestRulesOfAPlaceHoldForItsFolders switches a rule off for one.
func TestRulesOfAPlaceHoldForItsFolders(t *testing.T) {
	places := `
places:
  - {paths: [b/**], rules: {copies: {level: none}, many: {limits: {most: 3}}}}
`
	r := check(t, load(t, folderRules+places), Options{Whole: true}, cluttered(t)...)
	assert.NotContains(t, inFolders(r), "b")
	assert.Contains(t, inFolders(r), "a")
}

// TestFoldersReadNoMesh holds that no model is opened where rules are over folders alone: one
// that no reader takes is not found to be broken.
func TestFoldersReadNoMesh(t *testing.T) {
	broken := append(make([]byte, 80), 40, 0, 0, 0)              // binary STL of 40 triangles
	broken = append(broken, bytes.Repeat([]byte{0xff}, 2000)...) // none of them a number
	files := lie(t, map[string][]byte{"a/broken.stl": broken, "b/same.stl": broken})
	opt := Options{Whole: true, Advice: advise.Options{Depth: advise.Short}}
	r := check(t, load(t, folderRules), opt, files...)
	assert.Zero(t, r.Summary.Unreadable)
	assert.Equal(t, []string{"1 copies, same.stl (equal to a/broken.stl)", "no note in b"}, inFolders(r)["b"])
	r = check(t, load(t, folderRules+"  closed: {per: model, find: mesh.open > 0, level: note, say: s, because: b}\n"), opt, files...)
	assert.Equal(t, 2, r.Summary.Unreadable, "a rule over what is in it has it read")
}

// git runs a git command in the working directory.
func git(t *testing.T, args ...string) string {
	t.Helper()
	cmd := exec.Command("git", append([]string{"-c", "user.name=tester", "-c", "user.email=tester@example.org", "-c", "commit.gpgsign=false"}, args...)...)
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	return strings.TrimSpace(string(out))
}

// TestSourceChangedLater holds that only a later commit counts, and only with a source of
// the same name.
func TestSourceChangedLater(t *testing.T) {
	lie(t, map[string][]byte{
		"a/clip.stl": stl(t, shapes.Cube(20)), "a/clip.step": []byte("1"), "a/lid.stl": stl(t, shapes.Cube(10)), "a/lid.step": []byte("1"),
		"a/lid.txt": []byte("1"), "a/bolt.stl": stl(t, shapes.Cube(11)), "a/bolt.step": []byte("1"), "a/nut.step": []byte("1"),
	})
	rules := load(t, fileProcess+`
rules:
  later: {per: folder, find: 'later("*.step") > 0', level: note, say: 'changed later: {which later("*.step")}', because: b}
`)
	assert.Empty(t, inFolders(check(t, rules, Options{}, listed(t, ".")...)), "no repository")
	git(t, "init", "-q", "-b", "main")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "start")
	assert.Empty(t, inFolders(check(t, rules, Options{}, listed(t, ".")...)), "one commit has all")
	for _, name := range []string{"a/clip.step", "a/lid.txt", "a/bolt.step", "a/nut.step"} {
		require.NoError(t, os.WriteFile(name, []byte("2"), 0o666))
	}
	git(t, "commit", "-q", "-a", "-m", "sources")
	require.NoError(t, os.WriteFile("a/bolt.stl", stl(t, shapes.Cube(12)), 0o666)) // not committed yet, and so newer
	require.NoError(t, os.WriteFile("a/lid.step", []byte("3"), 0o666))
	r := check(t, rules, Options{}, listed(t, ".")...)
	assert.Equal(t, map[string][]string{"a": {"changed later: clip.stl (after it clip.step)"}}, inFolders(r))
	git(t, "commit", "-q", "-a", "-m", "rest")
	r = check(t, rules, Options{}, listed(t, ".")...)
	assert.Equal(t, map[string][]string{"a": {"changed later: clip.stl (after it clip.step), lid.stl (after it lid.step)"}}, inFolders(r))
}

// TestShortHistories holds that a clone without the older commits says so where source and
// model may have changed in those, and only there.
func TestShortHistories(t *testing.T) {
	rules := load(t, fileProcess+`
rules:
  later: {per: folder, find: 'later("*.step") > 0', level: note, say: 'changed later: {which later("*.step")}', because: b}
`)
	lie(t, map[string][]byte{"a/clip.stl": stl(t, shapes.Cube(20)), "a/clip.step": []byte("1"), "b/lid.stl": stl(t, shapes.Cube(10)), "c/x.stl": stl(t, shapes.Cube(11)), "c/x.step": []byte("1")})
	git(t, "init", "-q", "-b", "main")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "start")
	for _, name := range []string{"a/clip.step", "c/x.step"} {
		require.NoError(t, os.WriteFile(name, []byte("2"), 0o666))
		git(t, "commit", "-q", "-a", "-m", name)
	}
	here, err := os.Getwd()
	require.NoError(t, err)
	git(t, "clone", "-q", "--depth", "2", "file://"+here, "short")
	t.Chdir("short")
	assert.Equal(t, map[string][]string{
		"a": {"not all is known of what was changed later: this clone lacks the older commits; git fetch --unshallow brings them"},
		"c": {"changed later: x.stl (after it x.step)"},
	}, inFolders(check(t, rules, Options{}, listed(t, ".")...)))
}

// TestFoldersBeforeAChange holds which findings on a folder a change brought, made worse, left
// and took away.
func TestFoldersBeforeAChange(t *testing.T) {
	cluttered(t)
	git(t, "init", "-q", "-b", "main")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "start")
	for name, data := range map[string][]byte{"b/new.stl": stl(t, shapes.Cube(14)), "a/third.jpg": nil, "clean/x.stl": stl(t, shapes.Cube(15)), "new/x.stl": stl(t, shapes.Cube(16))} {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
		require.NoError(t, os.WriteFile(name, data, 0o666))
	}
	require.NoError(t, os.Remove("a/Photo.PNG"))
	require.NoError(t, os.Remove("clean/README"))
	before := &Before{Rev: "main", Commit: git(t, "rev-parse", "HEAD"), FailOn: finding.FailOnNew}
	r := check(t, load(t, folderRules), Options{Before: before}, listed(t, ".")...)
	changes := map[string]finding.Change{}
	for _, m := range append(slices.Clone(r.Models), r.Compared.Models...) {
		for _, f := range m.Findings {
			changes[m.Path+" "+f.Rule] = f.Change
		}
	}
	assert.Equal(t, map[string]finding.Change{
		". no-note": finding.Same, "a images": finding.New, "a clash": finding.Gone, "b many": finding.New, "b copies": finding.Same,
		"clean no-note": finding.New, "new no-note": finding.New,
	}, changes)
	assert.Equal(t, 1, r.Compared.Gone)
	assert.Equal(t, "worse than before: folder.models 4, before 3", worseOf(r, "b"))
}

// TestFoldersInSharesCompare holds that the shares of a compared run say of folders what it says
// in one piece, where files and folders were renamed, copied and taken away: each former file
// goes to one folder, whatever share that is in.
func TestFoldersInSharesCompare(t *testing.T) {
	cluttered(t)
	config := load(t, folderRules+"  same: {per: folder, find: folder.same > 0, level: note, say: '{which folder.same}', because: b}\n")
	put := func(name string, data []byte) {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
		require.NoError(t, os.WriteFile(name, data, 0o666))
	}
	again := shapes.Move(shapes.Cube(20), shapes.Vec{X: 9})
	put("b/again.stl", stl(t, again))
	for _, name := range []string{"e/1.stl", "e/2.stl", "e/3.stl", "f/1.stl"} {
		put(name, stl(t, shapes.Cube(30)))
	}
	git(t, "init", "-q", "-b", "main")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "start")
	require.NoError(t, os.Rename("b", "z"))
	require.NoError(t, os.Rename("a/photo.png", "clean/photo.png"))
	require.NoError(t, os.MkdirAll("g", 0o777))
	require.NoError(t, os.MkdirAll("h", 0o777))
	require.NoError(t, os.Rename("e/1.stl", "g/1.stl"))
	require.NoError(t, os.Rename("e/2.stl", "h/2.stl"))
	require.NoError(t, os.RemoveAll("e"))
	put("h/third.stl", stl(t, shapes.Cube(30)))
	put("k/again.stl", stl(t, again))
	files, commit := listed(t, "."), git(t, "rev-parse", "HEAD")
	before := func() *Before { return &Before{Rev: "main", Commit: commit, FailOn: finding.FailOnNew} }
	whole := check(t, config, Options{Before: before(), Whole: true}, files...)
	require.NotEmpty(t, whole.Compared.Models)
	assert.Equal(t, "it was b in main", inFolders(whole)["z"][0])
	assert.Contains(t, inFolders(whole)["k"], "again.stl (same shape as a/clip.stl)")
	for _, n := range []int{1, 2, 3, 9} {
		var reports []*finding.Report
		var names []string
		for k := 1; k <= n; k++ {
			b := before()
			b.Share(t.Context(), files, k, n)
			share := &finding.Shard{Index: k, Count: n, All: ListingOf(files)}
			reports = append(reports, check(t, config, Options{Shard: share, Before: b, Whole: true, Around: Around{All: files}}, collection.Shard(files, k, n)...))
			names = append(names, strconv.Itoa(k))
		}
		merged, _, err := Merge(reports, names)
		require.NoError(t, err)
		assert.Equal(t, bytesOf(t, "json", whole), bytesOf(t, "json", merged), "%d shares", n)
	}
}

// worseOf says in what the finding of the rule many on a folder is worse.
func worseOf(r *finding.Report, path string) string {
	for _, f := range entryOf(r, path).Findings {
		if f.Rule == "many" {
			return f.Worse
		}
	}
	return ""
}

// TestAcceptedOnFolders holds that a finding on a folder can be accepted as it was found, and
// is told of again when it gets worse.
func TestAcceptedOnFolders(t *testing.T) {
	files := cluttered(t)
	config := load(t, folderRules)
	r := check(t, config, Options{Whole: true}, files...)
	list, err := AcceptAll(r, files, Book{Name: "accepted.yml", Is: func(string) bool { return false }}, true)
	require.NoError(t, err)
	var paths []string
	for _, a := range list {
		if len(a.Findings) > 0 {
			paths = append(paths, a.Path)
		}
	}
	assert.Equal(t, []string{".", "a", "b"}, paths)
}

// TestFoldersInPacks holds that a pack is a folder with models, and so is each folder in it.
func TestFoldersInPacks(t *testing.T) {
	var pack bytes.Buffer
	z := zip.NewWriter(&pack)
	for name, data := range map[string][]byte{"top.stl": stl(t, shapes.Cube(20)), "in/clip.stl": stl(t, shapes.Cube(20)), "in/readme.md": []byte("x"), "in/x.png": []byte("x")} {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write(data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	files := lie(t, map[string][]byte{"p/pack.zip": pack.Bytes(), "p/README": nil})
	r := check(t, load(t, folderRules), Options{Whole: true}, files...)
	assert.Equal(t, map[string][]string{
		"p/pack.zip":     {"1 copies, top.stl (equal to p/pack.zip!/in/clip.stl)", "no note in pack.zip"},
		"p/pack.zip!/in": {"images in p/pack.zip!/in: x.png"},
	}, inFolders(r))
}

// TestFolderRulesOfThePage holds that each rule over folders that the page shows finds what
// it is about, and nothing in a tidy folder.
func TestFolderRulesOfThePage(t *testing.T) {
	page, err := os.ReadFile("../../docs/own-rules.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)<!-- folder policies -->\n```yaml\n(.*?)```").FindSubmatch(page)
	require.NotNil(t, block)
	config := loadAll(t, string(block[1]))
	cube := stl(t, shapes.Cube(20))
	lie(t, map[string][]byte{
		"a/arm_left.stl": cube, "a/arm_right.stl": stl(t, shapes.Cube(21)), "a/x.png": nil, "a/X.png": nil, "a/copy.stl": cube, "a/moved.stl": stl(t, shapes.Move(shapes.Cube(20), shapes.Vec{X: 5})), "a/arm_left.step": []byte("1"),
		"tidy/lid.stl": stl(t, shapes.Cube(22)), "tidy/README.md": nil, "tidy/LICENSE": nil, "tidy/lid.step": []byte("1"),
	})
	git(t, "init", "-q", "-b", "main")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "start")
	require.NoError(t, os.WriteFile("a/arm_left.step", []byte("2"), 0o666))
	git(t, "commit", "-q", "-a", "-m", "source")
	r := check(t, config, Options{Whole: true}, listed(t, ".")...)
	assert.Equal(t, map[string][]string{"a": {
		"folder a has no README or no LICENSE",
		"left and right differ in more than the mirror: arm_left.stl and arm_right.stl",
		"the same file twice: copy.stl (equal to arm_left.stl)",
		"images beside the models: X.png, x.png",
		"the same shape twice: moved.stl (same shape as arm_left.stl)",
		"names that differ only in capitals: X.png, x.png",
		"source changed later: arm_left.stl (after it arm_left.step)",
	}}, inFolders(r))
}
