package catalog

import (
	"fmt"
)

// About writes an estimated mass and time for people: "about 8.1 g and 28 min".
func About(grams, minutes float64) string {
	about := "about "
	if grams < least {
		about = ""
	}
	return about + mass(grams) + " and " + span(minutes)
}

// least is the mass in grams below which an estimate says no more.
const least = 0.1

// mass writes an estimated mass for people: "8.1 g", "less than 0.1 g".
func mass(grams float64) string {
	if grams < least {
		return "less than 0.1 g"
	}
	return Format(grams, Gram)
}

// span writes a time as people say it: an estimate has no seconds.
func span(minutes float64) string {
	switch n := int(minutes + 0.5); {
	case n < 1:
		return "less than 1 min"
	case n < 100:
		return fmt.Sprintf("%d min", n)
	default:
		return fmt.Sprintf("%d h %d min", n/60, n%60)
	}
}
