package catalog

import "slices"

// HoldsText and LaterText stand among texts for the names of the files in a folder: those
// that match, and the models with a source that matches and was changed after them.
const (
	HoldsText = "holds()"
	LaterText = "later()"
)

// The values of a folder, each the number of names that Folder.List gives.
const (
	FolderModels = "models"
	FolderOthers = "others"
	FolderCopies = "copies"
	FolderSame   = "same"
	FolderClash  = "clash"
	FolderUneven = "uneven"
)

// FolderMeasure is what a rule with per: folder sees. No mesh is measured for it.
var FolderMeasure = Measure{
	Name:  "folder",
	Title: "a folder that holds models",
	Doc: `What lies in each folder that holds a model of the run, whether in a work tree, in what is staged or in a pack.
Rules over it are written per: folder, and hold once for each folder. holds("*.png", "*.jpg") is the number of files
whose name matches one of these; beside("README*") is true where there is one. later("*.step")
is the number of models with a source of the same name, but for the ending, that was changed in a later commit of the git
repository than the model; a model or source that is changed or new in the work tree does not count,
and a new name counts as a change.
Where there is no history it is 0. Two models are copies where their content is equal; the first by path is
taken as the original. Two have the same shape where the one is the other exported again, moved or turned, but neither mirrored nor
in another size; each is held against 8 others at most, those nearest in volume. Left and right are told by these words, or l and r, in the name, and compared by what stays in a mirror: volume,
surface, and how far the surface lies from its middle. More than 1 % apart is uneven. In words, {which folder.copies} and {which
holds("*.png")} give the names.`,
	Source: "own definition; 1 % is judgement",
	Model: []Value{
		{Name: FolderModels, Doc: "models in it", Sample: 3},
		{Name: FolderOthers, Doc: "files in it that are no models", Sample: 3},
		{Name: FolderCopies, Doc: "models in it whose content is equal to that of a model before, here or in another folder", Sample: 2},
		{Name: FolderSame, Doc: "models in it of the same shape as a model before, here or in another folder, in a file of other bytes", Sample: 2},
		{Name: FolderClash, Doc: "files in it whose names differ from another's only in capitals, or in how an accent is stored", Sample: 2},
		{Name: FolderUneven, Doc: "pairs of left and right that differ in more than the mirror", Sample: 1},
	},
	Texts: []Text{
		{"path", `path of the folder below that of the configuration, as in parts/clips; "." for that one`},
		{"name", "name of the folder itself, as in clips"},
	},
	Unopened: []string{FolderModels, FolderOthers, FolderCopies, FolderClash, "path", "name", BesideText, HoldsText, LaterText},
	PoseFree: true,
}

// Folder is what is known of a folder. What costs something is looked up when it is asked for.
type Folder struct {
	Path  string   // below the configuration's folder; "." where it is that one
	Name  string   // its last part
	Names []string // of the files in it, sorted
	// List gives the names that a value of the folder counts.
	List func(value string) []string
	// Later lists the models with a source that was changed in a later commit. The test says
	// which names are sources.
	Later func(source func(name string) bool) []string
}

// Text is the text of that name; "" where there is none.
func (f *Folder) Text(name string) string {
	switch name {
	case "path":
		return f.Path
	case "name":
		return f.Name
	}
	return ""
}

// Holds says whether a file in the folder passes a test.
func (f *Folder) Holds(_ string, test func(string) bool) bool {
	return slices.ContainsFunc(f.Names, test)
}
