package lint

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// ledge is a pillar with a ledge at its top that reaches so far to the right, and to the
// left where that is asked for.
func ledge(tall, right, left float64) *mesh.Triangles {
	pillar := shapes.Box(mesh.Vec{}, mesh.Vec{X: 10, Y: 10, Z: tall - 2})
	return shapes.Join(pillar, shapes.Box(mesh.Vec{X: -left, Z: tall - 2}, mesh.Vec{X: 10 + right, Y: 10, Z: tall}))
}

// against runs over files as they are now, compared with what they were.
func against(t *testing.T, config *ruleset.Config, was, now []collection.File) *finding.Report {
	t.Helper()
	before := &Before{Rev: "main", Commit: strings.Repeat("a", 40), Files: was, FailOn: finding.FailOnNew}
	return check(t, config, Options{Jobs: 2, Before: before}, now...)
}

// changes counts what is new, as before and gone.
func changes(r *finding.Report) [3]int {
	return [3]int{r.Compared.New, r.Compared.Same, r.Compared.Gone}
}

func TestNothingIsNewOnAModelThatOnlyMoved(t *testing.T) {
	config := load(t, hangRules)
	for name, body := range lawBodies {
		was := []collection.File{model(t, "m.stl", body)}
		for what, changed := range map[string]*mesh.Triangles{
			"moved":  shapes.Move(body, mesh.Vec{X: 31.25, Y: -7.5, Z: 12.125}),
			"turned": shapes.Turn(body, shapes.Z, 37), "shuffled": shapes.Shuffle(body, 7), "split": shapes.Split4(body),
		} {
			for _, path := range []string{"m.stl", "renamed.stl", "sub/m.obj"} {
				r := against(t, config, was, []collection.File{model(t, path, changed)})
				c := changes(r)
				assert.Equal(t, [3]int{0, r.Summary.Error, 0}, c, "%s, %s, %s", name, what, path)
				assert.Positive(t, c[1])
				assert.Equal(t, ExitClean, Exit(r, finding.Error), "%s, %s, %s", name, what, path)
			}
		}
	}
}

func TestWhatAChangeBrings(t *testing.T) {
	config := load(t, hangRules)
	at := func(path string, tall, right, left float64) collection.File {
		return model(t, path, ledge(tall, right, left))
	}
	old := at("m.stl", 20, 8, 0)
	broken := collection.New("m.stl", "m.stl", 1, func() (collection.Content, error) { return nil, errors.New("cut off") })
	for name, c := range map[string]struct {
		was, now []collection.File
		want     [3]int
		exit     int
	}{
		"one more":                {list(old), list(at("m.stl", 20, 8, 8)), [3]int{1, 1, 0}, 1},
		"one less":                {list(at("m.stl", 20, 8, 8)), list(old), [3]int{0, 1, 1}, 0},
		"worse":                   {list(old), list(at("m.stl", 20, 16, 0)), [3]int{1, 0, 0}, 1},
		"less bad":                {list(at("m.stl", 20, 16, 0)), list(old), [3]int{0, 1, 0}, 0},
		"taller below":            {list(old), list(at("m.stl", 35, 8, 0)), [3]int{0, 1, 0}, 0},
		"a new model":             {nil, list(old), [3]int{1, 0, 0}, 1},
		"a deleted model":         {list(old), nil, [3]int{0, 0, 1}, 0},
		"a copy":                  {list(old), list(old, at("copy.stl", 20, 8, 0)), [3]int{1, 1, 0}, 1},
		"one renamed, one new":    {list(old), list(at("a.stl", 20, 8, 0), at("b.stl", 20, 8, 0)), [3]int{1, 1, 0}, 1},
		"renamed and another":     {list(old), list(at("a.stl", 60, 30, 0)), [3]int{1, 0, 1}, 1},
		"moved and worse":         {list(old), list(at("sub/m.stl", 20, 8, 8)), [3]int{1, 1, 0}, 1},
		"two change names":        {list(old, at("n.stl", 40, 12, 0)), list(at("p.stl", 40, 12, 0), at("q.stl", 20, 8, 0)), [3]int{0, 2, 0}, 0},
		"a pack renamed":          {list(at("p.zip!/m.stl", 20, 8, 0)), list(at("q.zip!/m.stl", 20, 8, 0)), [3]int{0, 1, 0}, 0},
		"a model out of a pack":   {list(at("p.zip!/m.stl", 20, 8, 0)), list(at("m.stl", 20, 8, 0)), [3]int{0, 1, 0}, 0},
		"unreadable before":       {list(broken), list(old), [3]int{1, 0, 0}, 1},
		"unreadable now":          {list(old), list(broken), [3]int{0, 0, 1}, 2},
		"cured, and another gone": {list(old, at("x.stl", 20, 8, 0)), list(model(t, "m.stl", shapes.Cube(10))), [3]int{0, 0, 2}, 0},
		"clean before, the same shape gone elsewhere": {list(model(t, "m.stl", shapes.Cube(10)), at("x.stl", 20, 8, 0)), list(old), [3]int{1, 0, 1}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			r := against(t, config, c.was, c.now)
			assert.Equal(t, c.want, changes(r))
			assert.Equal(t, c.exit, Exit(r, finding.Error))
			gone := 0
			for _, m := range r.Compared.Models {
				gone += len(m.Findings)
			}
			assert.Equal(t, c.want[2], gone)
		})
	}
}

