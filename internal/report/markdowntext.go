package report

import (
	"fmt"
	"regexp"
	"strings"

	"printlint/internal/report/words"
)

// markdownText makes text from elsewhere fit for Markdown: on one line, and every
// character that Markdown or HTML give a meaning written as a character reference,
// so that nothing in it becomes a tag, a link, a mention, a cell of its own or a
// code span. References are text to every reader of CommonMark (2.5), in tables too.
func markdownText(s string) string {
	var b strings.Builder
	for _, r := range words.Safe(s) {
		if strings.ContainsRune(markup, r) {
			fmt.Fprintf(&b, "&#%d;", r)
		} else {
			b.WriteRune(r)
		}
	}
	return autolinks.ReplaceAllStringFunc(b.String(), func(link string) string {
		last := len(link) - 1
		return fmt.Sprintf("%s&#%d;", link[:last], link[last])
	})
}

// markup is what Markdown gives a meaning within a line. What means something only at
// the beginning of one is left: text never stands there.
const markup = "\\`*_[]<>&|~$#@"

// autolinks are the beginnings of what becomes a link by itself.
var autolinks = regexp.MustCompile(`(?i)(https?|ftp|mailto|xmpp):|www\.`)

// code writes a name in the font of code. A code span would take character references
// literally, so it is an element.
func code(s string) string { return "<code>" + markdownText(s) + "</code>" }
