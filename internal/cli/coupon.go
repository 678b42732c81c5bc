package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/coupon"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

const couponDetail = `
Writes test pieces for your own printer into a folder: slopes, ledges, bridges, walls,
gaps, columns, feet and specks in steps that get harder, each a piece of its own with
its number. They are made for the process in force: the nozzle, line, layer and bed that
the configuration says, and where it names machines, for the one that --machine names.
Each plate is there as STL and as 3MF, beside a sheet to print and fill in, and
answers.yml for the same answers. Feet and specks may come loose, so they have a plate
of their own, which is printed last.

With --read, turns filled-in answers into a file that says what that printer can do, to
be named under use: behind a rule set. Of several prints the worst counts, row by row;
--quantile 25 takes the one at a quarter of their number, rounded up, from the worst on.
A row without an answer keeps the limit of the rule set.

Grams and minutes are estimates for pieces that are filled, at the flow of the process.
No plate takes more than 20 g or 45 minutes by them, as long as a piece does not.
A file that is there is never overwritten.

Exit code: 0, or 2 when an answer is wrong, or nothing could be written.`

func couponCommand(in *invocation) action {
	config, machine := configFlag(in.flags), machineFlag(in.flags)
	out := in.flags.String("out", "", "write to `PATH`: a folder for the pieces, or with --read the file of the machine")
	read := in.flags.StringArray("read", nil, "read the answers in `FILE`; may be repeated, for several prints of one printer")
	quantile := in.flags.Int("quantile", 0, "of several prints take the one at `N` percent of them from the worst on, not the worst")
	return func(context.Context, []string) (int, error) {
		chosen := in.flags.Changed("quantile")
		switch {
		case chosen && len(*read) == 0:
			return 0, errors.New("--quantile goes with --read: it says which of several prints counts")
		case chosen && (*quantile < 1 || *quantile > coupon.MostQuantile):
			return 0, fmt.Errorf("--quantile %d: it is a whole number from 1 to %d; past that, most prints would fail what the limits let pass", *quantile, coupon.MostQuantile)
		case *out == "" && len(*read) == 0:
			return 0, &hinted{errors.New("--out names the folder for the test pieces, such as --out test-pieces"), "see: printlint help coupon"}
		case *out == "":
			return 0, &hinted{errors.New("--out names the file to write, such as --out machines/bench-2.yml"), "see: printlint help coupon"}
		case len(*read) == 0:
			return lint.ExitClean, writePieces(in.env, *config, *machine, *out)
		case *config != "":
			return 0, errors.New("--config does not go with --read: the answers say what the pieces were made for")
		case len(*machine) > 0:
			return 0, errors.New("--machine does not go with --read: the answers say which machine they are of")
		}
		return lint.ExitClean, writeMachine(in.env, *read, *quantile, *out)
	}
}

// writePieces writes the plates, the sheet and the file of answers into a folder.
func writePieces(env Env, configFile string, machine []string, folder string) error {
	config, err := loadHere(env, configFile, "")
	if err != nil {
		return err
	}
	chosen, err := oneMachine(config.Config, machine, "test pieces are made for one machine, and the configuration names several")
	if err != nil {
		return err
	}
	plan, err := coupon.New(chosen.Process)
	if err != nil {
		return &hinted{err, "say a larger bed under process, or leave the bed out"}
	}
	then := "fill in the sheet and answers.yml, then run"
	if i := slices.IndexFunc(config.Machines, func(m *ruleset.Machine) bool { return m.Config == chosen }); i >= 0 {
		plan.Machine, plan.File = config.Machines[i].Name, config.Machines[i].Path
		then = fmt.Sprintf("fill in the sheet and answers.yml, move %s away, which is written anew, then run", words.Safe(plan.File))
	}
	list := pieceFiles(plan)
	for _, f := range list {
		if _, err := os.Lstat(filepath.Join(folder, f.name)); err == nil {
			return &hinted{fmt.Errorf("%s is there already; nothing was written", words.Safe(filepath.Join(folder, f.name))), "name another folder, or move it away first"}
		}
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("%s could not be made: %w", words.Safe(folder), plainly(err))
	}
	for _, f := range list {
		if err := writeFile(filepath.Join(folder, f.name), f.write); err != nil {
			return err
		}
	}
	return env.print(func(b *bytes.Buffer) error {
		fmt.Fprintf(b, "test pieces for %s%s\n", forName(plan.Machine), processWords(plan.Process))
		for _, f := range list {
			fmt.Fprintf(b, "%s: %s\n", words.Safe(filepath.ToSlash(filepath.Join(folder, f.name))), f.what)
		}
		_, err := fmt.Fprintf(b, "next: print %s, without support; %s:\n  printlint coupon --read %s --out %s\nsome pieces fail on purpose: leave the folder out of the check, with models: {exclude: [...]} in .printlint.yml\n",
			plates(len(plan.Plates)), then, words.Safe(filepath.ToSlash(filepath.Join(folder, "answers.yml"))), words.Safe(plan.Out()))
		return err
	})
}

