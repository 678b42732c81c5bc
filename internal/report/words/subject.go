package words

import (
	"slices"
	"strings"
	"unicode"
)

// Subject is what a message is about: the words before its first number, as "bridge" is of
// "bridge of 34 mm over air". Where these say too little, it is the first clause.
func Subject(message string) string {
	clause := message
	if end := strings.IndexAny(clause, ";:?("); end >= 0 {
		clause = clause[:end]
	}
	clause = strings.TrimSpace(clause)
	var about []string
	for _, word := range strings.Fields(clause) {
		if strings.IndexFunc(word, unicode.IsDigit) >= 0 {
			break
		}
		about = append(about, word)
		if strings.HasSuffix(word, ",") {
			break
		}
	}
	if last := len(about) - 1; last >= 0 && about[last] == "over" {
		about = about[:last] // "open over 3 mm"; what "tips over" keeps it
	}
	for len(about) > 0 && slices.Contains(connecting, about[len(about)-1]) {
		about = about[:len(about)-1]
	}
	text := strings.TrimSuffix(strings.Join(about, " "), ",")
	if text == "" || text == "model" {
		return clause
	}
	return text
}

// connecting are words that lead to a number and say nothing without it.
var connecting = []string{"of", "at", "is", "only", "by", "once", "it", "to", "when", "pushed", "under", "with", "for", "in", "than", "are", "up", "about"}
