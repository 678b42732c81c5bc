package catalog

import (
	"fmt"
)

// About writes an estimated mass and time for people: "about 8.1 g and 28 min".
func About(grams, minutes float64) string {
	mass := "about " + Format(grams, Gram)
	if grams < 0.1 {
		mass = "less than 0.1 g"
	}
	return mass + " and " + span(minutes)
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
