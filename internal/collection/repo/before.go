package repo

// Former is a file as it was in a revision.
type Former struct {
	IndexEntry
	// Gone says that nothing lies under its path any more.
	Gone bool
}

// Before lists the plain files that differ between the work tree and the point where it
// left the revision, as they were there, and names the commit of that point. Some may
// only seem to differ. What is new is not listed.
func (r *Repo) Before(rev string) (commit string, list []Former, err error) {
	s, err := r.open(long)
	if err != nil {
		return "", nil, err
	}
	defer s.close()
	commit, differing, err := s.differing(rev)
	if err != nil {
		return "", nil, err
	}
	var entries []IndexEntry
	var gone []bool
	for _, d := range differing {
		was := difference{newMode: d.oldMode}
		if d.status != "A" && was.kind() == Plain {
			entries, gone = append(entries, IndexEntry{Path: d.path, Hash: d.oldHash}), append(gone, d.status == "D")
		}
	}
	if _, err := s.measure(entries); err != nil {
		return "", nil, err
	}
	for i, e := range entries {
		list = append(list, Former{e, gone[i]})
	}
	return commit, list, nil
}
