package words

import (
	"slices"
	"strings"
	"unicode"
)

// Subject is what a message is about: the words before its first number, as "bridge" is of
// "bridge of 34 mm over air". Where these say too little, it is what follows behind a comma,
// or else the first clause.
func Subject(message string) string {
	clause := message
	if end := strings.IndexAny(clause, ";:?("); end >= 0 {
		clause = clause[:end]
	}
	clause = strings.TrimSpace(clause)
	if about := beforeNumber(clause); !slices.Contains(vague, about) {
		return about
	}
	if _, rest, found := strings.Cut(clause, ", "); found && !strings.HasPrefix(rest, "which ") {
		if about := beforeNumber(rest); !slices.Contains(vague, about) {
			return about
		}
	}
	return clause
}

// beforeNumber is the words before the first number or comma, without those that only lead to it.
func beforeNumber(clause string) string {
	var about []string
	for _, word := range strings.Fields(clause) {
		if strings.IndexFunc(word, unicode.IsDigit) >= 0 {
			break
		}
		about = append(about, strings.TrimSuffix(word, ","))
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
	return strings.Join(about, " ")
}

// vague are beginnings that say nothing by themselves.
var vague = []string{"", "model", "stands", "it", "is", "body", "part", "surface"}

// connecting are words that lead to a number and say nothing without it.
var connecting = []string{"of", "at", "is", "only", "by", "once", "it", "to", "when", "pushed", "under", "with", "for", "in", "than", "are", "up", "about"}
