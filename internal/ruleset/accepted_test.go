package ruleset

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// accept compares findings on a model with what was accepted, and returns the file that
// accepts each.
func accept(c *Usage, path, part string, found []FindingRecord) (files []string) {
	for _, held := range c.Accept(&Accepted{Path: path, Part: part, Findings: found}) {
		files = append(files, held.File)
	}
	return files
}

// accepting is a configuration whose accepted findings are those given.
func accepting(t *testing.T, models ...Accepted) *Usage {
	t.Helper()
	return load(t, map[string]string{".printlint.yml": "version: 1\naccepted: [old.yml]\n", "old.yml": written(t, models...)}).NewUsage()
}

func written(t *testing.T, models ...Accepted) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, WriteAccepted(&b, models))
	return b.String()
}

var clip = Accepted{Path: "parts/clip.stl", SHA256: strings.Repeat("ab", 32), Findings: []FindingRecord{
	{Rule: "min-wall", Fingerprint: "00000000000000a1", Height: 4, Radius: 10, Size: 12.5},
	{Rule: "min-wall", Fingerprint: "00000000000000a2", Height: 6, Radius: 10},
	{Rule: "flat-base", Fingerprint: "00000000000000b1", Height: 0, Radius: 3},
}}

func TestWhatIsWrittenIsRead(t *testing.T) {
	odd := Accepted{Path: "a b/größe \"x\" #1: {y}.stl", Part: "part: -1", SHA256: strings.Repeat("0", 64), Findings: []FindingRecord{
		{Rule: "no-floating-islands", Fingerprint: "1234567890123456", Height: 1.25, Radius: 0},
		{Rule: "no-floating-islands", Fingerprint: "12345678901e2345", Height: -0.001, Radius: 1e6},
	}}
	text := written(t, odd, clip)
	assert.Equal(t, text, written(t, clip, odd), "the order in which they come does not matter")
	list, err := ReadAccepted("old.yml", []byte(text))
	require.NoError(t, err)
	require.Len(t, list, 2)
	odd.Findings[0], odd.Findings[1] = odd.Findings[1], odd.Findings[0]
	odd.Findings[0].Height = 0
	assert.Equal(t, odd, list[0])
	assert.Equal(t, text, written(t, list...))
	// Two that are written alike keep their order when they are read and written again.
	twins := Accepted{Path: "t.stl", Findings: []FindingRecord{
		{Rule: "hangs", Fingerprint: "b", Radius: 24.9469}, {Rule: "hangs", Fingerprint: "a", Radius: 24.9532},
	}}
	list, err = ReadAccepted("twins.yml", []byte(written(t, twins)))
	require.NoError(t, err)
	assert.Equal(t, written(t, twins), written(t, list...))
	list, err = ReadAccepted("none.yml", []byte(written(t)))
	require.NoError(t, err)
	assert.Empty(t, list)
}

// TestAllOfItIsRead holds every key of the file, written and read back.
func TestAllOfItIsRead(t *testing.T) {
	full := Accepted{Path: "a.stl", Part: "lid", SHA256: strings.Repeat("ef", 32), Bytes: 1284, Tall: 30.25, Surface: 2000.5, Findings: []FindingRecord{{
		Rule: "hangs", Fingerprint: "00000000000000a1", At: [3]float64{-1.5, 2, 20}, Top: 10.25, Placed: true, Height: 20, Radius: 3, Size: 6.4,
		Values: finding.Values{{Name: "angle", Value: 90}, {Name: "rise", Value: math.Inf(1)}, {Name: "joins", Unit: "bool", Value: 1}, {Name: "off", Unit: "bool"}},
	}}}
	list, err := ReadAccepted("old.yml", []byte(written(t, full)))
	require.NoError(t, err)
	assert.Equal(t, []Accepted{full}, list)
	assert.Contains(t, written(t, full), `, values: {"angle": 90, "rise": .inf, "joins": true, "off": false}, fingerprint: `)
}

