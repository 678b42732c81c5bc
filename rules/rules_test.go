package rules_test

import (
	"bytes"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/reading"
	"printlint/internal/ruleset"
	"printlint/rules"
)

// judging are the sets that judge; the others are materials.
var judging = []string{"standard", "strict", "relaxed"}

// policies are sets on top of standard for one kind of place.
var policies = []string{"archive", "classroom", "watertight"}

var materials = []string{"abs", "petg", "pla", "tpu"}

// builtin lists the names of the sets that are built in.
func builtin(t *testing.T) (names []string) {
	files, err := fs.Glob(rules.Files, "*.yml")
	require.NoError(t, err)
	for _, file := range files {
		names = append(names, strings.TrimSuffix(file, ".yml"))
	}
	return names
}

// load reads a configuration against the measures there really are.
func load(t *testing.T, text string) *ruleset.Config {
	t.Helper()
	c, err := ruleset.Load("x.yml", ruleset.Options{
		Catalog: measure.Catalog(),
		Open: func(path string) ([]byte, error) {
			if path == ".printlint-accepted.yml" { // what the example names beside itself
				return []byte("version: 1\naccepted: []\n"), nil
			}
			if strings.HasPrefix(path, "machines/") {
				return []byte("version: 1\nprocess: {nozzle: 0.4 mm, line: 0.44 mm}\n"), nil
			}
			return []byte(text), nil
		},
		List: func(string) ([]string, error) { return []string{"bench-1.yml", "bench-2.yml"}, nil },
	})
	require.NoError(t, err)
	return c
}

func using(t *testing.T, sets string) *ruleset.Config { return load(t, "use: ["+sets+"]") }

func ruleOf(t *testing.T, list []*ruleset.Rule, id string) *ruleset.Rule {
	for _, r := range list {
		if r.ID == id {
			return r
		}
	}
	require.Fail(t, "no rule "+id)
	return nil
}

func TestTheSetsThatThereAre(t *testing.T) {
	assert.ElementsMatch(t, slices.Concat(judging, policies, materials), builtin(t))
}

// TestEveryRuleIsWhole holds every rule to a cure, a reason and a source, written
// alike: what is said and advised begins small and has no full stop, and the reason
// teaches in whole sentences.
func TestEveryRuleIsWhole(t *testing.T) {
	mark := regexp.MustCompile(`\b(19|20)\d\d\b|no source|judgement|computed|from memory|calibrated|MAS\.863|3MF core specification|the machine's own size`)
	for _, use := range slices.Concat(judging, policies, []string{"standard, tpu"}) {
		c := using(t, use)
		require.GreaterOrEqual(t, len(c.Rules()), 15)
		for _, r := range c.Rules() {
			values := make([]float64, len(r.Sees()))
			said, advised := r.Message(values), r.Action(values)
			for what, words := range map[string]string{"say": said, "do": advised, "because": r.Because, "source": r.Source} {
				require.NotEmpty(t, words, "%s: %s", r.ID, what)
				assert.NotContains(t, words, "  ", "%s: %s", r.ID, what)
			}
			for _, words := range []string{said, advised} {
				assert.False(t, unicode.IsUpper([]rune(words)[0]), "%s: %s", r.ID, words)
				assert.False(t, strings.HasSuffix(words, "."), "%s: %s", r.ID, words)
			}
			assert.True(t, unicode.IsUpper([]rune(r.Because)[0]), "%s: %s", r.ID, r.Because)
			assert.True(t, strings.HasSuffix(r.Because, "."), "%s: %s", r.ID, r.Because)
			assert.Regexp(t, mark, r.Source, "the source of %s names no publication and does not say that there is none", r.ID)
		}
	}
}

