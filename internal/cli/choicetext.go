package cli

import (
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// choicesText writes what can be done as a table, the best first.
func choicesText(w io.Writer, list []finding.Choice) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(w, "  what can be done, the best first; grams, minutes and rough faces with support:")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "     errors left\tgrams\tminutes\trough\tseams\twhat\tby hand")
	for i := range list {
		c := &list[i]
		fmt.Fprintf(t, "     %d\t%.1f\t%s\t%s\t%d\t%s\t%s\n",
			c.Errors, c.Grams, strconv.FormatFloat(c.Minutes, 'f', 0, 64), catalog.Format(c.Rough, catalog.MM2), c.Seams, words.Choice(c), words.ByHand(c))
	}
	t.Flush()
}
