package words

import (
	"strings"

	"printlint/internal/finding"
)

// Choice says what one row of what can be done is.
func Choice(c *finding.Choice) string {
	words := map[string]string{
		"as-it-lies": "print it as it lies", "turn": "turn it", "flat": "cut a flat to stand on", "pieces": "cut it in pieces", "edit": "change the model",
	}[c.Kind]
	if c.Words != "" {
		words = Safe(c.Words)
	}
	if c.Support {
		words += ", with support"
	}
	return words
}

// ByHand lists the work by hand of a choice.
func ByHand(c *finding.Choice) string {
	if len(c.Work) == 0 {
		return "nothing"
	}
	return strings.Join(c.Work, ", ")
}

// Cautions are what to mind before the shape is changed as it is advised.
func Cautions(a *finding.Advice) (list []string) {
	if a.Cut != nil {
		list = append(list, Safe(a.Cut.Caution))
	}
	if a.Split != nil {
		list = append(list, Safe(a.Split.Caution))
	}
	if a.Edits != nil {
		list = append(list, Safe(a.Edits.Caution))
	}
	return list
}
