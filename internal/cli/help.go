package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/lint"
)

// overview lists the commands.
func overview() string {
	var b strings.Builder
	b.WriteString("printlint checks 3D-printable models against written rules: will they print as they lie, without support?\n\n")
	b.WriteString("usage: printlint COMMAND [FLAGS] [ARGUMENTS]\n\ncommands:\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-22s %s\n", strings.TrimSpace(c.name+" "+c.args), c.summary)
	}
	var codes []string
	for _, e := range exitCodes {
		codes = append(codes, fmt.Sprintf("%d %s", e.code, e.means))
	}
	b.WriteString("\nto begin: printlint check model.stl, with the name of your model\n")
	b.WriteString("\nexit codes: " + strings.Join(codes, ", ") + "\n")
	return b.String()
}

// helpCommand shows the overview, the help text of one command, or the manual page.
func helpCommand(in *invocation) action {
	man := in.flags.Bool("man", false, "print the manual page, as man shows it: printlint help --man | man -l -")
	return func(_ context.Context, args []string) (int, error) {
		text := overview()
		switch {
		case *man && len(args) > 0:
			return 0, errors.New("--man prints one page about all commands; name none")
		case *man:
			text = manual()
		case len(args) > 0:
			c, err := commandNamed(args[0])
			if err != nil {
				return 0, err
			}
			of, _ := c.prepare(in.env)
			text = of.usage()
		}
		_, err := io.WriteString(in.env.Stdout, text)
		return lint.ExitClean, err
	}
}

// usage is the help text of one command.
func (in *invocation) usage() string {
	var b strings.Builder
	c := in.command
	fmt.Fprintf(&b, "usage: %s\n\n%s\n", strings.TrimSpace("printlint "+c.name+" [FLAGS] "+c.args), c.summary)
	if c.detail != "" {
		fmt.Fprintf(&b, "\n%s\n", strings.TrimSpace(c.detail))
	}
	b.WriteString("\nflags:\n")
	in.flags.VisitAll(func(f *pflag.Flag) { b.WriteString(flagUsage(f)) })
	return b.String()
}

// flagUsage describes one flag: its names, what it takes, what it does.
func flagUsage(f *pflag.Flag) string {
	names, takes, does := flagWords(f)
	if f.Shorthand == "" {
		names = "    " + names
	}
	return strings.TrimRight("  "+names+" "+takes, " ") + "\n" + wrap(does, "        ")
}

// flagWords are a flag's names, the word for what it takes, and what it does.
func flagWords(f *pflag.Flag) (names, takes, does string) {
	takes, does = pflag.UnquoteUsage(f)
	names = "--" + f.Name
	if f.Shorthand != "" {
		names = "-" + f.Shorthand + ", " + names
	}
	switch f.Value.Type() {
	case "bool":
		takes = ""
	case "int":
		takes = "N"
	case "duration":
		takes = "TIME"
	}
	if d := f.DefValue; d != "" && d != "false" && d != "[]" {
		does += " (" + d + ")"
	}
	return names, takes, does
}
