package cli

import (
	"fmt"
	"io"
	"strings"

	"printlint/internal/advise"
	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/lint"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// showValues writes everything that a rule can speak of, with units.
func showValues(env Env) (int, error) {
	_, err := io.WriteString(env.Stdout, words.SafeLines(valuesPage(advise.Catalog())))
	return lint.ExitClean, err
}

// folderValues are what a rule over folders can count.
func folderValues() []catalog.Value {
	return append(ruleset.WholeModel([]catalog.Measure{catalog.FolderMeasure}),
		catalog.Value{Name: "holds(\"NAME\", ...)", Doc: "files in it that match one of these names, as in holds(\"*.png\", \"*.jpg\")"},
		catalog.Value{Name: "later(\"NAME\", ...)", Doc: "models with a source of the same name that matches and was changed in a later commit, as in later(\"*.step\")"})
}

// valuesPage lists values on one page: of the whole model, at each place, and what goes with both.
func valuesPage(measures []catalog.Measure) string {
	line := func(v catalog.Value) string { return fmt.Sprintf("%-22s %-6s %s", v.Name, v.Unit.Symbol(), v.Doc) }
	whole := ruleset.WholeModel(measures)
	whole = append(whole, catalog.Value{Name: "count(NAME, CONDITION)", Doc: "how many places of the measure NAME meet a condition on their values, as in count(bridge, span > 20 mm)"})
	text := list("with per: model, of the model as a whole", whole, line)
	for _, m := range measures {
		if texts := textList("with per: model, of text, which is compared with text in quotes", &m); texts != "" {
			text += "\n" + texts
		}
		var steer []string
		for _, p := range m.Params {
			steer = append(steer, p.Name)
		}
		head := fmt.Sprintf("with measure: %s, at each place", m.Name)
		if len(steer) > 0 {
			head += " (limits that steer it: " + strings.Join(steer, ", ") + ")"
		}
		if len(m.Values) > 0 {
			text += "\n" + list(head, m.Values, line)
		}
	}
	text += "\n" + list("with per: folder, of each folder that holds models", folderValues(), line)
	text += "\n" + textList("with per: folder, of text, which is compared with text in quotes", &catalog.FolderMeasure)
	text += "\n" + list("in every rule, of the process", ruleset.Figures(), line)
	return text + "\n" + list("in every rule, besides", []string{
		"limits.NAME: a limit of the rule itself",
		"numbers with a unit: " + strings.Join(catalog.UnitWords(), ", "),
		"with per: model or per: folder, of text: NAME matches \"PATTERN\" (RE2), == and !=, in [\"ONE\", \"OTHER\"], beside(\"README*\")",
		"with per: folder, in words: {which folder.copies} and the like for the names that are counted",
		"signs: > < >= <= == != + - * / ( ) and or not true false",
		"functions: " + strings.Join(expression.Functions(), ", ") + "; angles are in deg",
	}, func(s string) string { return s })
}
