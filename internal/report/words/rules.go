package words

import (
	"fmt"

	"printlint/internal/finding"
)

// Rules says in one line by which rules a run went.
func Rules(r *finding.RuleSet) string {
	of := ""
	if r.From != "" {
		of = fmt.Sprintf(" of commit %.12s", r.From)
	}
	if r.Config == "" {
		return "rules: the built-in set standard; no .printlint.yml at or above the models" + of
	}
	return "rules: " + Safe(r.Config) + of
}
