package catalog

import (
	"math"
	"strconv"
	"strings"
)

// MaxDecimals is the most decimals a value is ever printed with: a tenth of a micron.
const MaxDecimals = 4

// Format prints a measured value for people, rounded to what its unit is worth and
// with the unit behind it: "20.0 mm", "0.25 mm", "90°", "412 mm²", "yes".
func Format(value float64, u Unit) string { return FormatFine(value, u, 0) }

// FormatFine is Format with that many more decimals, up to MaxDecimals, for a value
// that would otherwise look the same as the limit it is past.
func FormatFine(value float64, u Unit, more int) string {
	if u == Bool {
		if value != 0 {
			return "yes"
		}
		return "no"
	}
	if math.IsInf(value, 0) {
		return "no end"
	}
	if u == Byte {
		return bytes(value, 1+more)
	}
	decimals, trim := places(value, u)
	if value == 0 {
		decimals, more = 0, 0
	}
	text := fixed(value, min(decimals+more, MaxDecimals))
	if trim {
		text = short(text)
	}
	return withUnit(text, u)
}

// FormatLimit prints a limit as a person would write it, without padding: "2 mm",
// "63.43°".
func FormatLimit(value float64, u Unit) string {
	if u == Bool || math.IsInf(value, 0) {
		return Format(value, u)
	}
	if u == Byte {
		return bytes(value, MaxDecimals)
	}
	decimals := 2
	switch u {
	case Deg:
		decimals = 1
	case MM:
		decimals = 3
	}
	for decimals < MaxDecimals && value != 0 && math.Abs(value) < 2*math.Pow10(1-decimals) {
		decimals++
	}
	return withUnit(short(fixed(value, decimals)), u)
}

// bytes prints the size of a file in the unit that leaves it short, with so many decimals at
// most.
func bytes(value float64, decimals int) string {
	unit, size := "B", math.Abs(value)
	switch {
	case size >= 1e6:
		value, unit = value/1e6, "MB"
	case size >= 1e3:
		value, unit = value/1e3, "kB"
	}
	return short(fixed(value, min(decimals, MaxDecimals))) + " " + unit
}

// short takes the zeros at the end of a number away that say nothing.
func short(text string) string {
	if !strings.Contains(text, ".") {
		return text
	}
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

// places says how many decimals a value is worth, and whether trailing zeros go.
func places(value float64, u Unit) (decimals int, trim bool) {
	size := math.Abs(value)
	switch {
	case u == Deg:
		return 1, true
	case u == Number:
		return 2, true
	case u == MM || u == Flow || u == Dense || u == PerKg:
		if size < 9.995 {
			return 2, false
		}
		return 1, false
	case size < 9.95:
		return 1, false
	}
	return 0, false
}

func fixed(value float64, decimals int) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

func withUnit(text string, u Unit) string {
	switch u {
	case Number:
		return text
	case Deg:
		return text + u.Symbol()
	}
	return text + " " + u.Symbol()
}

// powers writes the units of areas and volumes as people do.
var powers = strings.NewReplacer("mm2", "mm²", "mm3", "mm³", "cm3", "cm³")

// Symbol is the unit as people write it, which a keyboard may not: "°", "mm²".
func (u Unit) Symbol() string {
	if u == Deg {
		return "°"
	}
	return powers.Replace(string(u))
}
