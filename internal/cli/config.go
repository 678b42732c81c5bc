package cli

import (
	"cmp"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/pathname"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// configName is what a configuration is called.
const configName = ".printlint.yml"

// configFlag adds the flag that names the configuration.
func configFlag(flags *pflag.FlagSet) *string {
	return flags.String("config", "", "read the configuration from `FILE` instead of the outermost .printlint.yml; its paths start at the top of the repository, or at its root: key")
}

// loaded is a configuration with where it lies and where its paths start.
type loaded struct {
	*ruleset.Config
	file string // from the working directory on; empty where there is none
	root string // where places, waivers, include and exclude start
	// broken says that these are the built-in rules, since those meant have mistakes.
	broken bool
	// search is where the configuration was looked for; nil where one was named.
	search *search
	// changed is what a change touches, absolute; nil where the run is about none.
	changed []string
}

// folder is where the configuration lies: what it uses and accepts is named from here.
func (l *loaded) folder() string {
	if l.file == "" {
		return "."
	}
	return filepath.Dir(l.file)
}

// says tells which rules hold.
func (l *loaded) says() string {
	return words.Rules(&finding.RuleSet{Config: l.File, From: l.From, Sets: l.Sets})
}

// lister lists the models that a run would look at.
type lister func(paths []string, opt collection.Options) ([]collection.File, error)

// loadModels reads the rules that hold for the paths and lists the models in them. It
// says which rules these are, and which configurations hold for nothing.
func loadModels(env Env, named string, paths []string, excluded bool) (*loaded, []collection.File, error) {
	piped, err := modelOnStdin(env, paths)
	if err != nil {
		return nil, nil, err
	}
	if piped != nil {
		l, err := onDisk().load(named, []string{"."}, nil)
		if err == nil {
			env.say(l.says())
		}
		return l, []collection.File{*piped}, err
	}
	l, err := onDisk().load(named, paths, collection.Find)
	if err != nil {
		return nil, nil, err
	}
	opt := collection.Options{Base: l.root, Include: l.Include, Exclude: l.Exclude}
	if excluded {
		opt.Exclude = nil
	}
	files, err := collection.Find(paths, opt)
	if err != nil {
		return nil, nil, err
	}
	idle, err := l.idle(files)
	if err != nil {
		return nil, nil, err
	}
	env.say(l.says())
	for _, n := range idle {
		env.warn(n.File + ": " + n.Text)
	}
	return l, files, nil
}

// loadHere reads the rules that hold for what lies in the working directory, or for a
// model, and says which configurations hold for nothing there.
func loadHere(env Env, named, model string) (*loaded, error) {
	paths := []string{"."}
	if model != "" {
		paths[0] = model
	}
	if named != "" && model == "" {
		return onDisk().load(named, nil, nil)
	}
	l, err := onDisk().load(named, paths, nil)
	if err != nil || l.search == nil {
		return l, err
	}
	folder, _, err := l.search.folderOf(paths[0])
	var idle []lint.Idle
	if err == nil {
		err = l.addIdle(&idle, folder)
	}
	for _, n := range idle {
		env.warn(n.File + ": " + n.Text)
	}
	return l, err
}

// orBuiltIn gives the built-in rules in place of those that have mistakes or cannot be
// found, and tells why. That a file which was named is not there stays an error.
func (l *loaded) orBuiltIn(env Env, named string, err error) (*loaded, error) {
	var mistakes *listed
	why := ""
	switch {
	case err == nil:
		return l, nil
	case errors.As(err, &mistakes) && mistakes.problems.List[0].Line > 0:
		why = mistakes.lines()
	case named != "":
		return nil, err
	default:
		why = complaint(err) + "\n"
	}
	fmt.Fprintln(env.Stderr, why+"printlint: this must be put right first; what is shown are the built-in rules")
	config, err := onDisk().parse("")
	return &loaded{Config: config, root: ".", broken: true}, err
}

// load reads the configuration that is named, or the one that holds for the paths, or the
// built-in defaults where there is none. Without a lister only what lies at or above the
// paths is looked for.
func (t fileTree) load(named string, paths []string, list lister) (*loaded, error) {
	if err := physical(); err != nil {
		return nil, err
	}
	l := &loaded{file: named, root: "."}
	if named == "" {
		s, err := newSearch(t)
		if err == nil {
			l.search = s
			l.file, err = s.configOf(paths, list)
		}
		if err != nil {
			return nil, err
		}
	}
	var err error
	if l.Config, err = t.parse(l.file); err != nil {
		return nil, err
	}
	l.root, err = t.root(l, named, paths)
	return l, err
}

// parse reads the configuration in a file; an empty name is the built-in defaults.
func (t fileTree) parse(file string) (*ruleset.Config, error) {
	config, err := ruleset.Load(filepath.ToSlash(file), ruleset.Options{
		Catalog: advise.Catalog(),
		Open:    t.read,
		List:    t.list,
		From:    t.commit,
		Today:   time.Now().UTC().Format(time.DateOnly),
	})
	var problems *ruleset.Problems
	if errors.As(err, &problems) {
		return nil, &listed{problems: problems, rev: t.rev}
	}
	if err != nil {
		return nil, err
	}
	return config, nil
}

// root is where the paths of a configuration start: where its root key says, or at its own
// folder if it was found. One that was named may lie anywhere: its paths start at the top
// of the repository that the models lie in, or else at its own folder, if that is at or
// above all of them.
func (t fileTree) root(l *loaded, named string, paths []string) (string, error) {
	switch {
	case l.Root != "":
		return filepath.Join(l.folder(), filepath.FromSlash(l.Root)), nil
	case named == "" || len(paths) == 0:
		return l.folder(), nil
	case t.own != nil:
		return t.shown(t.own.Top), nil
	}
	tops, folders, err := tops(paths)
	if err != nil {
		return "", err
	}
	if len(tops) == 1 && tops[0] != "" {
		return t.shown(tops[0]), nil
	}
	own, err := filepath.EvalSymlinks(l.folder())
	if err == nil {
		own, err = filepath.Abs(own)
	}
	if err != nil {
		return "", fmt.Errorf("%s: %w", named, plainly(err))
	}
	for i, folder := range folders {
		if len(tops) > 1 || !pathname.Within(own, folder) {
			return "", &hinted{fmt.Errorf("--config %s: nobody can tell where its paths start: it lies neither at nor above %s, and the models are not all in one repository", named, paths[i]),
				"say it there, from its own folder on, as in root: .."}
		}
	}
	return l.folder(), nil
}

// shown writes an absolute path from the working directory on.
func (t fileTree) shown(file string) string {
	if cwd, err := realCwd(); err == nil {
		if rel, err := filepath.Rel(cwd, file); err == nil {
			return path.Clean(filepath.ToSlash(rel))
		}
	}
	return filepath.ToSlash(file)
}

// listed is everything wrong in the rules. Each line names its place, in the form
// that editors jump to, so the program's name stays off them.
type listed struct {
	problems *ruleset.Problems
	rev      string // the revision they stand in, or empty
	what     string // what they stand in, where that is not the rules
}

// Error lists the problems.
func (l *listed) Error() string { return l.problems.Error() }

// lines lists the problems as errors, one a line.
func (l *listed) lines() string {
	var b strings.Builder
	for _, p := range l.problems.List {
		fmt.Fprintf(&b, "%s: error: %s\n", words.Safe(p.Position.String()), words.Safe(p.Text))
	}
	return b.String()
}

// text lists them and says that nothing was done.
func (l *listed) text() string {
	of := ""
	if l.rev != "" {
		of = " of " + words.Safe(l.rev)
	}
	return fmt.Sprintf("%sprintlint: nothing was done; %s%s must be right first", l.lines(), cmp.Or(l.what, "the rules"), of)
}
