package cli

import (
	"context"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/advise"
	"printlint/internal/lint"
	"printlint/internal/ruleset"
)

const completionDetail = `
Prints a script with which a shell completes commands, flags and their words. SHELL is
bash, zsh, fish or powershell. Save it where your shell looks for such scripts:

  printlint completion bash >~/.local/share/bash-completion/completions/printlint
  printlint completion zsh >"${fpath[1]}/_printlint"
  printlint completion fish >~/.config/fish/completions/printlint.fish
  printlint completion powershell >>$PROFILE`

// shells are the scripts that can be printed.
var shells = []struct {
	name  string
	write func([]completed) string
}{{"bash", bashScript}, {"zsh", zshScript}, {"fish", fishScript}, {"powershell", powershellScript}}

func shellNames() (names []string) {
	for _, s := range shells {
		names = append(names, s.name)
	}
	return names
}

func completionCommand(in *invocation) action {
	return func(_ context.Context, args []string) (int, error) {
		for _, s := range shells {
			if s.name == args[0] {
				_, err := io.WriteString(in.env.Stdout, s.write(completions()))
				return lint.ExitClean, err
			}
		}
		return 0, unknown("shell", args[0], shellNames(), "printlint help completion")
	}
}

// completed is a command as shells complete it.
type completed struct {
	name, summary string
	flags         []completedFlag
	words         []string // that an argument may be; none where it is a file
}

// completedFlag is a flag likewise.
type completedFlag struct {
	name, short string
	does        string
	value       bool     // it takes one
	words       []string // that the value may be; none where it is a file or anything
}

// completions are the commands with all that can be completed, from the definitions that
// the help texts come from.
func completions() (list []completed) {
	for _, c := range commands() {
		in, _ := c.prepare(Env{})
		one := completed{name: c.name, summary: c.summary, words: argumentWords(&c)}
		in.flags.VisitAll(func(f *pflag.Flag) {
			_, does := pflag.UnquoteUsage(f)
			flag := completedFlag{name: f.Name, short: f.Shorthand, does: does, value: f.Value.Type() != "bool"}
			if c, ok := f.Value.(*choice); ok {
				flag.words = c.words
			}
			one.flags = append(one.flags, flag)
		})
		list = append(list, one)
	}
	return list
}

// argumentWords are the words that a command takes for its argument; none where it takes files.
func argumentWords(c *command) []string {
	switch c.args {
	case "[COMMAND]":
		var names []string
		for _, c := range commands() {
			names = append(names, c.name)
		}
		return names
	case "SHELL":
		return shellNames()
	case "[NAME]":
		return explainedNames(c.name == "explain")
	}
	return nil
}

// explainedNames are the built-in rules and, if asked for, the measures.
func explainedNames(measures bool) (names []string) {
	config, err := ruleset.Load("", ruleset.Options{Catalog: advise.Catalog()})
	if err != nil {
		panic("cli: the built-in rules cannot be read: " + err.Error())
	}
	for _, r := range config.Rules() {
		names = append(names, r.ID)
	}
	if measures {
		for _, m := range append(explained(), advice...) {
			names = append(names, m.Name)
		}
	}
	return names
}

// quoted puts text in single quotes, with the way in which a shell writes one of them.
func quoted(text, quote string) string {
	return "'" + strings.ReplaceAll(text, "'", quote) + "'"
}
