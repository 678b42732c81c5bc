package catalog

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseQuantity(t *testing.T) {
	for text, want := range map[string]struct {
		value float64
		unit  Unit
	}{
		"2 mm": {2, MM}, "2mm": {2, MM}, "  2   mm  ": {2, MM}, "-0.5 mm": {-0.5, MM}, "+1e-1 mm": {0.1, MM}, ".5 mm": {0.5, MM},
		"5. mm": {5, MM}, "0.1 in": {2.54, MM}, "1 cm": {10, MM}, "1 m": {1000, MM}, "250 um": {0.25, MM},
		"45 deg": {45, Deg}, "30 mm2": {30, MM2}, "0.3 cm2": {30, MM2}, "1 cm3": {1000, MM3}, "8000 mm3": {8000, MM3},
		"45 °": {45, Deg}, "0.3 cm²": {30, MM2}, "8 cm³": {8000, MM3}, "250 µm": {0.25, MM}, "250 μm": {0.25, MM},
		"12 g": {12, Gram}, "0.75 kg": {750, Gram}, "95 min": {95, Minute}, "1.5 h": {90, Minute}, "30 s": {0.5, Minute},
		"9 mm3/s": {9, Flow}, "9 mm³/s": {9, Flow}, "1.24 g/cm3": {1.24, Dense}, "1.24 g/cm³": {1.24, Dense}, "25 /kg": {25, PerKg}, "25/kg": {25, PerKg},
		"8": {8, Number}, "0": {0, Number}, "1e3": {1000, Number},
	} {
		value, unit, err := ParseQuantity(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want.value, value, 1e-12, text)
		assert.Equal(t, want.unit, unit, text)
	}
}

func TestParseQuantityComplains(t *testing.T) {
	for text, want := range map[string]string{
		"":           `"" does not begin with a number`,
		"mm":         `"mm" does not begin with a number`,
		".":          `"." does not begin with a number`,
		"-":          `"-" does not begin with a number`,
		"NaN mm":     `"NaN mm" does not begin with a number`,
		"inf":        `"inf" does not begin with a number`,
		"0x10 mm":    `"x10 mm" is not a unit`,
		"1_000 mm":   `"_000 mm" is not a unit`,
		"2 furlongs": `"furlongs" is not a unit`,
		"2 MM":       `"MM" is not a unit`,
		"2 mm mm":    `"mm mm" is not a unit`,
		"1,5 mm":     `"1,5 mm" has a comma; write 1.5 mm`,
		"0,400 mm":   `"0,400 mm" has a comma; write 0.400 mm`,
		"1,250 mm":   `"1,250 mm" has a comma; write 1.250 mm, or 1250 mm if thousands are meant`,
		"1, mm":      `", mm" is not a unit`,
		"1e999 mm":   `"1e999" is too large a number`,
		"1e308 m":    `"1e308 m" is too large a number`,
	} {
		_, _, err := ParseQuantity(text)
		assert.EqualError(t, err, want, text)
	}
	_, _, err := ParseQuantity("2 furlongs")
	var unit *UnitError
	require.True(t, errors.As(err, &unit))
	assert.Equal(t, "furlongs", unit.Word)
}

func TestUnitsInFull(t *testing.T) {
	for word, want := range map[string]string{
		"inch": "in", "Inches": "in", "MM": "mm", "millimetres": "mm", "degrees": "deg", "mm^2": "mm2", "mm": "mm", "furlong": "", "": "", "s": "s",
	} {
		assert.Equal(t, want, InFull(word), word)
	}
	for word, short := range inFull {
		_, ok := Spelled(short)
		assert.True(t, ok, word)
	}
}

// TestNumberLengthAgreesWithTheLanguage holds that what counts as a number is one to
// the language's own parser, and that a longer text is not.
func TestNumberLengthAgreesWithTheLanguage(t *testing.T) {
	for text, want := range map[string]int{
		"1": 1, "12.5": 4, "1e5": 3, "1e": 1, "1e+": 1, "1e+5x": 4, "1.e2": 4, ".5": 2, "..5": 0, "1..5": 2, "-.5": 3, "--5": 0, "5-5": 1, "": 0, "e5": 0,
	} {
		n := NumberLength(text)
		assert.Equal(t, want, n, text)
		if n > 0 {
			_, err := strconv.ParseFloat(text[:n], 64)
			assert.NoError(t, err, text)
		}
	}
}

