package cli

import (
	"fmt"
	"printlint/internal/report/words"
	"strings"

	"github.com/spf13/pflag"
)

// manual is the page for man, written with the macros of man(7): every command with its
// flags, from the same definitions as the help texts.
func manual() string {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH PRINTLINT 1 \"\" \"printlint %s\" \"User Commands\"\n", release)
	b.WriteString(".SH NAME\nprintlint \\- check 3D\\-printable models against written rules\n")
	b.WriteString(".SH SYNOPSIS\n.B printlint\n.I COMMAND\n[\\fIFLAGS\\fR] [\\fIARGUMENTS\\fR]\n")
	b.WriteString(".SH DESCRIPTION\n" + roff("Reads models for printers that lay melted plastic down layer on layer, and says for each whether it will print as it lies, without support: where it will not, why, and what to do. The rules are YAML.") + "\n")
	b.WriteString(".SH COMMANDS\n")
	for _, c := range commands() {
		in, _ := c.prepare(Env{})
		fmt.Fprintf(&b, ".SS %s\n%s.\n", roff(strings.TrimSpace(c.name+" "+c.args)), roff(words.Capital(c.summary)))
		for _, part := range strings.Split(strings.TrimSpace(c.detail), "\n\n") {
			if part != "" {
				b.WriteString(".PP\n" + roffLines(part) + "\n")
			}
		}
		in.flags.VisitAll(func(f *pflag.Flag) { b.WriteString(roffFlag(f)) })
	}
	b.WriteString(".SH EXIT STATUS\n")
	for _, e := range exitCodes {
		fmt.Fprintf(&b, ".TP\n.B %d\n%s\n", e.code, roff(e.means))
	}
	b.WriteString(".SH FILES\n.TP\n.I " + roff(configName) + "\nThe configuration: the outermost one at or above a model holds, up to the top of its repository.\n")
	b.WriteString(".SH CAUTIONS\n" + roff("A clean report says that the shape suits the process. It says nothing about strength, heat, food, electrical or child safety.") + "\n")
	return b.String()
}

// exitCodes are what the program ends with.
var exitCodes = []struct {
	code  int
	means string
}{{0, "passed"}, {1, "findings"}, {2, "the job could not be done"}}

// roffFlag describes one flag.
func roffFlag(f *pflag.Flag) string {
	names, takes, does := flagWords(f)
	if takes != "" {
		takes = " \\fI" + roff(takes) + "\\fR"
	}
	return fmt.Sprintf(".TP\n\\fB%s\\fR%s\n%s\n", roff(names), takes, roff(does))
}

// roff writes text so that man shows it as it is, in one line.
func roff(text string) string {
	text = strings.NewReplacer("\\", "\\e", "-", "\\-").Replace(strings.Join(strings.Fields(text), " "))
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = "\\&" + text
	}
	return text
}

// roffLines is roff for a paragraph; one that is set in stays in its lines.
func roffLines(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = roff(lines[i])
	}
	if strings.HasPrefix(text, " ") {
		lines = append(append([]string{".nf"}, lines...), ".fi")
	}
	return strings.Join(lines, "\n")
}