func list(files ...collection.File) []collection.File { return files }

func TestComparedModelsSaySo(t *testing.T) {
	config := load(t, hangRules)
	r := against(t, config, list(model(t, "m.stl", ledge(20, 8, 0))), list(model(t, "n.stl", ledge(20, 8, 0))))
	assert.Equal(t, []string{"it was m.stl in main"}, r.Models[0].Notes)
	r = against(t, config, list(model(t, "m.stl", ledge(20, 8, 0))), list(model(t, "m.stl", ledge(20, 16, 0))))
	assert.Equal(t, "worse than before: reach 16.0 mm, before 8.00 mm", r.Models[0].Findings[0].Worse)
	lost := collection.New("m.stl", "m.stl", 1, func() (collection.Content, error) { return nil, errors.New("cut off") })
	r = against(t, config, list(lost), list(model(t, "m.stl", ledge(20, 8, 0))))
	assert.Equal(t, []string{"as it was in main it could not be judged whole (cut off); what is not known from there counts as new"}, r.Models[0].Notes)
	r = against(t, config, list(lost), list(model(t, "m.stl", shapes.Cube(10))))
	assert.Empty(t, r.Models[0].Notes, "nothing is found, and nothing to be said")
}

// TestWhatRulesSayElsewhere holds that a model which moves to where its finding is worse
// has a new one, and that what a waiver speaks of is neither new nor gone.
func TestWhatRulesSayElsewhere(t *testing.T) {
	config := load(t, hangRules+`places: [{paths: ["trial/**"], rules: {hangs: {level: note}}}]
waivers: [{path: w.stl, rule: hangs, reason: known}]
`)
	at := func(path string) []collection.File { return list(model(t, path, ledge(20, 8, 0))) }
	assert.Equal(t, [3]int{1, 0, 0}, changes(against(t, config, at("trial/m.stl"), at("m.stl"))))
	assert.Equal(t, [3]int{0, 1, 0}, changes(against(t, config, at("m.stl"), at("trial/m.stl"))))
	assert.Equal(t, [3]int{0, 0, 0}, changes(against(t, config, at("w.stl"), at("w.stl"))))
	assert.Equal(t, [3]int{0, 0, 0}, changes(against(t, config, at("m.stl"), at("w.stl"))), "waived, and there all the same")
	assert.Equal(t, [3]int{0, 1, 0}, changes(against(t, config, at("w.stl"), at("m.stl"))), "bad before, and a waiver was no cure")
}