// TestSpellings holds that each spelling is unique and each unit has one that is its
// own, so that what is printed can be read again.
func TestSpellings(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Spellings() {
		assert.False(t, seen[s.Word], s.Word)
		seen[s.Word] = true
		own, ok := Spelled(string(s.Unit))
		assert.True(t, ok, s.Word)
		assert.Equal(t, 1.0, own.Factor, s.Word)
		assert.Positive(t, s.Factor, s.Word)
	}
	for _, u := range []Unit{MM, MM2, MM3, Deg, Gram, Minute, Flow, Dense, PerKg, Byte} {
		assert.True(t, seen[string(u)], u)
	}
	_, ok := Spelled("")
	assert.False(t, ok)
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		value float64
		unit  Unit
		want  string
	}{
		{20, MM, "20.0 mm"}, {0.25, MM, "0.25 mm"}, {9.994, MM, "9.99 mm"}, {9.996, MM, "10.0 mm"}, {0, MM, "0 mm"},
		{0.001, MM, "0.00 mm"}, {-0.001, MM, "0.00 mm"}, {-3, MM, "-3.00 mm"}, {1234.56, MM, "1234.6 mm"},
		{90, Deg, "90°"}, {63.435, Deg, "63.4°"}, {89.96, Deg, "90°"}, {0.04, Deg, "0°"},
		{800, Byte, "800 B"}, {999.96, Byte, "1000 B"}, {512_340, Byte, "512.3 kB"}, {20e6, Byte, "20 MB"}, {0, Byte, "0 B"}, {412.4, MM2, "412 mm²"}, {9.94, MM2, "9.9 mm²"}, {9.96, MM2, "10 mm²"}, {0, MM2, "0 mm²"}, {8000, MM3, "8000 mm³"},
		{0.153, Number, "0.15"}, {12, Number, "12"}, {0.999, Number, "1"},
		{1, Bool, "yes"}, {0, Bool, "no"}, {math.Inf(1), MM, "no end"},
		{12.34, Gram, "12 g"}, {3.14, Gram, "3.1 g"}, {95, Minute, "95 min"}, {9, Flow, "9.00 mm³/s"}, {1.24, Dense, "1.24 g/cm³"}, {25, PerKg, "25.0 /kg"},
	} {
		assert.Equal(t, c.want, Format(c.value, c.unit))
	}
	assert.Equal(t, "10.004 mm", FormatFine(10.004, MM, 2))
	assert.Equal(t, "10.0040 mm", FormatFine(10.004, MM, 9), "never more than four decimals")
	assert.Equal(t, "45.03°", FormatFine(45.0300001, Deg, 2))
}

// TestFormatLimitReadsBack holds that a limit as printed is the limit.
func TestFormatLimitReadsBack(t *testing.T) {
	for value, want := range map[float64]string{
		2: "2 mm", 0.4: "0.4 mm", 0.42: "0.42 mm", 25.4: "25.4 mm", 304.79999999999995: "304.8 mm", 0.9750000000000001: "0.975 mm", 0: "0 mm", 220: "220 mm", 0.05: "0.05 mm", 0.125: "0.125 mm", 0.0025: "0.0025 mm",
	} {
		assert.Equal(t, want, FormatLimit(value, MM))
		back, unit, err := ParseQuantity(FormatLimit(value, MM))
		require.NoError(t, err)
		assert.Equal(t, MM, unit)
		assert.InDelta(t, value, back, 1e-9)
	}
	assert.Equal(t, "63.4°", FormatLimit(63.43494882, Deg))
	assert.Equal(t, "0.02", FormatLimit(0.02, Number))
	assert.Equal(t, "25 /kg", FormatLimit(25, PerKg))
	assert.Equal(t, "yes", FormatLimit(1, Bool))
}

// TestTolerance holds each tolerance above the error of a coordinate stored as a 32-bit
// float on the largest usual bed, and below what a nozzle resolves.
func TestTolerance(t *testing.T) {
	step := float64(math.Nextafter32(250, 251) - 250)
	assert.Greater(t, Tolerance(MM), 10*step)
	assert.Less(t, Tolerance(MM), 0.01)
	assert.Greater(t, Tolerance(Deg), math.Atan2(step, 1)*180/math.Pi, "an edge of 1 mm")
	assert.Greater(t, Tolerance(Deg), math.Atan2(5e-4, 1)*180/math.Pi, "six digits of text at 250 mm")
	for _, u := range []Unit{Number, MM2, MM3, Gram, Minute, Flow, Dense, PerKg, Byte} {
		assert.Positive(t, Tolerance(u))
	}
}

func TestIndex(t *testing.T) {
	m := Measure{Values: []Value{{Name: "angle"}, {Name: "reach"}}}
	assert.Equal(t, 1, m.Index("reach"))
	assert.Equal(t, -1, m.Index("area"))
}
