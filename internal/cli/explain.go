package cli

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"printlint/internal/advise"
	"printlint/internal/catalog"
	"printlint/internal/lint"
	"printlint/internal/pose"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

const explainDetail = `
NAME is a rule or a measure. Without one, all of them are listed. Where there is a
mistake in the configuration, you see it, and the built-in rules are explained.`

func explainCommand(in *invocation) action {
	config, machine := configFlag(in.flags), machineFlag(in.flags)
	return func(_ context.Context, args []string) (int, error) {
		c, err := loadHere(in.env, *config, "")
		if c, err = c.orBuiltIn(in.env, *config, err); err != nil {
			return 0, err
		}
		names := c.MachineNames()
		if c.Config, err = forMachine(c.Config, *machine); err != nil {
			return 0, err
		}
		text, err := explain(c.Config, args)
		if err != nil {
			return 0, err
		}
		if len(names) > 0 && len(*machine) == 0 && len(args) > 0 {
			text += machineHint("explain "+args[0], names)
		}
		_, err = io.WriteString(in.env.Stdout, words.SafeLines(text))
		return lint.ExitClean, err
	}
}

// explained are the measures, and what rules over folders see.
func explained() []catalog.Measure {
	return append(advise.Catalog(), catalog.FolderMeasure)
}

// explain teaches a name, or lists what can be explained.
func explain(config *ruleset.Config, args []string) (string, error) {
	rules, measures := config.Rules(), explained()
	if len(args) == 0 {
		return explainable(rules, measures), nil
	}
	var known []string
	for _, r := range rules {
		if r.ID == args[0] {
			return explainRule(r, measures), nil
		}
		known = append(known, r.ID)
	}
	for _, list := range [][]catalog.Measure{measures, advice} {
		for i := range list {
			if list[i].Name == args[0] {
				return explainMeasure(&list[i], rules), nil
			}
			known = append(known, list[i].Name)
		}
	}
	for _, own := range lint.OwnRules() {
		if own.ID == args[0] {
			return page(own.ID, section{"what it means", own.Because}, section{"what to do", own.Do}), nil
		}
		known = append(known, own.ID)
	}
	return "", unknown("rule or measure", args[0], known, "printlint explain")
}

// advice is what advise says, explained like measures; no rule judges it.
var advice = []catalog.Measure{pose.Definition}

func measureOf(list []catalog.Measure, name string) *catalog.Measure {
	i := slices.IndexFunc(list, func(m catalog.Measure) bool { return m.Name == name })
	return &list[i]
}

// explainable lists every rule and measure.
func explainable(rules []*ruleset.Rule, measures []catalog.Measure) string {
	named := func(m catalog.Measure) string { return fmt.Sprintf("%-24s %s", m.Name, m.Title) }
	return list("rules", rules, func(r *ruleset.Rule) string { return fmt.Sprintf("%-24s %s, over %s", r.ID, r.Level, r.Over()) }) +
		"\n" + list("measures", measures, named) + "\n" + list("advice", advice, named)
}

// section is a headed part of a page.
type section struct{ head, text string }

// page lays out an explanation; sections without text are left out.
func page(title string, sections ...section) string {
	var b strings.Builder
	b.WriteString(title + "\n")
	for _, s := range sections {
		if s.text != "" {
			fmt.Fprintf(&b, "\n%s:\n%s", s.head, wrap(s.text, "  "))
		}
	}
	return b.String()
}

func explainRule(r *ruleset.Rule, measures []catalog.Measure) string {
	_, do := r.General()
	example, _ := r.Example()
	over, doc, head := "the measure "+r.Measure, "", "values at each place"
	if r.Per != ruleset.PerPlace {
		over, head = r.Over(), "values that it speaks of"
		for i, a := range r.Asks() {
			if i > 0 {
				doc += "; "
			}
			doc += a.Measure + ", " + measureOf(measures, a.Measure).Title
		}
	} else {
		doc = measureOf(measures, r.Measure).Doc
	}
	text := page(fmt.Sprintf("%s: a rule of level %s, over %s", r.ID, r.Level, over),
		section{"what it says, for example", example},
		section{"why it matters", r.Because},
		section{"what to do", do},
		section{"what is measured", doc},
		section{sourceHead(r), r.Source},
	)
	text += "\nlimits in force:\n  find " + strings.Join(strings.Fields(r.Find), " ") + "\n"
	for _, l := range r.Limits {
		text += limitWords(l)
	}
	if len(r.YieldsTo) > 0 {
		text += "\nsilent at a place where one of these finds something of its level or a worse one:\n  " + strings.Join(r.YieldsTo, ", ") + "\n"
	}
	return text + "\n" + valueList(head, r.Sees())
}

// sourceHead is the head of a rule's source: where a limit was measured on one's own printer, the
// rule knows nothing of it.
func sourceHead(r *ruleset.Rule) string {
	for _, l := range r.Limits {
		if slices.ContainsFunc(l.Figures, func(f ruleset.Figure) bool { return f.Source != "" }) {
			return "source of the limits, but for those with one of their own below"
		}
	}
	return "source of the limits"
}

func explainMeasure(m *catalog.Measure, rules []*ruleset.Rule) string {
	kind := "a measure"
	if slices.ContainsFunc(advice, func(a catalog.Measure) bool { return a.Name == m.Name }) {
		kind = "advice"
	}
	text := page(m.Name+": "+kind+", "+m.Title, section{"what it means", m.Doc}, section{"source", m.Source})
	rules = slices.DeleteFunc(slices.Clone(rules), func(r *ruleset.Rule) bool {
		return !slices.ContainsFunc(r.Asks(), func(a ruleset.Ask) bool { return a.Measure == m.Name })
	})
	for _, list := range []string{
		valueList("values at each place", m.Values),
		valueList(wholeHead(m), m.Model),
		textList("texts, to compare with text in quotes", m),
		list("set by the rule's limits", m.Params, func(p catalog.Param) string {
			return fmt.Sprintf("%-12s %-6s %s (%s without a limit)", p.Name, p.Unit.Symbol(), p.Doc, catalog.FormatLimit(p.Default, p.Unit))
		}),
		list("rules over it", rules, func(r *ruleset.Rule) string { return fmt.Sprintf("%s (%s)", r.ID, r.Level) }),
	} {
		if list != "" {
			text += "\n" + list
		}
	}
	return text
}

// wholeHead stands above the values of a model, or of a folder.
func wholeHead(m *catalog.Measure) string {
	if m.Name == catalog.FolderMeasure.Name {
		return "values of the folder"
	}
	return "values of the whole model"
}

// textList lists the texts of a measure.
func textList(head string, m *catalog.Measure) string {
	return list(head, m.Texts, func(t catalog.Text) string { return fmt.Sprintf("%-22s %-6s %s", m.Name+"."+t.Name, "", t.Doc) })
}

func valueList(head string, values []catalog.Value) string {
	return list(head, values, func(v catalog.Value) string { return fmt.Sprintf("%-12s %-6s %s", v.Name, v.Unit.Symbol(), v.Doc) })
}

// list is a headed list, a line each; empty where there is nothing to list.
func list[T any](head string, of []T, line func(T) string) string {
	if len(of) == 0 {
		return ""
	}
	text := head + ":\n"
	for _, x := range of {
		text += "  " + line(x) + "\n"
	}
	return text
}
