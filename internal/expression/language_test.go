package expression

import (
	"math"
	"testing"

	"github.com/expr-lang/expr/builtin"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// libraryFunctions lists what the expression library that tests compare with has built in.
func libraryFunctions() []string {
	var names []string
	for _, f := range builtin.Builtins {
		names = append(names, f.Name)
	}
	return names
}

// TestLimitsAreStrict goes through each comparison at a limit, within the tolerance of
// the unit on both sides, and beyond it.
func TestLimitsAreStrict(t *testing.T) {
	for _, unit := range []struct {
		value, text string
		at          int
	}{{"a", "10 mm", 0}, {"p", "10 deg", 2}, {"s", "10 mm2", 4}, {"n", "10", 5}} {
		e := catalog.Tolerance(siteValues[unit.at].Unit)
		for _, c := range []struct {
			operator string
			holds    [5]float64 // at 10 - 2e, 10 - e/2, 10, 10 + e/2, 10 + 2e
		}{
			{">", [5]float64{0, 0, 0, 0, 1}},
			{"<", [5]float64{1, 0, 0, 0, 0}},
			{">=", [5]float64{0, 1, 1, 1, 1}},
			{"<=", [5]float64{1, 1, 1, 1, 0}},
			{"==", [5]float64{0, 1, 1, 1, 0}},
			{"!=", [5]float64{1, 0, 0, 0, 1}},
		} {
			text := unit.value + " " + c.operator + " " + unit.text
			p, _ := programOf(t, text)
			for i, off := range []float64{-2, -0.5, 0, 0.5, 2} {
				values := make([]float64, len(siteValues))
				values[unit.at] = 10 + off*e
				assert.Equal(t, c.holds[i], p(values), "%s at %v", text, values[unit.at])
			}
		}
	}
}

// TestChamferOfFortyFivePasses is why angles have a tolerance: corners stored as 32-bit
// floats turn a face by a hair.
func TestChamferOfFortyFivePasses(t *testing.T) {
	p, _ := programOf(t, "p > 45 deg")
	run, rise := 0.1, float64(float32(100+0.1)-float32(100))
	lean := math.Atan(run/rise) / degree
	require.Greater(t, lean, 45.0, "the fixture does not lean too far")
	values := make([]float64, len(siteValues))
	values[2] = lean
	assert.Zero(t, p(values))
}

// TestNoAnswer follows a value that is no number through and, or and not: it counts
// only where the other side does not decide.
func TestNoAnswer(t *testing.T) {
	const unknown = "a / (b - b) - a / (b - b) > 1" // infinity less infinity
	values := []float64{1, 2, 0, 0, 0, 0, 1, 0}
	for text, want := range map[string]float64{
		unknown:                        math.NaN(),
		"no and " + unknown:            0,
		unknown + " and no":            0,
		"yes and " + unknown:           math.NaN(),
		unknown + " and yes":           math.NaN(),
		"yes or " + unknown:            1,
		unknown + " or yes":            1,
		"no or " + unknown:             math.NaN(),
		unknown + " or no":             math.NaN(),
		"not (" + unknown + ")":        math.NaN(),
		"a / (b - b) > 3":              1,
		"a / (b - b) == b / (b - b)":   1,
		"-a / (b - b) < b / (b - b)":   1,
		"max(a / (b - b), 1) > 1":      1,
		"(" + unknown + ") == (1 > 2)": math.NaN(),
	} {
		p, _ := programOf(t, text)
		if got := p(values); math.IsNaN(want) {
			assert.True(t, math.IsNaN(got), "%s is %v", text, got)
		} else {
			assert.Equal(t, want, got, text)
		}
	}
}

// TestUnitsOfExpressions says what each expression is counted in.
func TestUnitsOfExpressions(t *testing.T) {
	for text, want := range map[string]string{
		"a":             "mm",
		"a * b":         "mm²",
		"a * b * a":     "mm³",
		"a * b / s":     "a bare number",
		"a / s":         "1/mm",
		"p / a":         "deg/mm",
		"a * p":         "mm deg",
		"sqrt(s)":       "mm",
		"atan(a / b)":   "degrees",
		"tan(p) * a":    "mm",
		"25 /kg":        "/kg",
		"25 /kg * 2 kg": "money",
		"3 g / 2 cm3":   "g/cm³",
		"9 mm3/s":       "mm³/s",
		"1 cm3 / 2 min": "mm³/s",
		"1 h":           "min",
		"n > 1":         "true or false",
		"2 mm + 1 in":   "mm",
	} {
		_, d := programOf(t, text)
		assert.Equal(t, want, d.String(), text)
	}
}

// TestUnitsConvert holds numbers in different spellings to each other.
func TestUnitsConvert(t *testing.T) {
	for _, text := range []string{
		"1 in == 25.4 mm", "1 cm == 10 mm", "1 m == 1000 mm", "100 um == 0.1 mm", "1 cm2 == 100 mm2", "1 cm3 == 1000 mm3",
		"1 kg == 1000 g", "1 h == 60 min", "90 s == 1.5 min", "18 mm3 / 2 s == 9 mm3/s", "1 cm3 * 1.24 g/cm3 == 1.24 g",
		"2 kg * 25 /kg == 50 g * 1000 /kg", "540 mm3 / 9 mm3/s == 1 min", "2mm == 2 mm", "0.5in==12.7mm", "sqrt(4 mm2) == 2 mm",
		"atan(1) == 45 deg", "sin(30 deg) == 0.5", "cos(60 deg) == 0.5", "tan(45 deg) == 1", "-2 mm < 1 mm", "1 mm < 2 mm == true",
		"not (1 > 2)", "1 < 2 and 2 < 3 or false", "1 < 2 < 3", "5 min > 1 min", "min(2 mm, 1 mm) == 1 mm",
	} {
		p, d := programOf(t, text)
		assert.Equal(t, Truth, d, text)
		assert.Equal(t, 1.0, p(make([]float64, len(siteValues))), text)
	}
}