func TestAFileOfAcceptedFindings(t *testing.T) {
	assert.Equal(t, acceptedHead+`  - path: "parts/clip.stl"
    sha256: "`+clip.SHA256+`"
    findings:
      - {rule: "flat-base", height: 0, radius: 3, size: 0, fingerprint: "00000000000000b1"}
      - {rule: "min-wall", height: 4, radius: 10, size: 12.5, fingerprint: "00000000000000a1"}
      - {rule: "min-wall", height: 6, radius: 10, size: 0, fingerprint: "00000000000000a2"}
`, written(t, clip))
}

func TestAcceptByFingerprintOrPlace(t *testing.T) {
	for _, c := range []struct {
		why   string
		found FindingRecord
		want  bool
	}{
		{"as it was", clip.Findings[0], true},
		{"same fingerprint elsewhere", FindingRecord{Rule: "min-wall", Fingerprint: "00000000000000a1", Height: 90, Radius: 90, Size: 0}, true},
		{"other fingerprint, same place", FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: 4, Radius: 10, Size: 0}, true},
		{"at the end of the tolerance", FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: 4 - AcceptHeight, Radius: 10 + AcceptRadius, Size: 1}, true},
		{"too low", FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: 4 - AcceptHeight - 0.01, Radius: 10, Size: 99}, false},
		{"too far out", FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: 4, Radius: 10 + AcceptRadius + 0.01, Size: 2}, false},
		{"elsewhere on the same large site", FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: 4, Radius: 22.5, Size: 12.5}, true},
		{"beyond a site of that size", FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: 4, Radius: 22.51, Size: 40}, false},
		{"another rule", FindingRecord{Rule: "flat-base", Fingerprint: "00000000000000a1", Height: 4, Radius: 10, Size: 0}, false},
	} {
		got := accept(accepting(t, clip), clip.Path, "", []FindingRecord{c.found})
		assert.Equal(t, c.want, got[0] == "old.yml", c.why)
	}
}

func TestOneAcceptsOne(t *testing.T) {
	near := func(height float64) FindingRecord {
		return FindingRecord{Rule: "min-wall", Fingerprint: "ff", Height: height, Radius: 10, Size: 0}
	}
	got := accept(accepting(t, clip), clip.Path, "", []FindingRecord{near(4.4), near(4.1), near(5.8), near(4.2)})
	assert.Equal(t, []string{"", "old.yml", "old.yml", ""}, got, "the nearest; what is more than was accepted is new")
	got = accept(accepting(t, clip), clip.Path, "", []FindingRecord{near(4), clip.Findings[0], clip.Findings[0]})
	assert.Equal(t, []string{"", "old.yml", ""}, got, "a fingerprint goes before a place")
}

func TestWhatAModelIsKnownBy(t *testing.T) {
	accepts := func(path, part string) bool {
		return accept(accepting(t, clip), path, part, clip.Findings[:1])[0] != ""
	}
	assert.True(t, accepts("parts/clip.stl", ""), "the path, whatever became of the content")
	assert.False(t, accepts("moved/clip.stl", ""), "the content is looked at before models are judged")
	assert.False(t, accepts("parts/clip.stl", "lid"), "another part")
	assert.False(t, accepts("parts/*.stl", ""), "a path is no glob")
	c := accepting(t, clip)
	c.Take("moved/clip.stl", "parts/clip.stl")
	assert.Equal(t, "parts/clip.stl", c.Taken("moved/clip.stl"))
	assert.Equal(t, []string{"old.yml"}, accept(c, "moved/clip.stl", "", clip.Findings[:1]))
	assert.Equal(t, []string{""}, accept(c, "moved/clip.stl", "", clip.Findings[:1]), "an entry serves once in a run")
	inner := Accepted{Path: "old.3mf!/3D/3dmodel.model", Part: "lid", Findings: clip.Findings[:1]}
	c = accepting(t, inner)
	c.Take("new.3mf", "old.3mf")
	assert.Equal(t, []string{"old.yml"}, accept(c, "new.3mf!/3D/3dmodel.model", "lid", clip.Findings[:1]))
}

