package measure

import "printlint/internal/catalog"

// File is the measure of the file that a model is kept in.
var File = define(
	catalog.Measure{
		Name:  "file",
		Title: "the file that the model is kept in",
		Doc: `What is known of a model before anybody looks at its shape: how large its file is, what
it is called, where it lies and what lies beside it. Rules over the file are written
per: model. Text is compared with text in quotes: file.name matches "^[a-z0-9-]+" finds a
pattern in it (RE2 syntax), file.format == "stl" and != compare all of it, and
file.format in ["stl", "3mf"] takes one of several. beside("README*", "NOTES*") is true
where a file of such a name lies in the same folder; capitals make no difference there.
Where no rule asks for more than these, models are not opened, so that a broken one is
not found. triangles, models, unit and part are known only when the model is opened.`,
		Source:   "own definition. 1 kB is 1000 bytes and 1 MB is 1,000,000 (IEC 80000-13, from memory)",
		PoseFree: true,
		Texts:    catalog.FileTexts(),
		Unopened: []string{"bytes", "unit_stated", "name", "folder", "format", catalog.BesideText},
	}, nil, file)

// FileModel are the values of the file.
type FileModel struct {
	Bytes      float64 `measure:"bytes,B" doc:"size of the file, unpacked where it lies in a pack" sample:"48000000"`
	Triangles  int     `measure:"triangles" doc:"triangles of this model" sample:"900000"`
	Models     int     `measure:"models" doc:"models that the file holds" sample:"3"`
	UnitStated bool    `measure:"unit_stated" doc:"the file itself says in what unit its lengths are, as 3MF and AMF do"`
}

func file(r *evaluation, _ None) (*found[None, FileModel], error) {
	f := r.body.File
	if f == nil {
		f = &catalog.File{Triangles: len(r.body.Mesh.Tris), Models: 1}
	}
	return &found[None, FileModel]{model: FileModel{float64(f.Bytes), f.Triangles, f.Models, f.UnitStated}}, nil
}
