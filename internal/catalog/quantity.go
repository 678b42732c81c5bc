package catalog

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Spelling is one way to write a unit.
type Spelling struct {
	Word string
	Unit Unit
	// Factor turns a number written with Word into one of Unit.
	Factor float64
}

// spellings lists what a quantity may be written in, the unit's own spelling first.
// An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
var spellings = []Spelling{
	{"mm", MM, 1}, {"cm", MM, 10}, {"m", MM, 1000}, {"um", MM, 0.001}, {"in", MM, 25.4},
	{"µm", MM, 0.001}, {"μm", MM, 0.001}, // the micro sign and the Greek letter look alike
	{"mm2", MM2, 1}, {"cm2", MM2, 100}, {"mm²", MM2, 1}, {"cm²", MM2, 100},
	{"mm3", MM3, 1}, {"cm3", MM3, 1000}, {"mm³", MM3, 1}, {"cm³", MM3, 1000},
	{"deg", Deg, 1}, {"°", Deg, 1},
	{"g", Gram, 1}, {"kg", Gram, 1000},
	{"min", Minute, 1}, {"s", Minute, 1.0 / 60}, {"h", Minute, 60},
	{"mm3/s", Flow, 1}, {"mm³/s", Flow, 1},
	{"g/cm3", Dense, 1}, {"g/cm³", Dense, 1},
	{"/kg", PerKg, 1},
	{"B", Byte, 1}, {"kB", Byte, 1000}, {"MB", Byte, 1e6},
}

// Spellings lists every way to write a unit, in a fixed order.
func Spellings() []Spelling { return slices.Clone(spellings) }

// UnitWords lists every word for a unit that any keyboard has, in the same order, but for the
// sizes of files: next to nobody means one of these by a slip of the keyboard.
func UnitWords() []string {
	var words []string
	for _, s := range spellings {
		if s.Unit != Byte && !strings.ContainsFunc(s.Word, func(r rune) bool { return r > unicode.MaxASCII }) {
			words = append(words, s.Word)
		}
	}
	return words
}

// inFull are units as people write them out, each with the word that is read.
var inFull = map[string]string{
	"inch": "in", "inches": "in", `"`: "in", "″": "in", "millimeter": "mm", "millimetre": "mm", "centimeter": "cm", "centimetre": "cm",
	"meter": "m", "metre": "m", "micron": "um", "micrometer": "um", "micrometre": "um", "degree": "deg", "º": "deg", "gram": "g", "kilogram": "kg",
	"mm^2": "mm2", "cm^2": "cm2", "mm^3": "mm3", "cm^3": "cm3", "sqmm": "mm2", "qmm": "mm2", "minute": "min", "second": "s", "sec": "s", "hour": "h",
	"g/ccm": "g/cm3", "g/cc": "g/cm3", "mm3/sec": "mm3/s", "byte": "B", "kb": "kB", "mb": "MB",
}

// InFull finds the word for a unit that somebody wrote out, or in capitals; "" for others.
func InFull(word string) string {
	low := strings.ToLower(strings.TrimSpace(word))
	if s, ok := Spelled(low); ok {
		return s.Word
	}
	if short := inFull[low]; short != "" {
		return short
	}
	return inFull[strings.TrimSuffix(low, "s")]
}

// Spelled finds the unit written as word.
func Spelled(word string) (Spelling, bool) {
	for _, s := range spellings {
		if s.Word == word {
			return s, true
		}
	}
	return Spelling{}, false
}

// UnitError is a quantity whose unit nobody knows.
type UnitError struct{ Word string }

// Error says which word is no unit.
func (e *UnitError) Error() string { return fmt.Sprintf("%q is not a unit", e.Word) }

// ParseQuantity reads a finite decimal number and its unit, such as "2 mm", "0.1 in"
// or "45 deg"; the space may be left out. A bare number has the unit Number. The
// value comes back in the unit's own spelling: inches as mm. An unknown unit is a
// *UnitError.
func ParseQuantity(s string) (float64, Unit, error) {
	s = strings.TrimSpace(s)
	n := NumberLength(s)
	if n == 0 {
		return 0, Number, fmt.Errorf("%q does not begin with a number", s)
	}
	value, err := strconv.ParseFloat(s[:n], 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, Number, fmt.Errorf("%q is too large a number", s[:n])
	}
	if pointed := PointFor(s); pointed != "" {
		return 0, Number, fmt.Errorf("%q has a comma; write %s", s, pointed)
	}
	word := strings.TrimSpace(s[n:])
	if word == "" {
		return value, Number, nil
	}
	unit, ok := Spelled(word)
	if !ok {
		return 0, Number, &UnitError{word}
	}
	if value *= unit.Factor; math.IsInf(value, 0) {
		return 0, Number, fmt.Errorf("%q is too large a number", s)
	}
	return value, unit.Unit, nil
}

// PointFor writes a number that has a comma in place of its point with the point, and what
// stands behind it as it is; "" where there is no such comma. Before three digits a comma
// may part thousands as well, so that both are told.
func PointFor(s string) string {
	n := NumberLength(s)
	if n == 0 || !strings.HasPrefix(s[n:], ",") {
		return ""
	}
	d := digits(s[n+1:])
	if d == 0 {
		return ""
	}
	pointed := s[:n] + "." + s[n+1:]
	if d == 3 && s[:n] != "0" {
		return pointed + ", or " + s[:n] + s[n+1:] + " if thousands are meant"
	}
	return pointed
}

// NumberLength returns how many bytes at the start of s are a decimal number:
// an optional sign, digits with at most one point, an optional exponent.
func NumberLength(s string) int {
	i := 0
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	whole := digits(s[i:])
	i += whole
	part := 0
	if i < len(s) && s[i] == '.' {
		if part = digits(s[i+1:]); part > 0 || whole > 0 {
			i += 1 + part
		}
	}
	if whole+part == 0 {
		return 0
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '-' || s[j] == '+') {
			j++
		}
		if d := digits(s[j:]); d > 0 {
			i = j + d
		}
	}
	return i
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// Tolerance is how far a value must be past a limit before it counts as past it, in
// the unit's own spelling. Every comparison with a limit uses it and no other.
//
// Coordinates arrive as 32-bit floats or as decimals with six digits, so a length at
// 250 mm is known to about 1e-5 to 5e-4 mm: 1e-3 mm is above that and far below what
// any nozzle resolves. The same error on an edge of 1 mm turns a face by up to 0.06
// deg: 0.1 deg lets a 45 deg chamfer pass a limit of 45 deg. Areas and volumes get
// that length along an outline of 10 mm and over a skin of 100 mm2. Counts and ratios
// only carry the rounding of their own arithmetic.
func Tolerance(u Unit) float64 {
	switch u {
	case MM:
		return 1e-3
	case Deg:
		return 0.1
	case MM2:
		return 1e-2
	case MM3:
		return 1e-1
	}
	return 1e-9
}
