package lint

import (
	"bytes"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// oldYML is the file of accepted findings of these tests.
func oldYML(before []ruleset.Accepted) Book {
	return Book{Name: "old.yml", Is: func(file string) bool { return file == "old.yml" }, Before: before}
}

// acceptedText runs over files and writes down what was found as accepted.
func acceptedText(t *testing.T, rules string, files ...collection.File) string {
	t.Helper()
	r := check(t, load(t, rules), Options{}, files...)
	list, err := AcceptAll(r, files, oldYML(nil), true)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, ruleset.WriteAccepted(&b, list))
	return b.String()
}

// loadWith reads the usual rules with a file of accepted findings.
func loadWith(t *testing.T, accepted string) *ruleset.Config {
	t.Helper()
	files := map[string]string{"rules.yml": hangRules + "accepted: [old.yml]\n", "old.yml": accepted}
	config, err := ruleset.Load("rules.yml", ruleset.Options{Catalog: measure.Catalog(), Open: func(name string) ([]byte, error) {
		if text, ok := files[name]; ok {
			return []byte(text), nil
		}
		return nil, fs.ErrNotExist
	}})
	require.NoError(t, err)
	return config
}

// left lists the findings of a report that are not accepted, with those that should go.
func left(r *finding.Report) (list []string) {
	for i := range r.Models {
		for _, f := range r.Models[i].Findings {
			if f.Waived == nil {
				list = append(list, r.Models[i].Path+" "+f.Rule)
			}
		}
	}
	return list
}

// TestAcceptedSurvivesWhatChangesNothing holds that what is accepted stays so when a
// model is moved, turned about z, exported again in another order, finer, or in another
// format, and that a gate then has nothing to say.
func TestAcceptedSurvivesWhatChangesNothing(t *testing.T) {
	for name, body := range lawBodies {
		config := acceptedText(t, hangRules, model(t, "m.stl", body))
		for what, changed := range map[string]*mesh.Triangles{
			"as it was": body,
			"moved":     shapes.Move(body, mesh.Vec{X: 31.25, Y: -7.5, Z: 12.125}),
			"turned 10": shapes.Turn(body, shapes.Z, 10), "turned 37": shapes.Turn(body, shapes.Z, 37), "turned 90": shapes.Turn(body, shapes.Z, 90),
			"shuffled": shapes.Shuffle(body, 7), "split": shapes.Split4(body),
		} {
			r := check(t, loadWith(t, config), Options{Whole: true}, model(t, "m.stl", changed))
			assert.Empty(t, left(r), "%s, %s", name, what)
			assert.Positive(t, r.Summary.Waived)
			assert.Nil(t, r.Models[0].Advice)
		}
	}
}

// TestAcceptedIsNoMore holds that what is new, or larger in number, is told.
func TestAcceptedIsNoMore(t *testing.T) {
	was := acceptedText(t, hangRules, model(t, "m.stl", shapes.T()))
	again := func(path string, body *mesh.Triangles) []string {
		return left(check(t, loadWith(t, was), Options{}, model(t, path, body)))
	}
	assert.Equal(t, []string{"m.stl floats", "old.yml stale-waiver"}, again("m.stl", shapes.Hook()), "another shape under the name")
	assert.Equal(t, []string{"m.stl hangs", "m.stl hangs", "old.yml stale-waiver"}, again("m.stl", taller(shapes.T())), "the same, higher up")
	assert.Equal(t, []string{"old.yml stale-waiver"}, again("m.stl", shapes.Cube(10)), "mended")
	assert.Empty(t, again("renamed.stl", shapes.T()), "the same bytes under another name")
	assert.Equal(t, []string{"other.stl hangs", "other.stl hangs"}, again("other.stl", shapes.Move(shapes.T(), mesh.Vec{X: 1})))
}

// taller stretches a body along z.
func taller(s *mesh.Triangles) *mesh.Triangles {
	for i := range s.Corners {
		s.Corners[i][2] *= 1.5
	}
	return s
}