func TestTheFileOfAModel(t *testing.T) {
	for model, want := range map[string]string{
		"a.stl": "a.stl", "a.zip!/b.stl": "a.zip!/b.stl", "a.3mf!/3D/m.model": "a.3mf", "a.zip!/b.3mf!/3D/m.model": "a.zip!/b.3mf",
	} {
		assert.Equal(t, want, FileOf(model))
	}
}

func TestStaleAccepted(t *testing.T) {
	lid := Accepted{Path: "lid.stl", Part: "left", SHA256: clip.SHA256, Findings: clip.Findings[:2]}
	gone := Accepted{Path: "gone.stl", Findings: clip.Findings[:1]}
	say := func(c *Usage, checked, unjudged []string, whole bool) (out []string) {
		for _, s := range c.StaleAccepted(checked, unjudged, whole) {
			out = append(out, fmt.Sprintf("%s %s %s", s.From, s.Path, s.Rule))
		}
		return out
	}
	c := accepting(t, clip, lid, gone)
	accept(c, clip.Path, "", clip.Findings[:1])
	const left, thin, missing = "old.yml:19:9 parts/clip.stl flat-base", "old.yml:21:9 parts/clip.stl min-wall", "old.yml:9:9 gone.stl min-wall"
	assert.Empty(t, say(c, nil, nil, false))
	assert.Equal(t, []string{left, thin}, say(c, []string{clip.Path}, nil, false))
	assert.Equal(t, []string{missing, left, thin}, say(c, []string{clip.Path}, []string{"lid.stl"}, true))
	assert.Equal(t, []string{"old.yml:14:9 lid.stl min-wall", "old.yml:15:9 lid.stl min-wall"}, say(c, []string{"lid.stl"}, nil, false))
}

func TestComplaintsAboutAcceptedFindings(t *testing.T) {
	for text, want := range map[string]string{
		"accepted: [{path: a.stl, findings: [{rule: min-wall}]}]":           `old.yml:1:37: an accepted finding needs a rule and a fingerprint`,
		"accepted: [{findings: []}]":                                        `old.yml:1:12: an accepted model needs a path`,
		"accepted: [{path: a.stl, finding: []}]":                            `old.yml:1:26: unknown key "finding" in an accepted model (did you mean "findings"?)`,
		"accepted: [{path: a.stl, findings: [{rule: x, fingerprint: 12}]}]": `old.yml:1:60: fingerprint must be text, this is a number`,
		"rules: {}":  `old.yml:1:1: unknown key "rules" in a file of accepted findings (known here: accepted, version)`,
		"version: 3": `old.yml:1:10: version must be 1 or 2, the ones this program reads`,
		"accepted: [{path: a.stl, findings: [{rule: x, fingerprint: f, values: {reach: far}}]}]": `old.yml:1:79: reach: "far" does not begin with a number`,
		"accepted: [{path: a.stl, findings: [{rule: x, fingerprint: f, at: [1, 2]}]}]":           `old.yml:1:67: at must be a list of three: x, y, z`,
		"accepted: &a [*a]": `old.yml:1:11: anchor &a: anchors are not read here, write the value out where it is needed`,
	} {
		_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(map[string]string{
			".printlint.yml": "version: 1\naccepted: [old.yml]\n", "old.yml": text})})
		if assert.Error(t, err, text) {
			assert.Contains(t, strings.Split(err.Error(), "\n"), want)
		}
	}
	for text, want := range map[string]string{
		"accepted: [gone.yml]":      `.printlint.yml:1:12: there is no file gone.yml`,
		"accepted: [../old.yml]":    `.printlint.yml:1:12: "../old.yml" lies outside the configuration's folder; copy it in`,
		"accepted: old.yml":         `.printlint.yml:1:11: accepted must be a list, this is text; write accepted: [old.yml]`,
		"accepted: [/etc/passwd.y]": `.printlint.yml:1:12: a set's file is named from the folder of this file on, with /, not "/etc/passwd.y"`,
	} {
		_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(one(text))})
		assert.EqualError(t, err, want)
	}
}