// forName puts the name of a printer before its process.
func forName(machine string) string {
	if machine == "" {
		return ""
	}
	return machine + ": "
}

func plates(n int) string {
	if n == 1 {
		return "the plate as it lies"
	}
	return fmt.Sprintf("the %d plates as they lie", n)
}

// pieceFile is one file of those that belong to a plan.
type pieceFile struct {
	name, what string
	write      func(io.Writer) error
}

// pieceFiles are all of them.
func pieceFiles(plan *coupon.Plan) (list []pieceFile) {
	whose := "" // plates of several printers may lie on one card
	if plan.File != "" {
		whose = strings.TrimSuffix(filepath.Base(plan.File), filepath.Ext(plan.File)) + "-"
	}
	for i := range plan.Plates {
		p := &plan.Plates[i]
		name := fmt.Sprintf("%splate-%d", whose, i+1)
		what := fmt.Sprintf("%d pieces, about %s and %s if they are filled", len(p.Steps),
			catalog.Format(p.Grams(plan.Process), catalog.Gram), catalog.Format(p.Minutes(plan.Process), catalog.Minute))
		if p.Loose {
			what += "; print it after the others, as some may come loose"
		}
		list = append(list,
			pieceFile{name + ".stl", what, func(w io.Writer) error { return meshfile.WriteSTL(w, mesh.Weld(p.Mesh()), name, 1) }},
			pieceFile{name + ".3mf", "the same, each piece by its name", func(w io.Writer) error { return meshfile.Write3MF(w, named(p)) }})
	}
	return append(list,
		pieceFile{"sheet.html", "a page to print and fill in beside the pieces", plan.Sheet},
		pieceFile{"answers.yml", "the same answers, for printlint to read", text([]byte(plan.Questions()))})
}

func named(p *coupon.Plate) (list []meshfile.Named) {
	for _, s := range p.Steps {
		list = append(list, meshfile.Named{Name: s.Name(), Mesh: mesh.Weld(s.Step.Mesh)})
		if len(s.Step.Number.Corners) > 0 {
			list = append(list, meshfile.Named{Name: s.Name() + ", its number", Mesh: mesh.Weld(s.Step.Number)})
		}
	}
	return list
}

// mostAnswers bounds a file of answers; a filled-in one has some 3 kB.
const mostAnswers = 1 << 20

// readPrints reads files of answers.
func readPrints(files []string) (list []*coupon.Answers, err error) {
	var wrong ruleset.Problems
	for _, file := range files {
		data, err := readWhole(file, mostAnswers)
		if err != nil {
			return nil, fmt.Errorf("%s cannot be read: %w", words.Safe(file), plainly(err))
		}
		a, err := coupon.Read(filepath.ToSlash(file), data)
		var found *ruleset.Problems
		switch {
		case errors.As(err, &found):
			wrong.List = append(wrong.List, found.List...)
		case err != nil:
			return nil, err
		}
		list = append(list, a)
	}
	if len(wrong.List) > 0 {
		return nil, &wrong
	}
	return list, nil
}

// writeMachine turns answers into the file of a machine.
func writeMachine(env Env, files []string, quantile int, out string) error {
	prints := coupon.Prints{Quantile: quantile}
	ext := filepath.Ext(out)
	if low := strings.ToLower(ext); low != ".yml" && low != ".yaml" {
		return fmt.Errorf("--out %s: the file of a machine ends in .yml", words.Safe(out))
	}
	var set string
	var err error
	if prints.List, err = readPrints(files); err == nil {
		prints.Name = strings.TrimSuffix(filepath.Base(out), ext)
		set, err = prints.Machine()
	}
	var wrong *ruleset.Problems
	switch fault := ruleset.NameFault(prints.Name); {
	case errors.As(err, &wrong):
		return &listed{problems: wrong, what: "the answers"}
	case err != nil:
		return err
	case fault != "" && prints.List[0].Machine == "":
		return fmt.Errorf("--out %s: %s", words.Safe(out), fault)
	}
	if _, err := os.Lstat(out); err == nil {
		return &hinted{fmt.Errorf("%s is there already; nothing was written", words.Safe(out)), "move it away first, or name a file in another folder: two files of one printer do not go together"}
	}
	if err := os.MkdirAll(filepath.Dir(out), 0o755); err != nil {
		return fmt.Errorf("%s could not be made: %w", words.Safe(filepath.Dir(out)), plainly(err))
	}
	if err := writeFile(out, text([]byte(set))); err != nil {
		return err
	}
	shown := words.Safe(filepath.ToSlash(out))
	_, err = fmt.Fprintf(env.Stdout, "wrote %s: %s\nnext: name it in .printlint.yml:\n  use: [standard, %s]\nor, with a file for each of several printers:\n  machines: [%s]\n", shown, words.Safe(prints.Summary()), shown, words.Safe(filepath.ToSlash(filepath.Join(filepath.Dir(out), "*.yml"))))
	return err
}

// readWhole reads a file of at most so many bytes.
func readWhole(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readMost(f, most, fmt.Sprintf("it has more than %d bytes, which no file of answers has", most))
}
