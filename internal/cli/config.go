package cli

import (
	"errors"
	"fmt"
	"io/fs"
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
	file := named
	if file == "" {
		start := "."
		if len(paths) > 0 {
			start = paths[0]
		}
		var err error
		if file, err = nearestConfig(start); err != nil {
			return nil, "", err
		}
	}
	config, err := ruleset.Load(filepath.ToSlash(file), ruleset.Options{
		Catalog: measure.Catalog(),
		Open:    func(name string) ([]byte, error) { return os.ReadFile(filepath.FromSlash(name)) },
		Today:   time.Now().Format(time.DateOnly),
	})
	var problems *ruleset.Problems
	if errors.As(err, &problems) {
		return nil, "", &listed{problems}
	}
	if err != nil {
		return nil, "", err
	}
	return config, baseOf(file), nil
}

// baseOf is the folder that a configuration speaks for.
func baseOf(file string) string {
	if file == "" {
		return "."
	}
	return filepath.Dir(file)
}

// nearestConfig walks up from a path to the first configuration; "" when there is
// none. It stops at the top of a repository, and outside of one at the working
// directory: a stray file in a folder far above decides nothing.
func nearestConfig(start string) (string, error) {
	folder := start
	if info, err := os.Stat(start); err == nil && !info.IsDir() {
		folder = filepath.Dir(start)
	}
	abs, err := filepath.Abs(folder)
	if err != nil {
		return "", err
	}
	cwd, err := os.Getwd()
	if err != nil {
		return "", err
	}
	top := topOf(abs, cwd)
	for {
		file := filepath.Join(abs, configName)
		if info, err := os.Stat(file); err == nil && !info.IsDir() {
			return shown(cwd, file), nil
		} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("%s: %w", shown(cwd, file), err)
		}
		if abs == top || abs == filepath.Dir(abs) {
			return "", nil
		}
		abs = filepath.Dir(abs)
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
type listed struct{ problems *ruleset.Problems }

// Error lists the problems.
func (l *listed) Error() string { return l.problems.Error() }

// text lists the problems as errors, one a line.
func (l *listed) text() string {
	var b strings.Builder
	for _, p := range l.problems.List {
		fmt.Fprintf(&b, "%s: error: %s\n", report.Safe(p.Position.String()), report.Safe(p.Text))
	}
	b.WriteString("printlint: nothing was done; the rules must be right first")
	return b.String()
}
