package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/lint"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

const rulesDetail = `
Shows each rule with its level, its condition and its limits, and for each limit
the file, line and column that gave it its present value. With a NAME, only that
rule; with --for, as the rules hold for one model. --show prints a built-in set as
it is written: a start for a set of your own. --values lists everything that a rule of
your own can look at, with its unit.

Exit code: 0, or 2 when there is a mistake in the configuration; the built-in rules
are shown then.`

func rulesCommand(in *invocation) action {
	config := configFlag(in.flags)
	machine := machineFlag(in.flags)
	model := in.flags.String("for", "", "show what holds for the model at `PATH`, with the places that speak of it")
	set := choice{words: ruleset.SetNames()}
	in.flags.Var(&set, "show", "print this built-in set as it is written")
	values := in.flags.Bool("values", false, "list everything that a rule can look at, with its unit")
	return func(_ context.Context, args []string) (int, error) {
		beside := len(args) > 0 || *config != "" || *model != "" || len(*machine) > 0
		switch {
		case *values && (beside || set.word != ""):
			return 0, errors.New("--values lists what any rule can look at; it goes with no NAME and with no other flag")
		case *values:
			return showValues(in.env)
		case set.word == "":
			return showRules(in.env, *config, *machine, *model, args)
		case beside:
			return 0, errors.New("--show prints a built-in set whole; it goes with no NAME and with none of --config, --machine and --for")
		}
		_, err := in.env.Stdout.Write(ruleset.SetText(set.word))
		return lint.ExitClean, err
	}
}

// showRules writes the rules in force, and the built-in ones where these cannot be read.
func showRules(env Env, configFile string, machine []string, model string, names []string) (code int, err error) {
	config, err := loadHere(env, configFile, model)
	var mistakes *listed
	if model == "" && errors.As(err, &mistakes) && mistakes.problems.List[0].Line > 0 { // the built-in rules say nothing of what holds for a model
		config, err = config.orBuiltIn(env, configFile, err)
	}
	if err != nil {
		return 0, err
	}
	if config.broken {
		code = lint.ExitTrouble
	}
	machines, err := chosenMachines(config.Config, machine)
	if err != nil {
		return 0, err
	}
	if config.Config, err = forMachine(config.Config, machine); err != nil {
		return 0, err
	}
	process, list := config.Process, config.Rules()
	if model != "" {
		view := config.For(collection.Relative(config.root, model))
		process, list = view.Process, view.Rules
	}
	if len(names) > 0 {
		rule, err := ruleNamed(list, names[0])
		if err != nil {
			return 0, err
		}
		list = []*ruleset.Rule{rule}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "sets: %s\nprocess: %s\n", strings.Join(config.Sets, ", "), processWords(process))
	for _, m := range machines {
		fmt.Fprintf(&b, "machine %s: %s  (%s)\n", m.Name, processWords(m.Process), m.Path)
	}
	for _, r := range list {
		b.WriteString("\n" + ruleWords(r))
	}
	if len(machines) > 0 && len(machine) == 0 {
		b.WriteString(machineHint(strings.Join(append([]string{"rules"}, names...), " "), config.MachineNames()))
	}
	_, err = io.WriteString(env.Stdout, words.SafeLines(b.String()))
	return code, err
}

func ruleNamed(list []*ruleset.Rule, name string) (*ruleset.Rule, error) {
	var names []string
	for _, r := range list {
		if r.ID == name {
			return r, nil
		}
		names = append(names, r.ID)
	}
	return nil, unknown("rule", name, names, "printlint rules")
}

// processWords describes what the models will be printed with.
func processWords(p catalog.Process) string {
	mm := func(x float64) string { return catalog.FormatLimit(x, catalog.MM) }
	words := []string{}
	if p.Material != "" {
		words = append(words, p.Material)
	}
	words = append(words, "nozzle "+mm(p.Nozzle), "line "+mm(p.Line), "layer "+mm(p.Layer),
		"bridge "+mm(p.Bridge), fmt.Sprintf("bed %s x %s x %s", mm(p.Bed[0]), mm(p.Bed[1]), mm(p.Bed[2])))
	return strings.Join(words, ", ")
}

// ruleWords describes one rule: what it looks at, and where that was said.
func ruleWords(r *ruleset.Rule) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, over %s%s\n", r.ID, r.Level, r.Over(), from(r, "level"))
	fmt.Fprintf(&b, "  find %s%s\n", strings.Join(strings.Fields(r.Find), " "), from(r, "find"))
	for _, l := range r.Limits {
		b.WriteString(limitWords(l))
	}
	if len(r.YieldsTo) > 0 {
		fmt.Fprintf(&b, "  yields to %s%s\n", strings.Join(r.YieldsTo, ", "), from(r, "yields-to"))
	}
	return b.String()
}

// limitWords describes one limit, with the expression it was computed from, and below it what
// the process says of the printer in it, with its source.
func limitWords(l ruleset.Limit) string {
	value := writtenAs(l.Value, l.Unit, l.Text)
	place := l.From.String()
	for _, other := range l.Follows {
		if other.File != l.From.File { // in the same file the name says enough
			place += fmt.Sprintf(", set in %s", other.Position)
		}
	}
	text := fmt.Sprintf("  limit %s: %s  (%s)\n", l.Name, value, place)
	for _, f := range l.Figures {
		text += fmt.Sprintf("    %s: %s  (%s)\n", f.Name, writtenAs(f.Value, f.Unit, f.Text), f.From)
		if f.Source != "" {
			text += wrap(f.Source, "      ")
		}
	}
	return text
}

// writtenAs is a value, and how it was written where that says more.
func writtenAs(value float64, unit catalog.Unit, text string) string {
	shown := catalog.FormatLimit(value, unit)
	if text == "" || sameAs(text, shown) {
		return shown
	}
	return shown + " = " + text
}

// sameAs says whether a quantity is written as it is shown, or with other signs for its unit.
func sameAs(text, shown string) bool {
	value, unit, err := catalog.ParseQuantity(text)
	return err == nil && catalog.FormatLimit(value, unit) == shown && (strings.HasSuffix(text, string(unit)) || strings.HasSuffix(text, unit.Symbol()))
}

// from names the place that gave a field its present value.
func from(r *ruleset.Rule, field string) string {
	i := slices.IndexFunc(r.Origins, func(o ruleset.Origin) bool { return o.Field == field })
	if i < 0 {
		return ""
	}
	return "  (" + r.Origins[i].Position.String() + ")"
}
