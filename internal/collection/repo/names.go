package repo

// StagedNames lists every file of the index, from the top on and with slashes.
func (r *Repo) StagedNames() ([]string, error) { return r.names("ls-files", "-z") }

// Names lists every file of a commit, from the top on and with slashes.
func (r *Repo) Names(commit string) ([]string, error) {
	return r.names("ls-tree", "-r", "-z", "--name-only", "--full-tree", commit)
}

func (r *Repo) names(args ...string) ([]string, error) {
	s, err := r.open(long)
	if err != nil {
		return nil, err
	}
	defer s.close()
	return s.list(nil, args...)
}
