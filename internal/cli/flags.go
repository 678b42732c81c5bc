package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/lint"
	"printlint/internal/near"
)

// invocation is one command being run: its flags and its environment.
type invocation struct {
	command *command
	flags   *pflag.FlagSet
	env     Env
	wanted  *bool // the help text is asked for
}

// prepare makes the flags of a command ready to be parsed or described.
func (c *command) prepare(env Env) (*invocation, action) {
	in := &invocation{command: c, env: env, flags: pflag.NewFlagSet(c.name, pflag.ContinueOnError)}
	in.flags.SortFlags = false
	in.flags.SetOutput(io.Discard)
	in.flags.Usage = func() {}
	do := c.run(in)
	in.wanted = in.flags.BoolP("help", "h", false, "show this text")
	return in, do
}

// invoke parses the flags and runs the command.
func (c *command) invoke(ctx context.Context, args []string, env Env) (int, error) {
	in, do := c.prepare(env)
	if err := noFiles(args); err != nil {
		return 0, err
	}
	if err := in.flags.Parse(args); err != nil {
		return 0, in.badFlag(err)
	}
	if *in.wanted {
		_, err := io.WriteString(env.Stdout, in.usage())
		return lint.ExitClean, err
	}
	if err := in.noBlanks(); err != nil {
		return 0, err
	}
	args = in.flags.Args()
	if n := len(args); n < c.takes.least || n > c.takes.most {
		return 0, &hinted{fmt.Errorf("%s %s", c.name, c.takes.words), "see: printlint help " + c.name}
	}
	return do(ctx, args)
}

// noFiles refuses a flag that is a file's name as well. A hook puts the names of files,
// which a stranger may have chosen, behind the flags that its owner wrote; a file called
// --config=relaxed.stl must not become one of them.
func noFiles(args []string) error {
	for _, a := range args {
		if a == "--" {
			return nil
		}
		if !strings.HasPrefix(a, "-") {
			continue
		}
		if _, err := os.Lstat(a); err == nil {
			return &hinted{fmt.Errorf("%q is a flag and the name of a file at once", a), "put -- before the names of files, or rename it"}
		}
	}
	return nil
}

// errBlank ends the complaint about a flag or a path that was given and is empty.
var errBlank = errors.New("an empty value; was a variable not set?")

// noBlanks refuses a flag or a path that was given and is empty: nearly always a variable
// that was not set, and a gate must not open for that.
func (in *invocation) noBlanks() (err error) {
	in.flags.Visit(func(f *pflag.Flag) {
		values := []string{f.Value.String()}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			values = list.GetSlice()
		}
		for _, v := range values {
			if err == nil && strings.TrimSpace(v) == "" {
				err = fmt.Errorf("--%s has %w", f.Name, errBlank)
			}
		}
	})
	for _, a := range in.flags.Args() {
		if err == nil && strings.TrimSpace(a) == "" {
			err = fmt.Errorf("a path has %w", errBlank)
		}
	}
	return err
}

// badFlag words what was wrong with the flags.
func (in *invocation) badFlag(err error) error {
	see := "printlint help " + in.command.name
	var missing *pflag.NotExistError
	if !errors.As(err, &missing) {
		return &hinted{err, "see: " + see}
	}
	word := "-" + missing.GetSpecifiedName()
	if missing.GetSpecifiedShortnames() == "" {
		word = "-" + word
	}
	var known []string
	in.flags.VisitAll(func(f *pflag.Flag) { known = append(known, "--"+f.Name) })
	return unknown("flag", word, known, see)
}

// bytesValue is a flag that takes a size in bytes, such as 2GiB.
type bytesValue int64

// sizeUnits are the units of a size, longest first so that none hides another.
var sizeUnits = []struct {
	name  string
	bytes int64
}{{"KiB", 1 << 10}, {"MiB", 1 << 20}, {"GiB", 1 << 30}, {"kB", 1e3}, {"MB", 1e6}, {"GB", 1e9}, {"B", 1}}

// Set parses a size.
func (b *bytesValue) Set(s string) error {
	for _, u := range sizeUnits {
		if number, ok := strings.CutSuffix(s, u.name); ok {
			n, err := strconv.ParseInt(strings.TrimSpace(number), 10, 64)
			if err != nil || n <= 0 || n > (1<<62)/u.bytes {
				break
			}
			*b = bytesValue(n * u.bytes)
			return nil
		}
	}
	return errors.New("a size is a whole number with its unit, such as 512MiB or 2GiB")
}

// String writes a size in the largest unit that divides it.
func (b *bytesValue) String() string {
	for _, u := range []int{2, 1, 0} {
		if n := int64(*b); n >= sizeUnits[u].bytes && n%sizeUnits[u].bytes == 0 {
			return fmt.Sprintf("%d%s", n/sizeUnits[u].bytes, sizeUnits[u].name)
		}
	}
	return fmt.Sprintf("%dB", int64(*b))
}

// Type names the value in a help text.
func (b *bytesValue) Type() string { return "SIZE" }

// choice is a flag that takes one of a few words.
type choice struct {
	word  string
	words []string
}

// Set takes one of the words.
func (c *choice) Set(s string) error {
	if slices.Contains(c.words, s) {
		c.word = s
		return nil
	}
	if strings.TrimSpace(s) == "" {
		return errBlank
	}
	if near := near.Nearest(s, c.words); near != "" {
		return fmt.Errorf("did you mean %s?", near)
	}
	return fmt.Errorf("it is one of %s", strings.Join(c.words, ", "))
}

// String returns the chosen word.
func (c *choice) String() string { return c.word }

// Type names the value in a help text.
func (c *choice) Type() string { return strings.Join(c.words, "|") }
