package lint

import (
	"path"
	"slices"
	"strings"

	"printlint/internal/advise"
	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/meshfile"
	"printlint/internal/ruleset"
)

// known is what is known of a file before it is read.
func (g *engine) known(file *collection.File, size int64) *catalog.File {
	dir, name := path.Split(file.Rules)
	dir = strings.TrimSuffix(strings.TrimSuffix(dir, collection.Inside), "/") // a.zip, for the top of that pack
	return &catalog.File{
		Name: name, Folder: dir, Bytes: size,
		Beside: func(words string, test func(string) bool) bool { return g.folders.Beside(file, words, test) },
	}
}

// read reads the models of a file, or only says what it is where nobody asks for more.
func (g *engine) read(file *collection.File, content collection.Content, opt meshfile.Options) ([]meshfile.Part, error) {
	if g.opens != nil && !g.opens(file.Rules) {
		part, ok, err := meshfile.Unread(file.Path, content)
		switch {
		case err != nil:
			return nil, err
		case ok:
			return []meshfile.Part{part}, nil
		}
	}
	return meshfile.Read(file.Path, content, opt)
}

// judged counts the parts of a file that are models.
func judged(parts []meshfile.Part) (n int) {
	for i := range parts {
		if parts[i].Skip == "" {
			n++
		}
	}
	return n
}

// opens says whether the model of a path must be read: where a rule asks for what is in it,
// or someone wants to see it or to have it turned.
func (j *judge) opens(path string) bool {
	if j.advice.Depth == advise.Full || j.advice.Down != nil || j.observer != nil {
		return true
	}
	v := j.usage.For(path)
	return len(v.Rules)+len(v.Folder) == 0 || v.Opens()
}

// unopened says that models were not read.
func unopened(config *ruleset.Config, j *judge, files []collection.File) []Remark {
	if !slices.ContainsFunc(files, func(f collection.File) bool { return f.Skip == "" && !j.opens(f.Rules) }) {
		return nil
	}
	return []Remark{{config.File, "where no rule asks what is in a model, models were not opened, so that a broken one is not found"}}
}