func TestAcceptAllKeepsWhatWasNotLookedAt(t *testing.T) {
	before := []ruleset.Accepted{
		{Path: "a/t.stl", Findings: []ruleset.FindingRecord{{Rule: "old", Fingerprint: "1"}}},
		{Path: "a/broken.stl", Findings: []ruleset.FindingRecord{{Rule: "old", Fingerprint: "2"}}},
		{Path: "b/elsewhere.stl", Findings: []ruleset.FindingRecord{{Rule: "old", Fingerprint: "3"}}},
	}
	files := []collection.File{model(t, "a/t.stl", shapes.T()), fileOf("a/broken.stl", []byte("solid x"))}
	paths := func(whole bool) (list []string) {
		r := check(t, load(t, hangRules), Options{}, files...)
		got, err := AcceptAll(r, files, oldYML(before), whole)
		require.NoError(t, err)
		for _, a := range got {
			list = append(list, a.Path+" "+a.Findings[0].Rule)
		}
		assert.Equal(t, 2, r.Summary.Waived)
		assert.Equal(t, ExitTrouble, Exit(r, finding.Note), "what cannot be read cannot be accepted")
		return list
	}
	assert.Equal(t, []string{"a/t.stl hangs", "a/broken.stl old", "b/elsewhere.stl old"}, paths(false))
	assert.Equal(t, []string{"a/t.stl hangs", "a/broken.stl old"}, paths(true))
}

func TestWaiversGoBeforeAcceptance(t *testing.T) {
	files := []collection.File{model(t, "a/t.stl", shapes.T()), model(t, "a/b\nc.stl", shapes.Cube(5))}
	r := check(t, load(t, hangRules+"waivers: [{path: a/t.stl, rule: hangs, reason: known}]\n"), Options{}, files...)
	list, err := AcceptAll(r, files, oldYML(nil), true)
	require.NoError(t, err, "a name that cannot be written down is no matter where nothing was found")
	for _, a := range list {
		assert.Empty(t, a.Findings, "a waiver says why, that is better")
	}
	files[1] = model(t, "a/b\nc.stl", shapes.T())
	_, err = AcceptAll(check(t, load(t, hangRules), Options{}, files...), files, oldYML(nil), true)
	assert.ErrorContains(t, err, "a name with control characters cannot be written down; rename it first")
}

// TestAdviceCountsWhatIsAccepted holds that the model as it lies is not worse than the
// gate says.
func TestAdviceCountsWhatIsAccepted(t *testing.T) {
	was := acceptedText(t, hangRules, model(t, "m.stl", shapes.T()))
	half := was[:strings.LastIndex(was, "      - {")]
	r := check(t, loadWith(t, half), Options{Advice: advise.Options{Depth: advise.Full}}, model(t, "m.stl", shapes.T()))
	require.Len(t, left(r), 1)
	for _, p := range r.Models[0].Advice.Poses {
		if p.Down == [3]float64{0, 0, -1} {
			assert.Equal(t, 1, p.Findings.Error)
			return
		}
	}
	assert.Fail(t, "as it lies is not among the ways up")
}

// TestWorseThanAcceptedStands holds that a longer arm is told, with both figures, and
// that a milder one is not.
func TestWorseThanAcceptedStands(t *testing.T) {
	was := acceptedText(t, hangRules, model(t, "m.stl", shapes.LeaningArm(60, 20)))
	for reach, worse := range map[float64]bool{20: false, 21: false, 18: false, 40: true} {
		r := check(t, loadWith(t, was), Options{}, model(t, "m.stl", shapes.LeaningArm(60, reach)))
		require.Len(t, r.Models[0].Findings, 1, "%v", r.Models)
		f := r.Models[0].Findings[0]
		assert.Equal(t, worse, f.Waived == nil, "%v: %s", reach, f.FullMessage())
		if worse {
			assert.Regexp(t, `; worse than accepted: (reach|area) [\d.]+ mm2?, accepted [\d.]+ mm2?$`, f.FullMessage())
			assert.Contains(t, bytesOf(t, "text", r), "; worse than accepted: ")
		}
	}
}