// TestEveryRuleIsReadWithEase holds the words of every rule, as a finding shows them, to what
// docs/words.md promises.
func TestEveryRuleIsReadWithEase(t *testing.T) {
	for _, use := range slices.Concat(judging, policies, []string{"standard, tpu"}) {
		for _, r := range using(t, use).Rules() {
			_, do := r.General()
			example, found := r.Example()
			assert.True(t, found, "%s: no site was made up that it finds", r.ID)
			for _, text := range []struct {
				what, words string
				grade       float64
			}{{"say", example, 7}, {"do", do, 7}, {"because", r.Because, 8}} {
				assert.LessOrEqual(t, reading.Grade(text.words), text.grade, "%s: %s: %s", r.ID, text.what, text.words)
				assert.Empty(t, reading.Unwelcome(text.words), "%s: %s: %s", r.ID, text.what, text.words)
			}
			assert.NotContains(t, example, "{", r.ID)
		}
	}
}

// TestGeneralWordsNameNoFigure holds that what is known before any model is told as a figure.
func TestGeneralWordsNameNoFigure(t *testing.T) {
	for _, name := range judging {
		for _, r := range using(t, name).Rules() {
			say, do := r.General()
			assert.NotEmpty(t, say, r.ID)
			assert.NotRegexp(t, `\{(process|limits)\.`, say+do, r.ID)
		}
	}
}

// TestTheRulesThatMustBeThere names them with their level in standard.
func TestTheRulesThatMustBeThere(t *testing.T) {
	c := using(t, "standard")
	for id, level := range map[string]finding.Level{
		"max-overhang-angle": finding.Error, "max-bridge-length": finding.Error, "min-wall": finding.Error,
		"no-floating-islands": finding.Error, "flat-base": finding.Error, "fits-bed": finding.Error,
		"plausible-size": finding.Error,
		"closed-surface": finding.Warning, "consistent-winding": finding.Warning,
	} {
		assert.Equal(t, level, ruleOf(t, c.Rules(), id).Level, id)
	}
}

// TestMaterialsAreAlike holds that every material says the same process keys, so that
// changing to one leaves nothing of another, with what the printer can do besides where that
// differs, and that the rules it changes are those of standard, which all sets that judge
// begin with.
func TestMaterialsAreAlike(t *testing.T) {
	for _, name := range materials {
		text, err := fs.ReadFile(rules.Files, name+".yml")
		require.NoError(t, err)
		var set struct {
			Process map[string]any
			Rules   map[string]any
		}
		require.NoError(t, yaml.Unmarshal(text, &set))
		for id := range set.Rules { // where it changes what no set brings, nobody is told
			ruleOf(t, using(t, "standard").Rules(), id)
		}
		assert.Equal(t, name, set.Process["material"])
		maps.DeleteFunc(set.Process, func(_ string, value any) bool { _, ability := value.(map[string]any); return ability })
		assert.Len(t, set.Process, 4, name)
		for _, key := range []string{"bridge", "density", "flow"} {
			assert.NotEmpty(t, set.Process[key], "%s: %s", name, key)
		}
	}
}

// TestEveryFigureOfAMaterialIsMarked holds that each line of a process says where its
// figure comes from.
func TestEveryFigureOfAMaterialIsMarked(t *testing.T) {
	seen := 0
	for _, name := range materials {
		text, err := fs.ReadFile(rules.Files, name+".yml")
		require.NoError(t, err)
		for _, line := range strings.Split(string(text), "\n") {
			for _, key := range []string{"  bridge:", "  density:", "  flow:"} {
				if strings.HasPrefix(line, key) {
					assert.Regexp(t, `# .*(judgement|from memory|computed|no source|\d{4})`, line, name)
					seen++
				}
			}
		}
	}
	assert.Equal(t, 3*len(materials), seen)
}

