package repo

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/work"
)

// settings are what is carried over from the configurations of the repository and of
// the user: words that change how git reads, and name no program.
type settings struct {
	config  string   // of our own repository folder
	sha256  bool     // the object format
	filters []string // filters that the configurations have a program for, but for large files
	store   string   // where large files are kept, if elsewhere than usual
	// lineEnds says that a checkout may write other line ends than the repository keeps.
	lineEnds bool
}

// fixed is what our own configuration says whatever others do. Files that somebody told
// git not to look at are looked at all the same.
const fixed = `[core]
	repositoryformatversion = 1
	bare = false
	fsmonitor = false
	hookspath = ` + os.DevNull + `
	sparsecheckout = true
	untrackedcache = false
	splitindex = false
	commitgraph = false
`

// configLine is one line of a configuration; a key without a value is true.
type configLine struct{ key, value string }

// settle writes the configuration of a session's folder, which is read once for each
// repository.
func (r *Repo) settle(s *session) (err error) {
	r.settled.Lock()
	defer r.settled.Unlock()
	if r.settings == nil {
		if r.settings, err = s.read(); err != nil {
			return err
		}
	}
	s.settings = r.settings
	common := filepath.Join(s.home, "repository")
	return os.WriteFile(filepath.Join(common, "config"), []byte(s.settings.config), 0o600)
}

// read reads both configurations, side by side. Git parses them, and does nothing else
// with them.
func (s *session) read() (*settings, error) {
	var users []byte
	var problem error
	var group work.Group
	group.Go(func() {
		users, problem = s.runAs(true, nil, "config", "--includes", "-z", "--get-regexp",
			`^(core\.(excludesfile|attributesfile|autocrlf|eol)|filter\..*\.(smudge|process))$`)
	})
	own, err := s.readOwn()
	group.Wait()
	switch {
	case err != nil:
		return nil, err
	case problem != nil && !answered(problem, 1): // 1 is none
		return nil, problem
	}
	return collect(entries(users), entries(own))
}

// readOwn reads the configuration of the repository, without what it includes.
func (s *session) readOwn() ([]byte, error) {
	path := filepath.Join(s.common, "config")
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if !regular(path) {
		return nil, fmt.Errorf("%s is no file that git would have written", path)
	}
	return s.run(nil, "config", "--file", path, "--no-includes", "-z", "--list")
}

// entries reads a list as git writes it.
func entries(out []byte) (list []configLine) {
	for _, item := range split(out) {
		key, value, given := strings.Cut(item, "\n")
		if !given {
			value = "true"
		}
		list = append(list, configLine{key, value})
	}
	return list
}

// collect picks what is carried over.
func collect(users, own []configLine) (*settings, error) {
	s := &settings{config: fixed}
	for _, e := range users {
		switch e.key {
		case "core.excludesfile", "core.attributesfile":
			e.value = atHome(e.value)
			s.carry(e)
		default:
			s.common(e)
		}
	}
	for _, e := range own {
		section, name := e.key[:strings.IndexByte(e.key+".", '.')], e.key[strings.LastIndexByte(e.key, '.')+1:]
		switch {
		case section == "extensions":
			if err := s.extension(e, name); err != nil {
				return nil, err
			}
		case e.key == "lfs.storage":
			s.store = e.value
		// With these @{upstream} is understood; nothing is fetched.
		case section == "branch" && (name == "remote" || name == "merge"), section == "remote" && name == "fetch":
			s.carry(e)
		default:
			s.common(e)
		}
	}
	return s, nil
}

// common takes what both configurations may say.
func (s *settings) common(e configLine) {
	name, filter := strings.CutPrefix(e.key, "filter.")
	word := strings.ToLower(e.value)
	switch {
	case filter:
		name, _ = cutLast(name)
		if name != "lfs" && !slices.Contains(s.filters, name) {
			s.filters = append(s.filters, name)
		}
	case e.key == "core.autocrlf" && (word == "input" || boolean(word)),
		e.key == "core.eol" && slices.Contains([]string{"lf", "crlf", "native"}, word),
		slices.Contains([]string{"core.ignorecase", "core.precomposeunicode", "core.filemode", "core.symlinks"}, e.key) && boolean(word):
		s.carry(configLine{e.key, word})
		s.lineEnds = s.lineEnds || e.key == "core.autocrlf" && word != "input" || e.key == "core.eol"
	}
}

// extension takes what changes how a repository is read. One that is not known may mean
// anything.
func (s *settings) extension(e configLine, name string) error {
	switch name {
	case "objectformat":
		s.sha256 = e.value == "sha256"
		if !s.sha256 && e.value != "sha1" {
			return fmt.Errorf("the repository keeps objects in the format %q, which is not known here", e.value)
		}
		s.carry(e)
	case "refstorage":
		if e.value != "files" && e.value != "reftable" {
			return fmt.Errorf("the repository keeps revisions in the format %q, which is not known here", e.value)
		}
		if e.value == "reftable" { // a git that knows no other has no word for it
			s.carry(e)
		}
	case "noop", "noop-v1", "preciousobjects", "partialclone", "worktreeconfig", "relativeworktrees", "compatobjectformat":
	default:
		return fmt.Errorf("the repository's extension %q is not known here", e.key)
	}
	return nil
}

func boolean(word string) bool {
	return slices.Contains([]string{"true", "yes", "on", "1", "false", "no", "off", "0", ""}, word)
}

// carry writes an entry into our own configuration.
func (s *settings) carry(e configLine) {
	section, name := cutLast(e.key)
	if head, sub, ok := strings.Cut(section, "."); ok {
		section = head + " " + quoted(sub)
	}
	s.config += fmt.Sprintf("[%s]\n\t%s = %s\n", section, name, quoted(e.value))
}

// cutLast cuts a key before its last word.
func cutLast(key string) (before, after string) {
	at := strings.LastIndexByte(key, '.')
	return key[:max(at, 0)], key[at+1:]
}

// atHome writes out a path that starts at the user's home.
func atHome(path string) string {
	if rest, ok := strings.CutPrefix(path, "~/"); ok {
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, rest)
		}
	}
	return path
}
