package collection

import (
	"os"
	"path/filepath"
	"strings"
)

// resolve returns the absolute path with no symbolic link left in it.
func resolve(native string) (string, error) {
	abs, err := filepath.Abs(native)
	if err != nil {
		return "", err
	}
	return filepath.EvalSymlinks(abs)
}

// maxLinks is how many links a path may lead through, as for the system.
const maxLinks = 255

// trail lists what the content of a file depends on where it is reached through symbolic
// links: each link on the way and the file at the end, absolute, with no link above their
// last elements; nil where there is no link. The path must be absolute.
func trail(path string) []string {
	var list []string
	volume := filepath.VolumeName(path)
	done, rest := volume+string(filepath.Separator), strings.Split(path[len(volume):], string(filepath.Separator))
	for len(rest) > 0 && len(list) <= maxLinks {
		name := rest[0]
		if rest = rest[1:]; name == "" || name == "." {
			continue
		}
		at := filepath.Join(done, name)
		target, err := os.Readlink(at)
		if err != nil {
			done = at // no link; ".." goes back, since done has none in it
			continue
		}
		list = append(list, at)
		if filepath.IsAbs(target) {
			done = filepath.VolumeName(target) + string(filepath.Separator)
		}
		rest = append(strings.Split(target[len(filepath.VolumeName(target)):], string(filepath.Separator)), rest...)
	}
	if len(list) > 0 {
		list = append(list, done)
	}
	return list
}
