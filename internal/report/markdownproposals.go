package report

import (
	"fmt"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// proposals are what can be done with a model besides what the words of the advice say: the
// choices with what each costs, what could be added, and what to mind. A few lines.
func proposals(a *finding.Advice) string {
	if a == nil {
		return ""
	}
	var b strings.Builder
	if e := a.Edits; e != nil {
		fmt.Fprintf(&b, "\n**Or change the model:** %s\n", markdownText(e.Words))
	}
	if len(a.Choices) > 0 {
		b.WriteString("\n| what can be done, the best first | errors left | plastic and time | rough | seams | by hand |\n|---|--:|---|--:|--:|---|\n")
	}
	for i := range a.Choices {
		c := &a.Choices[i]
		fmt.Fprintf(&b, "| %s | %d | %s | %s | %d | %s |\n", markdownText(words.Choice(c)), c.Errors, catalog.About(c.Grams, c.Minutes),
			catalog.Format(c.Rough, catalog.MM2), c.Seams, markdownText(words.ByHand(c)))
	}
	var mind []string
	for _, caution := range words.Cautions(a) {
		mind = append(mind, markdownText(words.Capital(caution))+".")
	}
	if len(mind) > 0 {
		b.WriteString("\n**Mind:** " + strings.Join(mind, " ") + "\n")
	}
	return b.String()
}
