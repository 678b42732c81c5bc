package collection

import (
	"path"

	"printlint/internal/collection/repo"
)

// Past knows what lay in folders in a commit. It lists each repository once.
type Past struct {
	Commit string
	listed map[string]map[string][]string // names by folder, by the top of the repository
}

// Names lists the names of the files that lay in the folder then; none where nothing is known.
func (p *Past) Names(d *Folder) []string {
	own := d.repository()
	if own == nil {
		return nil
	}
	folders, known := p.listed[own.Top]
	if !known {
		folders = byFolder(own.Listed(p.Commit))
		if p.listed == nil {
			p.listed = map[string]map[string][]string{}
		}
		p.listed[own.Top] = folders
	}
	below, _ := own.Below(d.real)
	return shownNames(folders[below])
}

// indexed lists the names in each folder of the index.
func indexed(own *repo.Repo) map[string][]string { return byFolder(own.Indexed()) }

// byFolder sorts paths by their folder; nothing where git could not list them.
func byFolder(list []string, err error) map[string][]string {
	folders := map[string][]string{}
	for _, name := range list {
		if dir := path.Dir(name); err == nil {
			folders[dir] = append(folders[dir], path.Base(name))
		}
	}
	return folders
}
