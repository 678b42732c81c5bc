// Package reading says how hard sentences are to read, so that tests can hold the words of
// messages to what a beginner reads with ease.
package reading

import (
	"regexp"
	"strings"
)

var (
	// A semicolon or a colon ends a thought as a full stop does; a point within a number
	// or a short form does not.
	ends  = regexp.MustCompile(`[.;:!?](\s|$)|\n\n`)
	words = regexp.MustCompile(`[\p{L}\p{N}][\p{L}\p{N}.'°²³_/-]*`)
	// What makes a syllable of an English word: a run of vowels.
	vowels = regexp.MustCompile(`[aeiouy]+`)
	// After a vowel, y belongs to it or begins the next syllable: lay-er.
	glide  = regexp.MustCompile(`([aeiou])y`)
	letter = regexp.MustCompile(`^\p{L}`)
)

// Grade is the school year, in the United States, after which a text is read with ease:
// 0.39 words a sentence + 11.8 syllables a word - 15.59 (Kincaid and others 1975,
// Derivation of new readability formulas for Navy enlisted personnel). A number or a unit
// counts as one syllable. A text without words has grade 0.
func Grade(text string) float64 {
	sentences, count, syllables := 0, 0, 0
	for _, part := range ends.Split(text, -1) {
		found := words.FindAllString(part, -1)
		if len(found) == 0 {
			continue
		}
		sentences++
		count += len(found)
		for _, w := range found {
			syllables += Syllables(w)
		}
	}
	if count == 0 {
		return 0
	}
	return 0.39*float64(count)/float64(sentences) + 11.8*float64(syllables)/float64(count) - 15.59
}

// Syllables counts those of a word by its vowels, which is right for nine in ten.
func Syllables(word string) int {
	if !letter.MatchString(word) {
		return 1
	}
	n := 0
	for _, part := range strings.Split(strings.ToLower(word), "-") {
		silent := strings.HasSuffix(part, "e") && !strings.HasSuffix(part, "le") ||
			strings.HasSuffix(part, "es") && !strings.HasSuffix(part, "ses") && !strings.HasSuffix(part, "ces") && !strings.HasSuffix(part, "ges") ||
			strings.HasSuffix(part, "ed") && !strings.HasSuffix(part, "ted") && !strings.HasSuffix(part, "ded")
		runs := len(vowels.FindAllString(glide.ReplaceAllString(part, "$1-"), -1))
		if silent && runs > 1 {
			runs--
		}
		n += max(1, runs)
	}
	return n
}
