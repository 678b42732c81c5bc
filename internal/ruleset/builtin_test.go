package ruleset

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// judging are the built-in sets that judge; the others are materials.
var judging = []string{"standard", "strict", "relaxed"}

func builtinConfig(t *testing.T, use string) *Config {
	t.Helper()
	return load(t, one("use: ["+use+"]"))
}

// TestBuiltInRulesAreWhole holds every rule to a source, a cure and a reason, written
// alike: lower case first, no full stop at the end of what is said and advised.
func TestBuiltInRulesAreWhole(t *testing.T) {
	for _, set := range judging {
		c := builtinConfig(t, set)
		require.GreaterOrEqual(t, len(c.Rules()), 14)
		for _, r := range c.Rules() {
			values := make([]float64, len(r.def.Values))
			for what, words := range map[string]string{"say": r.Message(values), "do": r.Action(values), "because": r.Because, "source": r.Source} {
				require.NotEmpty(t, words, "%s: %s", r.ID, what)
				assert.NotContains(t, words, "{limits", "%s: %s", r.ID, what)
				assert.NotContains(t, words, "  ", "%s: %s", r.ID, what)
			}
			for _, words := range []string{r.Say, r.Do} {
				assert.False(t, unicode.IsUpper([]rune(words)[0]), "%s: %s", r.ID, words)
				assert.False(t, strings.HasSuffix(words, "."), "%s: %s", r.ID, words)
			}
			assert.True(t, unicode.IsUpper([]rune(r.Because)[0]), "%s teaches in whole sentences", r.ID)
			assert.True(t, strings.HasSuffix(r.Because, "."), "%s teaches in whole sentences", r.ID)
		}
	}
}

// TestEverySourceIsMarked holds that a source names a publication, or says that there
// is none: common practice, judgement, own reasoning, or a computation.
func TestEverySourceIsMarked(t *testing.T) {
	mark := regexp.MustCompile(`\b(19|20)\d\d\b|no source|judgement|computed|from memory|MAS\.863|3MF core specification|the machine's own size`)
	for _, set := range append(judging, "tpu, standard") {
		for _, r := range builtinConfig(t, set).Rules() {
			assert.Regexp(t, mark, r.Source, "%s of %s", r.ID, set)
		}
	}
}

// TestTheRulesThatMustBeThere names them with their level in standard.
func TestTheRulesThatMustBeThere(t *testing.T) {
	c := builtinConfig(t, "standard")
	for id, level := range map[string]finding.Level{
		"max-overhang-angle": finding.Error, "max-bridge-length": finding.Error, "min-wall": finding.Error,
		"no-floating-islands": finding.Error, "flat-base": finding.Error, "fits-bed": finding.Error,
		"plausible-size": finding.Error, "fillable-layers": finding.Error,
		"closed-surface": finding.Warning, "consistent-winding": finding.Warning,
		"rough-underside": finding.Warning, "sagging-bridge": finding.Warning, "thin-wall": finding.Warning,
	} {
		assert.Equal(t, level, rule(t, c.Rules(), id).Level, id)
	}
}

// TestMaterialsAreAlike holds that every material says the same keys, so that changing
// to one leaves nothing of another.
func TestMaterialsAreAlike(t *testing.T) {
	l := newLibrary(&complaints{}, "", Options{Catalog: fixture()})
	assert.Equal(t, []string{"abs", "petg", "pla", "tpu"}, l.materials())
	for _, name := range l.materials() {
		var keys []string
		for _, s := range l.material(name).process {
			keys = append(keys, s.name)
		}
		assert.Equal(t, []string{"material", "bridge", "density", "flow"}, keys, name)
	}
}

// TestStrictAndRelaxedStandOnEitherSide draws sites at random: whatever relaxed finds,
// standard finds at that level or above, and likewise strict.
func TestStrictAndRelaxedStandOnEitherSide(t *testing.T) {
	seed := uint64(8)
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	for _, material := range []string{"pla", "petg", "abs", "tpu"} {
		relaxed := builtinConfig(t, "relaxed, "+material).For("a.stl").Rules
		standard := builtinConfig(t, "standard, "+material).For("a.stl").Rules
		strict := builtinConfig(t, "strict, "+material).For("a.stl").Rules
		for _, m := range fixture() {
			found := 0
			for range 3000 {
				values := make([]float64, len(m.Values))
				for i := range values {
					values[i] = random.ExpFloat64() * []float64{0.3, 3, 30}[random.IntN(3)]
					if m.Values[i].Unit == "bool" {
						values[i] = float64(random.IntN(2))
					}
				}
				a, b, c := worst(t, relaxed, m.Name, values), worst(t, standard, m.Name, values), worst(t, strict, m.Name, values)
				require.GreaterOrEqual(t, a.Rank(), b.Rank(), "relaxed against standard: %s %v", m.Name, values)
				require.GreaterOrEqual(t, b.Rank(), c.Rank(), "standard against strict: %s %v", m.Name, values)
				if c != finding.None {
					found++
				}
			}
			if m.Name != "column" && m.Name != "cost" {
				assert.Greater(t, found, 50, "%s: nothing was found, so nothing was compared", m.Name)
			}
		}
	}
}

// worst is the most severe level that the rules give a site.
func worst(t *testing.T, rules []*Rule, measure string, values []float64) finding.Level {
	level := finding.None
	for _, r := range rules {
		if r.Measure != measure {
			continue
		}
		if holds, err := r.Match(values); assert.NoError(t, err) && holds && r.Level.Rank() < level.Rank() {
			level = r.Level
		}
	}
	return level
}

// TestNoSiteIsFoundTwice holds that a warning and its error never speak of one site.
func TestNoSiteIsFoundTwice(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 0))
	t.Log("seed 9")
	pairs := [][2]string{{"max-overhang-angle", "rough-underside"}, {"max-bridge-length", "sagging-bridge"}, {"min-wall", "thin-wall"}}
	for _, set := range judging {
		c := builtinConfig(t, set)
		for _, pair := range pairs {
			a, b := rule(t, c.Rules(), pair[0]), rule(t, c.Rules(), pair[1])
			hits := [2]int{}
			for range 5000 {
				values := make([]float64, len(a.def.Values))
				for i := range values {
					values[i] = random.Float64() * []float64{1, 4, 90}[random.IntN(3)]
					if a.def.Values[i].Unit == "bool" {
						values[i] = float64(random.IntN(2))
					}
				}
				first, _ := a.Match(values)
				second, _ := b.Match(values)
				require.False(t, first && second, "%v in %s: %v", pair, set, values)
				if first {
					hits[0]++
				}
				if second {
					hits[1]++
				}
			}
			assert.Positive(t, hits[0]*hits[1], "%v never both met", pair)
		}
	}
}
