package reading

import "regexp"

// unwelcome are words that beginners do not know, or do not know in this sense, and turns of
// phrase that need a second look. docs/words.md says what to write instead.
var unwelcome = regexp.MustCompile(`(?i)\b(carriers?|strands?|frail|hardly meant|(is|are) (not )?told|pass(es)? (it |them )?over|takes? \w+( \w+)* along|patch(es)?|lean(s|ed|ing)? \d|from one \w+ to the next, more than|soup|lie of the|yields? to|a site|sites|the vertical|hanging cells?|utili[sz]e|whilst|thereof|herein|hence)\b|\{\{|\}\}|\bmm[23]\b|\d deg\b`)

// Unwelcome is the first word of a text that messages and pages do without, or "".
func Unwelcome(text string) string { return unwelcome.FindString(text) }
