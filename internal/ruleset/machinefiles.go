package ruleset

import (
	"path"
	"slices"
	"strings"

	"github.com/bmatcuk/doublestar/v4"
)

// machineFile is the file of a machine and where the configuration names it.
type machineFile struct {
	path string
	from text
}

// machineFiles lists the files that the configuration names, each once.
func (l *library) machineFiles(main *document, list List) (files []machineFile) {
	for _, t := range main.main.machines {
		for _, file := range l.filesOf(t, main.file, list) {
			if !slices.ContainsFunc(files, func(f machineFile) bool { return f.path == file }) {
				files = append(files, machineFile{file, t})
			}
		}
	}
	return files
}

// globSigns are what makes a glob of a name.
const globSigns = "*?[{"

// filesOf lists the files that one entry stands for: the one that it names, or those of a
// folder whose names match it.
func (l *library) filesOf(t text, from string, list List) []string {
	name := t.value
	full := path.Join(path.Dir(from), name)
	folder, glob := path.Split(full)
	switch {
	case path.IsAbs(name) || strings.ContainsAny(name, "\\:"):
		l.add(t.pos(), "the file of a machine is named from the folder of this file on, with /, not %q", name)
	case !l.inside(full):
		l.add(t.pos(), outside, name)
	case strings.ContainsAny(path.Dir(name), globSigns):
		l.add(t.pos(), "%q: signs such as * stand in the name of a file, not in that of its folder", name)
	case !doublestar.ValidatePattern(glob):
		l.add(t.pos(), "%q is not a glob: a bracket or brace is not closed", name)
	case !strings.ContainsAny(glob, globSigns):
		return []string{full}
	case list == nil:
		l.add(t.pos(), "%q: folders cannot be listed here; name each file", name)
	default:
		return l.matching(t, path.Clean(folder), glob, list)
	}
	return nil
}

// matching lists the files of a folder whose names match, by name. Those that begin with a
// dot are hidden from a *.
func (l *library) matching(t text, folder, glob string, list List) (files []string) {
	names, err := list(folder)
	if err != nil {
		l.add(t.pos(), "%s", openError(folder, err))
		return nil
	}
	slices.Sort(names)
	for _, name := range names {
		if ok, _ := doublestar.Match(glob, name); ok && (name[0] != '.' || glob[0] == '.') {
			files = append(files, path.Join(folder, name))
		}
	}
	if len(files) == 0 {
		l.add(t.pos(), "no file matches %q; write a file for each printer, or leave this entry out", t.value)
	}
	return files
}
