package expression

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// siteValues are two lengths, two angles, an area, a count and two truths.
var siteValues = []catalog.Value{
	{Name: "a", Unit: catalog.MM}, {Name: "b", Unit: catalog.MM}, {Name: "p", Unit: catalog.Deg}, {Name: "q", Unit: catalog.Deg},
	{Name: "s", Unit: catalog.MM2}, {Name: "n"}, {Name: "yes", Unit: catalog.Bool}, {Name: "no", Unit: catalog.Bool},
}

// site speaks of siteValues, and of a process with lines of 0.4 mm in layers of 0.2 mm.
var site = Names{Known: []string{"a", "b", "n", "no", "p", "process.layer", "process.line", "q", "s", "yes"}, Find: func(name string) (Meaning, bool) {
	for i, v := range siteValues {
		if v.Name == name {
			return Meaning{Value: i, Unit: v.Unit}, true
		}
	}
	process := map[string]float64{"process.line": 0.4, "process.layer": 0.2}
	number, ok := process[name]
	return Meaning{Value: -1, Number: number, Unit: catalog.MM}, ok
}}

// programOf compiles an expression over siteValues.
func programOf(t testing.TB, text string) (Program, Dim) {
	t.Helper()
	p, d, bad := Compile(text, site)
	require.Nil(t, bad, "%s: %v", text, bad)
	return p, d
}

// machine runs the expression on the expression library's own compiler and virtual
// machine, which know nothing of our units: quantities are written as numbers.
func machine(t *testing.T, text string, values []float64) any {
	t.Helper()
	env := map[string]any{
		"process": map[string]float64{"line": 0.4, "layer": 0.2},
		"atan":    func(x float64) float64 { return math.Atan(x) / degree },
		"tan":     func(x float64) float64 { return math.Tan(x * degree) },
		"sin":     func(x float64) float64 { return math.Sin(x * degree) },
		"cos":     func(x float64) float64 { return math.Cos(x * degree) },
		"sqrt":    math.Sqrt,
	}
	for i, v := range siteValues {
		env[v.Name] = values[i]
		if v.Unit == catalog.Bool {
			env[v.Name] = values[i] != 0
		}
	}
	bare := regexp.MustCompile(`(\d) (mm2|mm|deg)\b`).ReplaceAllString(text, "$1")
	// There, whole numbers are a type of their own, which min and max do not mix.
	bare = regexp.MustCompile(`[\w.]+`).ReplaceAllStringFunc(bare, func(word string) string {
		if strings.Trim(word, "0123456789") == "" {
			return word + ".0"
		}
		return word
	})
	code, err := expr.Compile(bare, expr.Env(env))
	require.NoError(t, err, bare)
	out, err := expr.Run(code, env)
	require.NoError(t, err, bare)
	return out
}

// writer makes well-formed expressions at random. Numbers are whole or quarters, so
// that a comparison's sides are equal or farther apart than any tolerance.
type writer struct{ *rand.Rand }

func (w writer) pick(words ...string) string { return words[w.IntN(len(words))] }

// number writes a sum in the given unit.
func (w writer) number(unit string, depth int) string {
	if depth == 0 || w.IntN(3) == 0 {
		value := fmt.Sprintf("%v", float64(w.IntN(200))/4)
		switch unit {
		case "mm":
			return w.pick("a", "b", value+" mm")
		case "deg":
			return w.pick("p", "q", value+" deg")
		case "mm2":
			return w.pick("s", value+" mm2")
		}
		return w.pick("n", fmt.Sprint(w.IntN(9)))
	}
	x, y := w.number(unit, depth-1), w.number(unit, depth-1)
	switch w.IntN(8) {
	case 0:
		return x + " + " + y
	case 1:
		return x + " - (" + y + ")"
	case 6:
		return x + " - " + y
	case 7:
		return fmt.Sprintf("%d * %s", 1+w.IntN(3), x)
	case 2:
		return fmt.Sprintf("%d * (%s)", 1+w.IntN(3), x)
	case 3:
		return w.pick("min", "max") + "(" + x + ", " + y + ")"
	case 4:
		return "abs(" + x + ")"
	}
	return w.pick("-(", "- -(", "+(") + x + ")"
}

