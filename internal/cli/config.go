package cli

import (
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"printlint/internal/measure"
	"printlint/internal/report"
	"printlint/internal/ruleset"
)

// configName is what a configuration is called.
const configName = ".printlint.yml"

// configFlag adds the flag that names the configuration.
func configFlag(flags *pflag.FlagSet) *string {
	return flags.String("config", "", "read the configuration from `FILE` instead of the nearest .printlint.yml")
}

// loadConfig reads the named configuration, or the nearest at or above the first of
// the paths, or the built-in defaults where there is none.
func loadConfig(named string, paths []string) (*ruleset.Config, string, error) {
	config, file, err := onDisk().load(named, paths)
	return config, baseOf(file), err
}

// load reads a configuration and returns the name of its file, empty where there is none.
func (w world) load(named string, paths []string) (*ruleset.Config, string, error) {
	file := named
	if file == "" {
		start := "."
		if len(paths) > 0 {
			start = paths[0]
		}
		var err error
		if file, err = w.nearest(start); err != nil {
			return nil, "", err
		}
	}
	config, err := ruleset.Load(filepath.ToSlash(file), ruleset.Options{
		Catalog: measure.Catalog(),
		Open:    w.read,
		Today:   time.Now().Format(time.DateOnly),
	})
	var problems *ruleset.Problems
	if errors.As(err, &problems) {
		return nil, "", &listed{problems, w.rev}
	}
	return config, file, err
}

// baseOf is the folder that a configuration speaks for.
func baseOf(file string) string {
	if file == "" {
		return "."
	}
	return filepath.Dir(file)
}

// nearest walks up from a path to the first configuration; "" when there is none. It
// stops at the top of a repository, and outside of one at the working directory: a stray
// file in a folder far above decides nothing.
func (w world) nearest(start string) (string, error) {
	folder, top, cwd, err := w.bounds(start)
	if err != nil {
		return "", err
	}
	for {
		file := shown(cwd, filepath.Join(folder, configName))
		there, err := w.holds(file)
		if err != nil {
			return "", fmt.Errorf("%s: %w", file, err)
		}
		if there {
			return file, nil
		}
		if folder == top || folder == filepath.Dir(folder) {
			return "", nil
		}
		folder = filepath.Dir(folder)
	}
}

// topOf is the last folder to look in: the top of the repository that holds the
// folder, else the working directory if it stands above, else the folder itself.
func topOf(folder, cwd string) string {
	for up := folder; ; up = filepath.Dir(up) {
		if _, err := os.Stat(filepath.Join(up, ".git")); err == nil {
			return up
		}
		if up == filepath.Dir(up) {
			break
		}
	}
	if rel, err := filepath.Rel(cwd, folder); err == nil && filepath.IsLocal(rel) {
		return cwd
	}
	return folder
}

// shown writes a path from the working directory on.
func shown(cwd, file string) string {
	if rel, err := filepath.Rel(cwd, file); err == nil {
		return path.Clean(filepath.ToSlash(rel))
	}
	return filepath.ToSlash(file)
}

// listed is everything wrong in the rules. Each line names its place, in the form
// that editors jump to, so the program's name stays off them.
type listed struct {
	problems *ruleset.Problems
	rev      string // the revision they stand in, or empty
}

// Error lists the problems.
func (l *listed) Error() string { return l.problems.Error() }

// text lists the problems as errors, one a line.
func (l *listed) text() string {
	var b strings.Builder
	for _, p := range l.problems.List {
		fmt.Fprintf(&b, "%s: error: %s\n", report.Safe(p.Position.String()), report.Safe(p.Text))
	}
	of := ""
	if l.rev != "" {
		of = " of " + report.Safe(l.rev)
	}
	fmt.Fprintf(&b, "printlint: nothing was done; the rules%s must be right first", of)
	return b.String()
}