// TestComparisonsAddUp compares shelves of many models, shuffled, and holds that each
// finding is counted once, whoever works on it.
func TestComparisonsAddUp(t *testing.T) {
	config := load(t, hangRules)
	var was, now []collection.File
	for i := range 30 {
		right, left := float64(i%4)*4, float64(i%3)*4
		was = append(was, model(t, fmt.Sprintf("a%02d.stl", i), ledge(20+float64(i), right, left)))
		now = append(now, model(t, fmt.Sprintf("%c%02d.stl", 'a'+i%2, (i*7)%30), ledge(20+float64(i), left, right)))
	}
	r := against(t, config, was, now)
	old := check(t, config, Options{}, was...)
	worse := 0
	for _, m := range r.Models {
		for _, f := range m.Findings {
			assert.NotEmpty(t, f.Change)
			if f.Worse != "" {
				worse++
			}
		}
	}
	c := changes(r)
	assert.Equal(t, r.Summary.Error, c[0]+c[1])
	assert.Equal(t, old.Summary.Error, worse+c[1]+c[2])
	assert.NotContains(t, c[:], 0)
	again := check(t, config, Options{Jobs: 7, Before: &Before{Rev: "main", Commit: strings.Repeat("a", 40), Files: was, FailOn: finding.FailOnNew}}, now...)
	require.Equal(t, bytesOf(t, "json", r), bytesOf(t, "json", again))
}

// TestCopiesOfWhatDidNotChange holds that all that is found on a copy is new, and that a note
// says how the original does.
func TestCopiesOfWhatDidNotChange(t *testing.T) {
	config := load(t, hangRules+`places: [{paths: ["trial/**"], rules: {hangs: {level: note}}}]
waivers: [{path: w.stl, rule: hangs, reason: known}]
`)
	at := func(path string) collection.File { return model(t, path, ledge(20, 8, 0)) }
	run := func(original string, now ...collection.File) *finding.Report {
		around := Around{All: now, Rest: func() ([]collection.File, error) { return append(list(at(original)), now...), nil }}
		before := &Before{Rev: "main", Commit: strings.Repeat("a", 40), FailOn: finding.FailOnNew}
		return check(t, config, Options{Before: before, Around: around}, now...)
	}
	notes := func(r *finding.Report) []string {
		assert.Equal(t, [3]int{len(r.Models), 0, 0}, changes(r))
		assert.Nil(t, r.Models[0].Was, "it was nothing")
		return r.Models[len(r.Models)-1].Notes
	}
	assert.Equal(t, []string{"it is a copy of m.stl, which fails alike"}, notes(run("m.stl", at("a.stl"), at("b.stl"))))
	assert.Equal(t, []string{"it is a copy of trial/m.stl, where the same is found"}, notes(run("trial/m.stl", at("a.stl"))))
	assert.Equal(t, []string{"it is a copy of w.stl, where the same is found and accepted"}, notes(run("w.stl", at("a.stl"))))
	assert.Empty(t, notes(run("m.stl", model(t, "a.stl", ledge(20, 9, 0)))), "another model")
	waived := run("m.stl", at("w.stl"))
	assert.Equal(t, []string{"it is a copy of m.stl"}, waived.Models[0].Notes)
	assert.Equal(t, [3]int{0, 0, 0}, changes(waived))
}

