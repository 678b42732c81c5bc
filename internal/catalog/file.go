package catalog

// File is what is known of a model's file without a look at the shape.
type File struct {
	Name   string // with its extension
	Folder string // below the configuration's folder, with slashes; "" where it is that one
	Format string // by the content: stl, obj, ply, off, 3mf or amf
	Part   string // the model's name inside the file; "" where there is none
	Bytes  int64
	// Models is how many models the file holds, and Triangles how many triangles this one
	// has; both are 0 where the file was not opened.
	Models, Triangles int
	// UnitStated says that the file itself names the unit of its lengths.
	UnitStated bool
	Unit       string // that it names, as in mm or inch; "assumed" where it names none
	// Beside says whether the name of another file in its folder passes a test; words name the
	// test, so that a folder is looked through once. Nil says no.
	Beside func(words string, test func(string) bool) bool
}

// BesideText stands among texts for the names of what lies beside the file.
const BesideText = "beside()"

// Text is a text that a rule over the whole model can ask of.
type Text struct {
	Name string
	Doc  string // one sentence, lower case, no full stop
}

// fileTexts are the texts of a file.
var fileTexts = []struct {
	Text
	of func(*File) string
}{
	{Text{"name", "name of the file, with its extension, as in clip.stl"}, func(f *File) string { return f.Name }},
	{Text{"folder", `folder of the file below that of the configuration, as in parts/clips; "" for that one`}, func(f *File) string { return f.Folder }},
	{Text{"format", "format by what is in the file: stl, obj, ply, off, 3mf or amf"}, func(f *File) string { return f.Format }},
	{Text{"unit", "unit of the lengths that the file states: um, mm, cm, m, inch or ft; assumed where it states none"}, func(f *File) string { return f.Unit }},
	{Text{"part", `name of the model inside its file; "" where it has none`}, func(f *File) string { return f.Part }},
}

// FileTexts lists the texts of a file.
func FileTexts() []Text {
	list := make([]Text, len(fileTexts))
	for i, t := range fileTexts {
		list[i] = t.Text
	}
	return list
}

// With is the file as the one that holds a certain model.
func (f *File) With(format, part, unit string, triangles int, unitStated bool) *File {
	var with File
	if f != nil {
		with = *f
	}
	with.Format, with.Part, with.Triangles, with.UnitStated = format, part, triangles, unitStated
	if with.Unit = unit; unit == "" {
		with.Unit = "assumed"
	}
	return &with
}

// Text is the text of that name; "" where there is none.
func (f *File) Text(name string) string {
	for _, t := range fileTexts {
		if t.Name == name && f != nil {
			return t.of(f)
		}
	}
	return ""
}

// Holds says whether another file in the folder passes a test, which the words name.
func (f *File) Holds(words string, test func(string) bool) bool {
	return f != nil && f.Beside != nil && f.Beside(words, test)
}
