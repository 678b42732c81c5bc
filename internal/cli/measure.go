package cli

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
	"printlint/internal/report/words"
)

const measureDetail = `
Shows the values of every measure, of the whole model and of each place where it
was taken, as they are before any rule judges them: to see how near a model is to
a limit, or to write a rule. Only the process and the unit of the configuration
count. Exit code: 0, or 2 when a model cannot be read, or not be measured whole.`

// MeasureFormat names the version of the JSON that measure writes.
const MeasureFormat = "printlint-measures/1"

// measureDepth breaks the JSON into lines down to one place a line.
const measureDepth = 6

func measureCommand(in *invocation) action {
	config, machine := configFlag(in.flags), machineFlag(in.flags)
	format := choice{word: "text", words: []string{"text", "json"}}
	in.flags.Var(&format, "format", "how to write the measures")
	cost := newCostFlags(in.flags)
	return func(ctx context.Context, args []string) (int, error) {
		opt, err := cost.options()
		if err != nil {
			return 0, err
		}
		l, files, err := loadModels(in.env, *config, args, true)
		if err != nil {
			return 0, err
		}
		on, err := forMachine(l.Config, *machine)
		if err != nil {
			return 0, err
		}
		if names := l.MachineNames(); len(names) > 0 && len(*machine) == 0 {
			in.env.say("bed, line and layer are those of none of the machines; for one: --machine NAME (" + words.Safe(strings.Join(names, ", ")) + ")")
		}
		models, err := lint.Measure(ctx, files, on, opt)
		if err != nil {
			return 0, interrupted(err)
		}
		return measureExit(models), in.env.print(func(w *bytes.Buffer) error {
			if format.word == "json" {
				return report.WriteJSON(w, measuresJSON(models), measureDepth)
			}
			for i := range models {
				measureText(w, &models[i])
			}
			return nil
		})
	}
}

func measureExit(models []lint.Measured) int {
	for i := range models {
		if models[i].Unjudged() {
			return lint.ExitTrouble
		}
	}
	return lint.ExitClean
}

// measureText writes one model for people.
func measureText(b *bytes.Buffer, m *lint.Measured) {
	name := nameOf(&m.Model)
	switch {
	case m.Status == finding.Skipped:
		fmt.Fprintf(b, "%s: skipped: %s\n", name, words.Safe(m.Reason))
		return
	case m.Unjudged():
		fmt.Fprintf(b, "%s: error: %s\n", words.Place(m.Path, m.Line, 0), words.Unjudged(&m.Model))
	}
	if len(m.Readings) == 0 {
		return
	}
	fmt.Fprintf(b, "%s: %d triangles\n", name, m.Triangles)
	for _, n := range m.Notes {
		fmt.Fprintf(b, "  note: %s\n", words.Safe(n))
	}
	for _, t := range m.Readings {
		fmt.Fprintf(b, "  %s: %s\n", t.Measure, readingWords(&t))
		for _, s := range t.Sites {
			fmt.Fprintf(b, "    at (%s): %s\n", words.Point(s.At), valueWords(s.Values))
		}
	}
}

// readingWords sums up one measure.
func readingWords(t *lint.Reading) string {
	var words []string
	if t.Undecided != "" {
		words = append(words, "undecided: "+t.Undecided)
	}
	if len(t.Model) > 0 {
		words = append(words, valueWords(t.Model))
	}
	if len(words) == 0 && len(t.Sites) == 0 {
		return "nothing found"
	}
	return strings.Join(words, "; ")
}

func valueWords(values finding.Values) string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = v.Name + " " + catalog.Format(v.Value, catalog.Unit(v.Unit))
	}
	return strings.Join(words, ", ")
}