func TestNamesThatCanBeWritten(t *testing.T) {
	for name, want := range map[string]bool{"größe b.stl": true, "a\nb.stl": false, "a\tb": false, "\xff.stl": false, "a\u202eb.stl": true, "\x1b": false} {
		assert.Equal(t, want, Writable(name), "%q", name)
		if want {
			list, err := ReadAccepted("old.yml", []byte(written(t, Accepted{Path: name, Findings: clip.Findings[:1]})))
			require.NoError(t, err)
			assert.Equal(t, name, list[0].Path)
		}
	}
}

func TestMatchingDoesNotDependOnTheOrder(t *testing.T) {
	const seed = 5
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	spots := make([]FindingRecord, 30)
	for i := range spots {
		spots[i] = FindingRecord{Rule: "min-wall", Fingerprint: fmt.Sprint("f", i), Height: 20 * random.Float64(), Radius: 20 * random.Float64(), Size: 5 * random.Float64()}
	}
	count := func(found []FindingRecord) (n int) {
		for _, f := range accept(accepting(t, Accepted{Path: "a.stl", Findings: spots[:20]}), "a.stl", "", found) {
			if f != "" {
				n++
			}
		}
		return n
	}
	found := append([]FindingRecord{}, spots[10:]...)
	want := count(found)
	assert.GreaterOrEqual(t, want, 10)
	for range 10 {
		random.Shuffle(len(found), func(i, j int) { found[i], found[j] = found[j], found[i] })
		assert.Equal(t, want, count(found))
	}
}

// TestDigestSeesEverything holds that whatever can change a verdict changes the digest,
// and what cannot does not.
func TestDigestSeesEverything(t *testing.T) {
	digest := func(text string) string {
		return load(t, map[string]string{".printlint.yml": text, "old.yml": written(t, clip)}).Digest
	}
	plain := digest("version: 1\n")
	assert.Equal(t, plain, digest("# a comment\nversion: 1\n"))
	assert.NotEqual(t, plain, digest("accepted: [old.yml]\n"))
	// By itself the second place says what holds anyway; after the first it does not.
	first := "places:\n  - {paths: [a/**], rules: {min-wall: {level: note}}}\n"
	silent := first + "  - {paths: [a/b/**]}\n"
	loud := first + "  - {paths: [a/b/**], rules: {min-wall: {level: error}}}\n"
	assert.NotEqual(t, digest(silent), digest(loud))
}

// FuzzReadAccepted feeds the reader whatever a stranger may write. What is read can be
// written, and reads the same again.
func FuzzReadAccepted(f *testing.F) {
	for _, seed := range []string{
		"version: 1\naccepted: []\n", acceptedHead, "accepted: [{path: a.stl, findings: [{rule: r, fingerprint: f, height: 1e300, radius: -0.004}]}]",
		"version: 2\naccepted: [{path: a.stl, bytes: 1284, tall: -3, surface: 1e20, findings: [{rule: r, fingerprint: f, at: [1, -2.005, 1e9], top: 4, values: {a: 8, \"b\\x01\": .inf, c: true, d: 1e300}}]}]",
		"version: 3", "accepted: [{path: a.stl, findings: [{rule: r, fingerprint: f, at: [1, 2], values: {a: [1]}}]}]", "accepted: [{path: a.stl, findings: [{rule: r, fingerprint: f, values: {}}]}]",
		"accepted: [{path: \"\\x80\", findings: [{rule: r, fingerprint: \"1\", size: .5}]}]", "accepted: {a: b}", "- - -", "accepted: [{path: a, path: b}]",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := ReadAccepted("old.yml", data)
		if err != nil {
			return
		}
		text := written(t, list...)
		again, err := ReadAccepted("old.yml", []byte(text))
		require.NoError(t, err, text)
		assert.Equal(t, text, written(t, again...))
	})
}