func (w writer) truth(depth int) string {
	if depth == 0 || w.IntN(4) == 0 {
		if w.IntN(4) == 0 {
			return w.pick("yes", "no", "true", "false")
		}
		unit := w.pick("mm", "deg", "mm2", "")
		if w.IntN(4) == 0 { // a chain
			return w.number(unit, 2) + w.pick(" > ", " <= ") + w.number(unit, 2) + w.pick(" < ", ">=") + w.number(unit, 2)
		}
		return w.number(unit, 2) + " " + w.pick(">", "<", ">=", "<=", "==", "!=") + " " + w.number(unit, 2)
	}
	x, y := w.truth(depth-1), w.truth(depth-1)
	switch w.IntN(6) {
	case 4:
		return x + " " + w.pick("and", "or") + " " + y
	case 5:
		return x + "||" + y + "&&" + x
	case 0:
		return "(" + x + ") " + w.pick("and", "&&") + " (" + y + ")"
	case 1:
		return "(" + x + ") " + w.pick("or", "||") + " (" + y + ")"
	case 2:
		return w.pick("not ", "!") + "(" + x + ")"
	}
	return "(" + x + ") == (" + y + ")"
}

// TestConditionsAgainstTheLibrarysMachine holds our parser and closures to what a
// general-purpose expression library makes of the same text, over random conditions.
func TestConditionsAgainstTheLibrarysMachine(t *testing.T) {
	seed := uint64(20260601)
	t.Logf("seed %d", seed)
	w := writer{rand.New(rand.NewPCG(seed, 1))}
	held := 0
	for range 1500 {
		values := []float64{
			float64(w.IntN(40)) / 4, float64(w.IntN(40)) / 4, float64(w.IntN(360)) / 4, float64(w.IntN(360)) / 4,
			float64(w.IntN(80)) / 4, float64(w.IntN(9)), 1, 0,
		}
		text := w.truth(3)
		p, d := programOf(t, text)
		require.Equal(t, Truth, d, text)
		got, want := p(values), 0.0
		if machine(t, text, values) == true {
			want = 1
			held++
		}
		require.Equal(t, want, got, "%s with %v", text, values)
	}
	assert.Greater(t, held, 300, "too few conditions hold for the test to mean much")
	assert.Less(t, held, 1200, "too many conditions hold for the test to mean much")
}

// TestArithmeticAgainstTheLibrarysMachine does the same for numbers, exactly.
func TestArithmeticAgainstTheLibrarysMachine(t *testing.T) {
	values := []float64{2.5, 0.7, 31, 44.9, 12.25, 3, 1, 0}
	for _, text := range []string{
		"a + b * n", "a - b - a", "a / b / n", "s / a + b", "sqrt(s) * 2", "sqrt(a * b)", "a * a - s", "-a + b", "+a",
		"tan(p) * a", "a * sin(q) + b * cos(p)", "atan(a / b) - q", "atan(process.line / (2 * process.layer))",
		"max(a, b, process.line) * min(n, 2)", "2 * (a + 0.5 mm)", "1.5e1 * n", "min(s, a * a, 3 mm2)", "abs(b - a)",
	} {
		p, _ := programOf(t, text)
		assert.Equal(t, machine(t, text, values), p(values), text)
	}
	for i := range 500 {
		w := writer{rand.New(rand.NewPCG(7, uint64(i)))}
		text := w.number(w.pick("mm", "deg", "mm2", ""), 4)
		p, _ := programOf(t, text)
		require.Equal(t, machine(t, text, values), p(values), text)
	}
}

// TestNothingLeavesTheLanguage names what a general-purpose expression library offers and
// refuses all of it but the functions on our list.
func TestNothingLeavesTheLanguage(t *testing.T) {
	refused := 0
	for _, name := range libraryFunctions() {
		if slices.Contains(functionNames, name) {
			continue
		}
		for _, call := range []string{name + "(a)", name + "()", "a | " + name + "()", name + "([1], {# > 1})", name + "(n, n)"} {
			_, _, bad := Compile(call, site)
			require.NotNil(t, bad, call)
			assert.False(t, strings.Contains(bad.Text, "%!"), bad.Text)
			refused++
		}
	}
	assert.Greater(t, refused, 200)
}
