package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/collection/repo"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/meshfile"
	"printlint/internal/report"
	"printlint/internal/report/words"
)

const turnDetail = `
For models that fail as they lie and pass another way up without support: turns each
in its own file, lays it on z = 0 and keeps its middle where it was. Format, unit and
everything else in the file stay: STL as text or binary, OBJ, PLY, and 3MF with one
model. What would be written is judged by the same rules first; a model that would
still fail is left as it lies.

A file is only written over where git keeps a copy of what it holds now, staged or
committed. --uncommitted turns others too: keep a copy yourself. A file lies one way:
where the configuration names several machines, --machine says for which.

Exit code: 0 when no model fails now, 1 when one still does, 2 when a model cannot be
read, judged or written.`

// turnFlags are the flags of turn.
type turnFlags struct {
	config      *string
	machine     *[]string
	uncommitted *bool
	cost        *costFlags
}

func turnCommand(in *invocation) action {
	f := &turnFlags{config: configFlag(in.flags), machine: machineFlag(in.flags), cost: newCostFlags(in.flags)}
	f.uncommitted = in.flags.Bool("uncommitted", false, "turn files of which git keeps no copy too")
	return func(ctx context.Context, args []string) (int, error) { return f.run(ctx, in.env, args) }
}

func (f *turnFlags) run(ctx context.Context, env Env, paths []string) (int, error) {
	opt, err := f.cost.options()
	if err != nil {
		return 0, err
	}
	l, files, err := loadModels(env, *f.config, paths, false)
	if err != nil {
		return 0, err
	}
	if l.Config, err = oneMachine(l.Config, *f.machine, "a file can lie the best way for one machine only"); err != nil {
		return 0, err
	}
	t := &turning{loaded: l, opt: opt, files: map[string]*collection.File{}, origins: collection.OriginsOf(files), turns: map[string]turn{}, uncommitted: *f.uncommitted}
	for i := range files {
		t.files[files[i].Path] = &files[i]
	}
	opt.Around = l.besides(files, onDisk().holds)
	opt.Advice = advise.Options{Depth: advise.Full}
	opt.Observer = lint.ObserverFunc(t.judged)
	r, err := lint.Run(ctx, Version(), files, l.Config, opt)
	if err != nil {
		return 0, interrupted(err)
	}
	onlyModels(r)
	code := lint.ExitClean
	for i := range r.Models {
		told, err := t.model(ctx, &r.Models[i], &code)
		if err != nil {
			return 0, interrupted(err)
		}
		fmt.Fprintf(env.Stdout, "%s: %s\n", nameOf(&r.Models[i]), told)
	}
	return code, nil
}

// turning turns the models of a run.
type turning struct {
	*loaded
	opt         lint.Options
	files       map[string]*collection.File // by path
	origins     collection.Origins          // their paths, to find the file of a model
	uncommitted bool

	mutex sync.Mutex
	turns map[string]turn // by path
}

// turn is how a model shall lie.
type turn struct {
	rotation [9]float64
	words    string
}

// judged keeps the way up of a model that should be turned.
func (t *turning) judged(_ context.Context, m *lint.Judged) error {
	model := m.Model
	if best := wayThatPasses(model, t.FailAt); best != nil {
		t.mutex.Lock()
		defer t.mutex.Unlock()
		t.turns[model.Path] = turn{best.Matrix, best.Words}
	}
	return nil
}

// wayThatPasses is the way up in which a model that fails as it lies passes without support;
// nil where it passes or there is none.
func wayThatPasses(m *finding.Model, failAt finding.Level) *finding.Pose {
	if m.Status != finding.Checked || m.Advice == nil || !fails(m, failAt) {
		return nil
	}
	best := &m.Advice.Poses[0]
	if best.Support != nil || !passes(best.Findings, failAt) || best.Down == [3]float64{0, 0, -1} {
		return nil
	}
	return best
}

// fails says that the gate would close on the model.
func fails(m *finding.Model, failAt finding.Level) bool {
	return failAt != finding.None && m.Worst().Rank() <= failAt.Rank()
}

// passes says that the gate would let so many findings pass.
func passes(c finding.LevelCount, failAt finding.Level) bool {
	counts := [...]int{c.Error, c.Warning, c.Note}
	for rank := 0; rank <= failAt.Rank() && rank < len(counts); rank++ {
		if counts[rank] > 0 {
			return false
		}
	}
	return true
}

// model turns one model where it should be, and says what became of it.
func (t *turning) model(ctx context.Context, m *finding.Model, code *int) (string, error) {
	left := func(least int, why string) (string, error) {
		*code = max(*code, least)
		return "left as it lies: " + why, nil
	}
	file := t.fileOf(m)
	switch {
	case m.Status == finding.Skipped:
		return left(lint.ExitClean, words.Safe(m.Reason))
	case m.Unjudged():
		return left(lint.ExitTrouble, words.Safe(m.Reason))
	case file != nil && t.Config.For(file.Rules).Lay.Down != [3]float64{}:
		passes, err := t.passesAsLaid(ctx, file)
		switch {
		case err != nil:
			return "", err
		case passes:
			return left(lint.ExitClean, "it passes the way up that lay in the configuration says")
		}
		return left(lint.ExitFindings, "lay in the configuration says which way up it is printed; change that first")
	case !fails(m, t.FailAt):
		return left(lint.ExitClean, "it passes")
	}
	how, ok := t.turns[m.Path]
	if !ok {
		return left(lint.ExitFindings, "no way up passes without support; printlint advise says what else helps")
	}
	found, err := t.write(ctx, file, how)
	var known *meshfile.Error
	switch {
	case errors.As(err, &known):
		return left(lint.ExitFindings, words.Safe(known.Problem+"; "+known.Cure))
	case errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded):
		return "", err
	case err != nil:
		return left(lint.ExitTrouble, words.Safe(err.Error()))
	}
	side, _, _ := strings.Cut(strings.Replace(how.words, " goes on the bed", " lies on the bed now", 1), ": ")
	return fmt.Sprintf("turned: %s; checked again: %s", side, found), nil
}