// TestWhatIsAcceptedMovesNothing holds that figures and counts of a comparison are those of
// the model, whoever accepts what is found on it; and that what was accepted and is found no
// more is gone, and its waiver no trouble.
func TestWhatIsAcceptedMovesNothing(t *testing.T) {
	config := load(t, hangRules+"waivers: [{path: w.stl, rule: hangs, reason: known}]\n")
	r := against(t, config, list(model(t, "w.stl", ledge(20, 8, 0))), list(model(t, "m.stl", ledge(20, 8, 0))))
	m := &r.Models[0]
	assert.Equal(t, "m.stl", m.Path)
	assert.Equal(t, 1, m.Was.Findings.Error)
	was, _ := m.Was.Figures.Get("support")
	now, _ := m.Figures.Get("support")
	assert.Positive(t, now)
	assert.InDelta(t, was, now, 0)
	both := against(t, config, list(model(t, "w.stl", ledge(20, 8, 0))), list(model(t, "w.stl", ledge(20, 8, 8))))
	all, accepted := both.Models[0].Count()
	assert.Equal(t, [3]int{1, 2, 2}, [3]int{both.Models[0].Was.Findings.Error, all.Error, accepted.Error})

	cured := against(t, config, list(model(t, "w.stl", ledge(20, 8, 0))), list(model(t, "w.stl", shapes.Cube(10))))
	assert.Equal(t, [3]int{0, 0, 1}, changes(cured))
	stale := cured.Models[0]
	require.Equal(t, RuleStale, stale.Findings[0].Rule)
	assert.Equal(t, finding.Note, stale.Findings[0].Level)
	assert.Equal(t, "the waiver of hangs for w.stl can go: the rule finds nothing there, or a waiver before it accepts that", stale.Findings[0].Message)
	assert.Equal(t, ExitClean, Exit(cured, finding.Note))
}

// TestSharesCompare holds that the shares of a compared run come to what it comes to in one
// piece, where models were edited, renamed, moved, deleted and exported in another format.
func TestSharesCompare(t *testing.T) {
	config := load(t, hangRules)
	var was, now []collection.File
	for i := range 24 {
		old, body := fmt.Sprintf("a%02d.stl", i), ledge(20+float64(i), 8, 0)
		was = append(was, model(t, old, body))
		switch i % 6 {
		case 0:
			now = append(now, model(t, old, ledge(20+float64(i), 8, 8)))
		case 1:
			now = append(now, model(t, "z"+old, body))
		case 2:
			now = append(now, model(t, "sub/"+old, ledge(20+float64(i), 14, 0)))
		case 3:
			now = append(now, model(t, strings.TrimSuffix(old, "stl")+"obj", body))
		case 4:
			now = append(now, model(t, old, shapes.Cube(10)))
		}
	}
	slices.SortFunc(now, func(a, b collection.File) int { return strings.Compare(a.Path, b.Path) })
	before := func() *Before {
		return &Before{Rev: "main", Commit: strings.Repeat("a", 40), FailOn: finding.FailOnNew, Files: slices.Clone(was)}
	}
	whole := check(t, config, Options{Before: before()}, now...)
	assert.Equal(t, [3]int{8, 12, 8}, changes(whole))
	for _, n := range []int{1, 2, 5, 40} {
		var shares []*finding.Report
		var names []string
		files := 0
		for k := 1; k <= n; k++ {
			b := before()
			b.Share(t.Context(), now, k, n)
			files += len(b.Files)
			share := check(t, config, Options{Before: b, Around: Around{All: now}, Shard: &finding.Shard{Index: k, Count: n, All: ListingOf(now)}}, collection.Shard(now, k, n)...)
			shares, names = append(shares, share), append(names, fmt.Sprint(k))
		}
		assert.Equal(t, len(was), files)
		merged, _, err := Merge(shares, names)
		require.NoError(t, err)
		require.Equal(t, bytesOf(t, "json", whole), bytesOf(t, "json", merged), "%d shares", n)
		assert.Equal(t, ExitFindings, Exit(merged, finding.Error))
	}
	other := check(t, config, Options{Before: &Before{Rev: "other", FailOn: finding.FailOnNew}, Shard: &finding.Shard{Index: 2, Count: 2, All: ListingOf(now)}})
	mine := check(t, config, Options{Before: before(), Shard: &finding.Shard{Index: 1, Count: 2, All: ListingOf(now)}})
	_, _, err := Merge([]*finding.Report{mine, other}, []string{"1", "2"})
	assert.ErrorContains(t, err, "compares with another revision")
}