// TestStrictAndRelaxedStandOnEitherSide draws sites at random: whatever relaxed finds,
// standard finds at that level or above, and likewise strict.
func TestStrictAndRelaxedStandOnEitherSide(t *testing.T) {
	const seed = 8
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	for _, material := range materials {
		relaxed := using(t, "relaxed, "+material).For("a.stl").Rules
		standard := using(t, "standard, "+material).For("a.stl").Rules
		strict := using(t, "strict, "+material).For("a.stl").Rules
		for _, m := range measure.Catalog() {
			found := 0
			for range 2000 {
				values := site(random, m.Values)
				a, b, c := worst(t, relaxed, m.Name, values), worst(t, standard, m.Name, values), worst(t, strict, m.Name, values)
				require.GreaterOrEqual(t, a.Rank(), b.Rank(), "relaxed against standard: %s %v", m.Name, values)
				require.GreaterOrEqual(t, b.Rank(), c.Rank(), "standard against strict: %s %v", m.Name, values)
				if c != finding.None {
					found++
				}
			}
			if judged(strict, m.Name) {
				assert.Positive(t, found, "no site that was drawn breaks a rule of strict over %s, so nothing was compared: let site draw values past its limits", m.Name)
			}
		}
	}
}

// site draws values over several magnitudes.
func site(random *rand.Rand, of []catalog.Value) []float64 {
	values := make([]float64, len(of))
	for i := range values {
		values[i] = random.ExpFloat64() * []float64{0.3, 3, 30, 3000}[random.IntN(4)]
		if of[i].Unit == catalog.Bool {
			values[i] = float64(random.IntN(2))
		}
		if of[i].Name == "times" { // which only ever is one of these
			values[i] = []float64{25.4, 10, 1000}[random.IntN(3)]
		}
	}
	return values
}

// worst is the most severe level that the rules give a site.
func worst(t *testing.T, list []*ruleset.Rule, measure string, values []float64) finding.Level {
	level := finding.None
	for _, r := range list {
		if r.Measure != measure {
			continue
		}
		if holds, err := r.Match(values); assert.NoError(t, err) && holds && r.Level.Rank() < level.Rank() {
			level = r.Level
		}
	}
	return level
}

func judged(list []*ruleset.Rule, measure string) bool {
	for _, r := range list {
		if r.Measure == measure {
			return true
		}
	}
	return false
}

// TestSetsAndExampleFitTheSchema holds them to the schema that editors get, by a
// validator that is not ours, and loads the example against the measures there are.
func TestSetsAndExampleFitTheSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(ruleset.Schema(measure.Catalog())))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("printlint.json", doc))
	schema, err := compiler.Compile("printlint.json")
	require.NoError(t, err)
	example, err := os.ReadFile("../.printlint.yml.example")
	require.NoError(t, err)
	example = regexp.MustCompile(`(?m)^#([^ \n]|  )`).ReplaceAll(example, []byte("$1")) // what is switched off in it
	load(t, string(example))
	texts := map[string]string{"example": strings.Replace(string(example), "2027-03-01", `"2027-03-01"`, 1)}
	for _, name := range builtin(t) {
		text, err := fs.ReadFile(rules.Files, name+".yml")
		require.NoError(t, err)
		texts[name] = string(text)
	}
	for name, text := range texts {
		var data any
		require.NoError(t, yaml.Unmarshal([]byte(text), &data), name)
		assert.NoError(t, schema.Validate(data), name)
	}
	for _, r := range using(t, "standard").Rules() {
		assert.Contains(t, string(ruleset.Schema(measure.Catalog())), `"`+r.ID+`": {`, "the schema does not describe it")
	}
}

// TestTheSchemaKnowsTheRulesOfAllSets holds that an editor lets one be changed that only a
// policy brings.
func TestTheSchemaKnowsTheRulesOfAllSets(t *testing.T) {
	text := string(ruleset.Schema(measure.Catalog()))
	for _, name := range policies {
		for _, r := range using(t, name).Rules() {
			assert.Contains(t, text, `"`+r.ID+`": {`, name)
		}
	}
	assert.Contains(t, text, `"error of classroom: model takes about`)
}
