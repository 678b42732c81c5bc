package expression

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhatIsNoExpression holds the place and the words of what cannot be read.
func TestWhatIsNoExpression(t *testing.T) {
	for text, want := range map[string]Fault{
		"":                     {0, "the expression ends too early"},
		"a > (b":               {5, "the expression ends too early"},
		"a > b)":               {5, `did not expect ")" here`},
		"a b":                  {2, `did not expect "b" here`},
		"2 mm 3 mm":            {5, `did not expect "3 mm" here`},
		"a > 2 mm and":         {11, "the expression ends too early"},
		"and a":                {0, `did not expect "and" here`},
		"a = b":                {2, `operator "=" is not known here`},
		"n > 1_000":            {5, `did not expect "_000" here`},
		"max(a; b)":            {5, `did not expect ";" here`},
		"max(a,":               {5, "the expression ends too early"},
		".":                    {0, `did not expect "." here`},
		"a.b.c":                {0, "only limits.NAME and process.NAME have a point in them"},
		"1e999 mm > a":         {0, `"1e999" is too large a number`},
		"2 a > b":              {2, `"a" is not a unit (did you mean "g"?)`},
		"not a > b":            {4, "not needs true or false behind it, this is mm"},
		"a / 0 > b":            {4, "this is 0, and nothing can be divided by 0"},
		"a / (2 - 2) > b":      {5, "this is 0, and nothing can be divided by 0"},
		"n / max(0, sin(0°))":  {4, "this is 0, and nothing can be divided by 0"},
		"0,4 mm < a":           {0, "a number has a point and no comma: write 0.4 mm"},
		"a > 1,5mm + b":        {4, "a number has a point and no comma: write 1.5mm"},
		"a ≥ b":                {2, "'≥' is not read here: write >="},
		"a > 2²":               {5, "'²' belongs behind a number, as in 45° or 9 mm²"},
		"a > °":                {4, "'°' belongs behind a number, as in 45° or 9 mm²"},
		"a > ü":                {4, "an expression is plain ASCII: write it without 'ü'"},
		"a > 2 inches":         {6, `"inches" is not a unit; write in`},
		"a > 2 MM":             {6, `"MM" is not a unit; write mm`},
		strings.Repeat("(", 9): {8, "the expression ends too early"},
	} {
		_, _, bad := Compile(text, site)
		if assert.NotNil(t, bad, text) {
			assert.Equal(t, want, *bad, text)
		}
	}
}

// TestDeepBrackets holds that the longest expression is read, however deep.
func TestDeepBrackets(t *testing.T) {
	p, _ := programOf(t, strings.Repeat("(", 499)+"n"+strings.Repeat(")", 499))
	assert.Equal(t, 7.0, p([]float64{0, 0, 0, 0, 0, 7, 0, 0}))
	p, _ = programOf(t, strings.Repeat("-", 998)+"n")
	assert.Equal(t, 7.0, p([]float64{0, 0, 0, 0, 0, 7, 0, 0}))
}

// TestUnitsAsPeopleWriteThem holds that the signs for degrees, squares and cubes are read.
func TestUnitsAsPeopleWriteThem(t *testing.T) {
	for text, ascii := range map[string]string{"p > 45°": "p > 45 deg", "s > 9 mm²": "s > 9 mm2", "a > 200 µm": "a > 200 um", "max(a,2 mm) > 0.5 cm": "max(a, 2mm) > 0.5cm"} {
		p, d := programOf(t, text)
		q, e := programOf(t, ascii)
		assert.Equal(t, e, d)
		for _, x := range []float64{0.1, 1, 9.5, 46, 100} {
			values := []float64{x, x, x, x, x, x, 1, 0}
			assert.Equal(t, q(values), p(values), text)
		}
	}
}

// TestUnitsMayStandInAnotherLine holds that blanks of any kind part a number from its unit.
func TestUnitsMayStandInAnotherLine(t *testing.T) {
	p, d := programOf(t, "a >\n2\n\tmm")
	assert.Equal(t, Truth, d)
	assert.Equal(t, 1.0, p([]float64{2.5, 0, 0, 0, 0, 0, 0, 0}))
}

// FuzzExpression holds that no text breaks the parser, that faults lie within the text, and
// that brackets around an expression change nothing.
func FuzzExpression(f *testing.F) {
	for _, text := range []string{
		"a > 2 mm and (p <= 45 deg or not yes)", "1 < 2 < 3", "-a*b/sqrt(s)", "max(a, b, process.line) * min(n, 2) != 3 mm", "1..9", "a ** 2",
		"18 mm3 / 2 s == 9mm3/s", "[1] | {#} ? x : y", "5 in", "5 in in", "1e", ".5", "2 min(1)", "25 /kg * 2 kg", "limits.x.y", "((((", "!!yes", "'",
		"\xff", strings.Repeat("-", 50) + "n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, d, bad := Compile(text, site)
		if bad != nil {
			require.NotEmpty(t, bad.Text)
			require.GreaterOrEqual(t, bad.Offset, 0)
			require.LessOrEqual(t, bad.Offset, len(text))
			return
		}
		for _, x := range []float64{0, 1, -2.5, math.Inf(1)} {
			values := []float64{x, 2, x, 30, 4, 5, 1, 0}
			got := p(values)
			if d.truth {
				require.True(t, got == 0 || got == 1 || math.IsNaN(got), "%s is %v", text, got)
			}
			if len(text)+2 > MaxLength {
				continue
			}
			q, e, bad := Compile("("+text+")", site)
			require.Nil(t, bad)
			require.Equal(t, d, e)
			require.Equal(t, math.Float64bits(got), math.Float64bits(q(values)))
		}
	})
}
