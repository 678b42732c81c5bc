// Package near finds the known name that an unknown word was most likely meant to be.
package near

import (
	"fmt"
	"slices"
	"strings"
)

// maxListed is how many known names a complaint spells out when none is near.
const maxListed = 20

// Hint ends a complaint about an unknown name: the nearest known one, or else all
// of them where they are few.
func Hint(word string, known []string) string { return HintOf(word, known, known) }

// HintOf is Hint where only some of the known names are worth listing.
func HintOf(word string, known, listed []string) string {
	best := Nearest(word, known)
	switch {
	case best != "":
		return fmt.Sprintf(" (did you mean %q?)", best)
	case len(listed) == 0 || len(listed) > maxListed:
		return ""
	}
	return " (known here: " + strings.Join(slices.Sorted(slices.Values(listed)), ", ") + ")"
}

// Nearest is the known name that a word was most likely meant to be, or "" when none is
// near: one that a single edit leads to, or the only one that begins with the word or
// that the word begins with, or else the one that takes the fewest edits, where a third
// of the word's letters are as many as slips of the finger make.
func Nearest(word string, known []string) string {
	best, distance := "", max(2, len(word)/3+1)
	for _, k := range slices.Sorted(slices.Values(known)) {
		d := edits(strings.ToLower(word), strings.ToLower(k))
		if d < distance || d == distance && best != "" && letters(word) == letters(k) {
			best, distance = k, d
		}
	}
	if longer := extended(word, known); longer != "" && (best == "" || distance > 1) {
		return longer
	}
	return best
}

// letters are the letters of a word in the order of the alphabet: where two names are
// as near, the one with the same letters was meant.
func letters(word string) string {
	b := []byte(word)
	slices.Sort(b)
	return string(b)
}

// extended is the only known name that begins with the word, or that the word begins
// with; "" when there is none or more than one.
func extended(word string, known []string) string {
	best := ""
	for _, k := range known {
		if min(len(k), len(word)) >= 3 && (strings.HasPrefix(k, word) || strings.HasPrefix(word, k)) {
			if best != "" {
				return ""
			}
			best = k
		}
	}
	return best
}

// edits is the number of letters to insert, delete, change or swap with a neighbour
// to get from a to b.
func edits(a, b string) int {
	if len(a) > 64 || len(b) > 64 {
		return len(a) + len(b)
	}
	before := make([]int, len(b)+1)
	last := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
