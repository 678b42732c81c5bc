package repo

import (
	"fmt"
	"maps"
	"path"
	"strings"
)

// Commits are looked at in blocks, the first of them small: most files of a run were changed
// not long ago. Each block is one question to git.
const (
	firstBlock = 64
	mostBlock  = 4096
)

// walker goes from a commit to those before it, with the paths whose last change is still
// sought. Where commits were merged a path goes on with a parent that has it as it is, so that
// a change which the merge threw away does not count. What is found for a path therefore does
// not depend on the other paths, and git is not given them: it would hold each file of a commit
// against each of them.
type walker struct {
	wanted map[string]map[string]bool // by commit: the paths that go through it
	open   int                        // how many paths there are in wanted
	last   map[string]int
}

// lastChanged finds which commit changed each path last.
func (s *session) lastChanged(head string, paths map[string]bool) (map[string]int, error) {
	history, err := s.run(nil, "rev-list", "--date-order", "--parents", head)
	if err != nil {
		return nil, err
	}
	commits := strings.Split(strings.TrimSuffix(string(history), "\n"), "\n") // each with its parents
	below := together(paths)
	w := &walker{wanted: map[string]map[string]bool{head: paths}, open: len(paths), last: map[string]int{}}
	size := firstBlock
	for from := 0; from < len(commits) && w.open > 0; size = min(2*size, mostBlock) {
		block := commits[from:min(from+size, len(commits))]
		changes, err := s.changes(block, below)
		if err != nil {
			return nil, err
		}
		for i, line := range block {
			ids := strings.Fields(line)
			w.pass(ids[0], ids[1:], changes[i], from+i)
		}
		from += len(block)
	}
	return w.last, nil
}

// together is the folder that all paths lie in; "." is the top.
func together(paths map[string]bool) string {
	below := ""
	for p := range paths {
		if below == "" {
			below = path.Dir(p)
		}
		for below != "." && !strings.HasPrefix(p, below+"/") {
			below = path.Dir(below)
		}
	}
	return below
}

// changes lists for each commit what differs from each of its parents; of one without
// parents all that it holds.
func (s *session) changes(commits []string, below string) ([][][]string, error) {
	var pairs []string
	list := make([][][]string, len(commits))
	at := make([][2]int, 0, len(commits)) // for each pair, which commit and parent it is
	for i, line := range commits {
		ids := strings.Fields(line)
		list[i] = make([][]string, max(1, len(ids)-1))
		for k := range list[i] {
			pairs, at = append(pairs, strings.Join(append([]string{ids[0]}, ids[1:][k:min(k+1, len(ids)-1)]...), " ")), append(at, [2]int{i, k})
		}
	}
	args := []string{"diff-tree", "--stdin", "-r", "--root", "--always", "--name-only", "-z", "--no-renames", "--no-ext-diff"}
	if below != "." {
		args = append(args, "--", ":(top,literal)"+below)
	}
	fields, err := s.list(lines(pairs), args...)
	if err != nil {
		return nil, err
	}
	n := -1
	for _, f := range fields {
		if n+1 < len(pairs) && strings.HasPrefix(pairs[n+1], f) && len(f) >= 40 { // git says which pair follows
			n++
		} else if n >= 0 {
			p := at[n]
			list[p[0]][p[1]] = append(list[p[0]][p[1]], f)
		}
	}
	if n+1 != len(pairs) {
		return nil, fmt.Errorf("git: of %d comparisons of commits %d were answered", len(pairs), n+1)
	}
	return list, nil
}

// pass hands the paths at a commit on to its parents, but for those that it changed.
func (w *walker) pass(id string, parents []string, changes [][]string, number int) {
	here := w.wanted[id]
	delete(w.wanted, id)
	differ := here // from all parents before
	for k, names := range changes {
		still := map[string]bool{}
		for _, name := range names {
			if differ[name] {
				still[name] = true
				if k == 0 {
					delete(here, name)
				}
			}
		}
		switch {
		case k == 0 && len(parents) > 0:
			w.hand(parents[0], here)
		case k == 0: // the first commit, and what it does not hold is in none
			w.open -= len(here)
		default:
			same := maps.Clone(differ)
			maps.DeleteFunc(same, func(name string, _ bool) bool { return still[name] })
			w.hand(parents[k], same)
		}
		differ = still
	}
	for name := range differ {
		w.last[name] = number
	}
	w.open -= len(differ)
}

// hand gives paths to a commit, the fewer to the more.
func (w *walker) hand(id string, paths map[string]bool) {
	there := w.wanted[id]
	if len(there) < len(paths) {
		there, paths = paths, there
	}
	maps.Copy(there, paths)
	if len(there) > 0 {
		w.wanted[id] = there
	}
}