// fileOf is the file that holds a model; the path of a model in a container goes on inside it.
func (t *turning) fileOf(m *finding.Model) *collection.File {
	path, _ := t.origins.Of(m.Path)
	return t.files[path]
}

// passesAsLaid judges a file once more, the way up that the configuration says: the search
// for others starts from how it lies.
func (t *turning) passesAsLaid(ctx context.Context, file *collection.File) (bool, error) {
	r, err := judgeAgain(ctx, *file, t.Config, t.opt)
	if err != nil {
		return false, err
	}
	failing := func(m finding.Model) bool { return m.Unjudged() || fails(&m, t.FailAt) }
	return !slices.ContainsFunc(r.Models, failing), nil
}

// write judges what the file shall hold, and writes it where it passes.
func (t *turning) write(ctx context.Context, file *collection.File, how turn) (found string, err error) {
	if file == nil || file.OnDisk() == "" || strings.Contains(file.Path, collection.Inside) {
		return "", &meshfile.Error{Problem: "it lies in a pack", Cure: "unpack it first"}
	}
	target := filepath.FromSlash(file.OnDisk())
	content, err := os.ReadFile(target)
	if err != nil {
		return "", plainly(err)
	}
	if err := t.kept(target, content); err != nil {
		return "", err
	}
	var out bytes.Buffer
	if err := meshfile.WriteTurned(&out, file.Path, inMemory{bytes.NewReader(content)}, how.rotation); err != nil {
		return "", err
	}
	r, err := judgeAgain(ctx, fileInMemory(file.Path, file.Rules, out.Bytes()), t.Config, t.opt)
	if err != nil {
		return "", err
	}
	counts := r.Summary.Levels()
	switch {
	case len(r.Models) != 1 || r.Models[0].Unjudged():
		return "", &meshfile.Error{Problem: "turned, it could not be judged", Cure: "write it to another folder with advise --write"}
	case !passes(counts, t.FailAt):
		return "", &meshfile.Error{Problem: "turned, it would have " + counts.String(), Cure: "see: printlint advise"}
	}
	// Somebody may have written the file while its turned form was judged.
	switch now, err := os.ReadFile(target); {
	case err != nil:
		return "", plainly(err)
	case !bytes.Equal(now, content):
		return "", &meshfile.Error{Problem: "it was changed while it was being judged", Cure: "run printlint turn again"}
	}
	return counts.String(), writeOver(target, out.Bytes())
}

// writeOver puts other content into a file, which keeps its mode.
func writeOver(target string, content []byte) error {
	info, err := os.Stat(target)
	if err != nil {
		return plainly(err)
	}
	if err := report.WriteFileAs(target, info.Mode().Perm(), text(content)); err != nil {
		return fmt.Errorf("it could not be written: %w", plainly(err))
	}
	return nil
}

// kept refuses to write over what nobody has a copy of.
func (t *turning) kept(target string, content []byte) error {
	cure := "commit or stage it first, or say --uncommitted"
	real := realPath(target)
	if info, err := os.Lstat(real); err != nil || !info.Mode().IsRegular() {
		return &meshfile.Error{Problem: "it is a symbolic link", Cure: "name the file that it leads to"}
	}
	if t.uncommitted {
		return nil
	}
	in := repo.At(filepath.Dir(real))
	if in == nil {
		return &meshfile.Error{Problem: "it lies in no git repository, which would keep a copy", Cure: "copy it, and say --uncommitted"}
	}
	name, _ := in.Below(real)
	switch ok, err := in.Keeps(name, content); {
	case err != nil:
		return err
	case !ok:
		return &meshfile.Error{Problem: "git keeps no copy of what it holds now", Cure: cure}
	}
	return nil
}

// offersTurn says how to turn the models that fail only as they lie; empty where there are none.
func offersTurn(r *finding.Report, failAt finding.Level) string {
	const shown = 6
	var names []string
	machine := ""
	for i := range r.Models {
		m := &r.Models[i]
		name := m.Path
		if m.Kind == "3mf" {
			name = name[:max(0, strings.LastIndex(name, collection.Inside))] // the rest is inside the file
		}
		// A backslash stands for what a terminal must not see: the name is not the real one.
		if m.Part == "" && meshfile.Turns(m.Kind) && !strings.Contains(name, collection.Inside) && name == words.Safe(name) && !strings.Contains(name, `\`) && wayThatPasses(m, failAt) != nil {
			names = append(names, shellWord(name))
			if k := slices.IndexFunc(m.Machines, func(o finding.OnMachine) bool { return o.Advice != nil }); k >= 0 && machine == "" && len(r.Machines) > 1 {
				machine = "--machine " + shellWord(m.Machines[k].Machine) + " "
			}
		}
	}
	more := ""
	switch {
	case len(names) == 0:
		return ""
	case len(names) > shown:
		names, more = names[:shown], fmt.Sprintf(" and %d more", len(names)-shown)
	}
	return "some models pass another way up; to turn them in their files: printlint turn " + machine + strings.Join(names, " ") + more + "; then git add them again"
}

// plainWord is what no shell changes.
var plainWord = regexp.MustCompile(`^[\pL\pN_./,:@%+=-]+$`)

// shellWord is a path as one word of a command line, which is not taken for a flag.
func shellWord(path string) string {
	if strings.HasPrefix(path, "-") {
		path = "./" + path
	}
	if plainWord.MatchString(path) {
		return path
	}
	return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
}
