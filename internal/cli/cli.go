// Package cli is the command line: it reads flags, finds the configuration, calls
// the engine and decides the exit code. It judges nothing itself.
package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"syscall"

	"golang.org/x/term"

	"printlint/internal/advise"
	"printlint/internal/lint"
	"printlint/internal/meshfile"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// Env is the environment of a command: what it reads from and writes to, and what it may know of it.
type Env struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	// Colour says that standard output shows ANSI colours.
	Colour bool
	// Progress says that standard error is a terminal somebody watches.
	Progress bool
	// Cache is the folder in which results are kept unless a flag says otherwise; empty
	// keeps none.
	Cache string
}

// warn tells of what could not be respected, and does not matter enough to stop.
func (e Env) warn(text string) {
	fmt.Fprintln(e.Stderr, "printlint: warning:", words.Safe(text))
}

// say tells of the run itself, where nobody takes it for a result.
func (e Env) say(text string) {
	fmt.Fprintln(e.Stderr, "printlint:", words.Safe(text))
}

// print writes to standard output, once all of it is there.
func (e Env) print(write func(*bytes.Buffer) error) error {
	var out bytes.Buffer
	if err := write(&out); err != nil {
		return err
	}
	_, err := e.Stdout.Write(out.Bytes())
	return err
}

// System is the environment of the process.
func System() Env {
	dull := os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb"
	return Env{
		Stdin:    os.Stdin,
		Stdout:   os.Stdout,
		Stderr:   os.Stderr,
		Colour:   !dull && term.IsTerminal(int(os.Stdout.Fd())),
		Progress: term.IsTerminal(int(os.Stderr.Fd())),
		Cache:    cacheFolder(),
	}
}

// command is one word after the program's name.
type command struct {
	name    string
	args    string // what follows the flags, for the help text
	takes   takes
	summary string
	detail  string
	// run prepares the flags and returns what to do once they are parsed.
	run func(*invocation) action
}

// takes is how many arguments a command takes, and how it complains of others.
type takes struct {
	least, most int
	words       string
}

var (
	noArguments = takes{0, 0, "takes no arguments"}
	oneName     = takes{0, 1, "takes one NAME"}
	oneFolder   = takes{0, 1, "takes one FOLDER"}
	oneShell    = takes{1, 1, "takes one SHELL: bash, zsh, fish or powershell"}
	oneCommand  = takes{0, 1, "takes one COMMAND"}
	oneModel    = takes{1, 1, "takes one MODEL"}
	twoModels   = takes{2, 2, "takes two models, A and B"}
	someModels  = takes{1, math.MaxInt, "needs a model"}
	someReports = takes{1, math.MaxInt, "needs the JSON reports of the shares"}
	anyPaths    = takes{0, math.MaxInt, ""}
)

// action does a command's work and returns the exit code.
type action func(ctx context.Context, args []string) (int, error)

// commands is every command, in the order of the help text.
func commands() []command {
	return []command{
		{"check", "[PATH ...]", anyPaths, "judge models by the rules: the gate", checkDetail, checkCommand},
		{"advise", "MODEL ...", someModels, "look for ways up that print, and plan support", adviseDetail, adviseCommand},
		{"turn", "MODEL ...", someModels, "turn models that only lie the wrong way, in their own files", turnDetail, turnCommand},
		{"draw", "MODEL --out FILE", oneModel, "draw a model with its findings, or one of its layers", drawDetail, drawCommand},
		{"measure", "MODEL ...", someModels, "show every measure of a model, without judgement", measureDetail, measureCommand},
		{"compare", "A B", twoModels, "say what became of model A in model B: shape, figures, findings", compareDetail, compareCommand},
		{"rules", "[NAME]", oneName, "show the rules in force and where each limit comes from", rulesDetail, rulesCommand},
		{"explain", "[NAME]", oneName, "teach what a rule or a measure means", explainDetail, explainCommand},
		{"init", "[FOLDER]", oneFolder, "write a small configuration for the models in a folder", initDetail, initCommand},
		{"coupon", "--out PATH", noArguments, "make test pieces for your printer, and limits from what came out", couponDetail, couponCommand},
		{"merge", "REPORT.json ...", someReports, "join the reports of all shares of a run", mergeDetail, mergeCommand},
		{"schema", "", noArguments, "print the JSON Schema of the configuration, for editors", "", schemaCommand},
		{"completion", "SHELL", oneShell, "print what lets a shell complete commands and flags", completionDetail, completionCommand},
		{"version", "", noArguments, "print the version", "", versionCommand},
		{"help", "[COMMAND]", oneCommand, "show this text, or that of a command", "", helpCommand},
	}
}

// Run runs one command line and returns the exit code.
func Run(ctx context.Context, args []string, env Env) int {
	code, err := dispatch(ctx, args, env)
	if err == nil || errors.Is(err, syscall.EPIPE) {
		return code
	}
	fmt.Fprintln(env.Stderr, complaint(err))
	return lint.ExitTrouble
}

// dispatch finds the command and runs it.
func dispatch(ctx context.Context, args []string, env Env) (int, error) {
	if len(args) == 0 {
		fmt.Fprint(env.Stderr, overview())
		return lint.ExitTrouble, nil
	}
	switch args[0] {
	case "-h", "--help":
		args = []string{"help"}
	case "--version":
		args = []string{"version"}
	}
	if strings.HasPrefix(args[0], "-") {
		return 0, &hinted{fmt.Errorf("%q comes before a command; flags stand behind it", args[0]), "see: printlint help"}
	}
	c, err := commandNamed(args[0])
	if err != nil {
		return 0, err
	}
	return c.invoke(ctx, args[1:], env)
}

func commandNamed(name string) (*command, error) {
	list := commands()
	var names []string
	for i := range list {
		if list[i].name == name {
			return &list[i], nil
		}
		names = append(names, list[i].name)
	}
	if meshfile.Known(name) {
		// A name alone, as beginners type it.
		return nil, &hinted{fmt.Errorf("unknown command %q; the command comes before the model", name), "to check it: printlint check " + name}
	}
	return nil, unknown("command", name, names, "printlint help")
}

// schemaCommand prints what editors complete and check a configuration with.
func schemaCommand(in *invocation) action {
	return func(context.Context, []string) (int, error) {
		_, err := in.env.Stdout.Write(ruleset.Schema(advise.Catalog()))
		return lint.ExitClean, err
	}
}

func versionCommand(in *invocation) action {
	return func(context.Context, []string) (int, error) {
		_, err := fmt.Fprintln(in.env.Stdout, "printlint", Version())
		return lint.ExitClean, err
	}
}