// TestUndecidedIsNeverAccepted holds that what could not be judged stays, by whatever
// rule it is told, and is neither accepted nor waived.
func TestUndecidedIsNeverAccepted(t *testing.T) {
	const unfilled = `
  unfilled: {measure: filling, limits: {loose: 0.01}, find: loose > limits.loose, level: error, say: has holes, because: it cannot be judged}
`
	for _, rules := range []string{hangRules, hangRules + unfilled, hangRules + unfilled + "waivers: [{path: '**', rule: unfilled, reason: looks fine}]\n"} {
		files := []collection.File{model(t, "open.stl", open())}
		r := check(t, load(t, rules), Options{}, files...)
		list, err := AcceptAll(r, files, oldYML(nil), true)
		require.NoError(t, err)
		for _, a := range list {
			assert.Empty(t, a.Findings)
		}
		assert.Equal(t, ExitTrouble, Exit(r, finding.None))
	}
	half := finding.Model{Path: "half.stl", Status: finding.Undecided, Findings: []finding.Finding{{Rule: "hangs", Level: finding.Error}}}
	r := &finding.Report{Models: []finding.Model{half}}
	list, err := AcceptAll(r, nil, oldYML([]ruleset.Accepted{{Path: "half.stl", SHA256: "before"}}), true)
	require.NoError(t, err)
	assert.Equal(t, []ruleset.Accepted{{Path: "half.stl", SHA256: "before"}}, list, "a model that is not judged whole keeps what it had")
	assert.Nil(t, r.Models[0].Findings[0].Waived)
}

// TestAcceptedByAnyNameOfTheFile holds that writing the file anew does not depend on how
// it is named, and that the words of a waiver decide nothing.
func TestAcceptedByAnyNameOfTheFile(t *testing.T) {
	files := []collection.File{model(t, "m.stl", shapes.T())}
	was := acceptedText(t, hangRules, files...)
	r := check(t, loadWith(t, was), Options{}, files...)
	book := Book{Name: "/shelf/old.yml", Is: func(file string) bool { return file == "old.yml" || file == "/shelf/old.yml" }}
	list, err := AcceptAll(r, files, book, true)
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Len(t, list[0].Findings, 2)

	r = check(t, load(t, hangRules+"waivers: [{path: m.stl, rule: hangs, reason: 'accepted as it was found, in old.yml'}]\n"), Options{}, files...)
	list, err = AcceptAll(r, files, oldYML(nil), true)
	require.NoError(t, err)
	assert.Empty(t, list[0].Findings, "a waiver it is")
	assert.False(t, r.Models[0].Findings[0].Waived.AsFound())
}

// TestStaleEntriesAreToldApart holds that two waivers for one path and rule have a
// fingerprint each.
func TestStaleEntriesAreToldApart(t *testing.T) {
	r := check(t, load(t, hangRules+`
waivers:
  - {path: m.stl, rule: hangs, reason: one}
  - {path: m.stl, rule: hangs, reason: two}
`), Options{Whole: true}, model(t, "m.stl", shapes.Cube(10)))
	found := r.Models[1].Findings
	require.Len(t, found, 2)
	assert.NotEqual(t, found[0].Fingerprint, found[1].Fingerprint)
}

// TestPartsOfOneNameMayChangeOrder holds that parts which only their order tells apart
// stay accepted when a new export writes them in another.
func TestPartsOfOneNameMayChangeOrder(t *testing.T) {
	const low, high = `<item objectid="1"%s/>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1.5 90 0 0"%s/>`
	for _, name := range []string{"", ` partnumber="lid"`} {
		plate := func(items ...string) collection.File {
			text := ""
			for _, i := range items {
				text += fmt.Sprintf(i, name)
			}
			return fileOf("plate.3mf", tableOf(shapes.T()).threeMF("millimeter", text))
		}
		was := acceptedText(t, hangRules, plate(low, high))
		assert.Empty(t, left(check(t, loadWith(t, was), Options{}, plate(low, high))), name)
		assert.Empty(t, left(check(t, loadWith(t, was), Options{}, plate(high, low))), name)
		assert.Len(t, left(check(t, loadWith(t, was), Options{}, plate(high, low, high))), 2, "each entry serves once")
	}
}

// TestTwoRunsOfOneConfiguration holds that what one run accepts is open again to the next.
func TestTwoRunsOfOneConfiguration(t *testing.T) {
	file := model(t, "t.stl", shapes.T())
	config := loadWith(t, acceptedText(t, hangRules, file))
	first := check(t, config, Options{Whole: true}, file)
	assert.Empty(t, left(first), "everything is accepted")
	assert.Equal(t, first, check(t, config, Options{Whole: true}, file))
	gone := check(t, config, Options{Whole: true}, model(t, "u.stl", shapes.Cube(20)))
	assert.Contains(t, left(gone), "old.yml "+RuleStale, "what an earlier run used counts for nothing")
}
