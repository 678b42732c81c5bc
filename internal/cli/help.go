package cli

import (
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
	fmt.Fprintf(&b, "  %-22s %s\n", "help [COMMAND]", "show this text, or that of a command")
	b.WriteString("\nexit codes: 0 passed, 1 findings, 2 the job could not be done\n")
	return b.String()
}

// help writes the overview or the help text of one command.
func help(args []string, env Env) (int, error) {
	if len(args) == 0 || args[0] == "help" {
		_, err := io.WriteString(env.Stdout, overview())
		return lint.ExitClean, err
	}
	c, err := commandNamed(args[0])
	if err != nil {
		return 0, err
	}
	in, _ := c.prepare(env)
	return in.help()
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
	takes, does := pflag.UnquoteUsage(f)
	names := "    --" + f.Name
	if f.Shorthand != "" {
		names = "-" + f.Shorthand + ", --" + f.Name
	}
	switch f.Value.Type() {
	case "bool":
	case "int":
		names += " N"
	case "duration":
		names += " TIME"
	default:
		names += " " + takes
	}
	if d := f.DefValue; d != "" && d != "false" && d != "[]" {
		does += " (" + d + ")"
	}
	return "  " + names + "\n" + wrap(does, "        ")
}

// help writes the help text of a command.
func (in *invocation) help() (int, error) {
	_, err := io.WriteString(in.env.Stdout, in.usage())
	return lint.ExitClean, err
}
