package repo

// StagedNames lists every file of the index, from the top on and with slashes.
func (r *Repo) StagedNames() ([]string, error) { return r.list(nil, "ls-files", "-z") }

// Names lists every file of a commit, from the top on and with slashes.
func (r *Repo) Names(commit string) ([]string, error) {
	return r.list(nil, "ls-tree", "-r", "-z", "--name-only", "--full-tree", commit)
}
