package ruleset

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/near"
	"printlint/rules"
)

const (
	maxDepth = 8  // of sets that use sets
	maxSets  = 64 // in one configuration
	// builtinDir stands before the name of a built-in set's file in complaints and
	// origins, since that file is inside the program.
	builtinDir = "built-in/"
)

// library reads files and lays them out in the order in which they win.
type library struct {
	*complaints
	catalog []catalog.Measure
	open    Open
	sets    fs.FS       // the built-in ones
	base    *View       // what holds without places, once it is known
	machine *document   // that is asked about; nil where it is none
	root    string      // folder of the configuration
	laid    []*document // sets in order, each once
	stack   []string    // sets being read, to find cycles
	// incomplete is set when a set could not be read whole: what it would have said
	// must not be missed a second time.
	incomplete bool
	builtins   map[string]*document
}

// setNames lists the built-in sets, sorted.
func setNames(sets fs.FS) []string {
	entries, err := fs.ReadDir(sets, ".")
	if err != nil {
		panic("ruleset: the built-in rule sets cannot be read: " + err.Error())
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".yml"))
	}
	return names
}

// SetNames lists the built-in sets, sorted.
func SetNames() []string { return setNames(rules.Files) }

// SetText is a built-in set as it is written; nil when there is none of that name.
func SetText(name string) []byte {
	text, err := fs.ReadFile(rules.Files, name+".yml")
	if err != nil {
		return nil
	}
	return text
}

// isFile tells a file from a built-in set's name.
func isFile(name string) bool {
	return strings.ContainsAny(name, "/\\.")
}

// builtin reads a built-in set; nil when there is none of that name.
func (l *library) builtin(name string) *document {
	if set := l.builtins[name]; set != nil {
		return set
	}
	data, err := fs.ReadFile(l.sets, name+".yml")
	if err != nil {
		return nil
	}
	set := &document{name: name, file: builtinDir + name + ".yml"}
	l.read(set, data, setKeys)
	l.builtins[name] = set
	return set
}

// read fills a document from a file's bytes.
func (l *library) read(set *document, data []byte, keys []key[*document]) {
	d := &decoder{&source{file: set.file}, l.complaints, l.catalog}
	set.start = Position{set.file, 1, 1}
	root := d.parse(data, l.complaints)
	if root == nil {
		return
	}
	set.start = d.pos(root)
	what := "a rule set"
	if set.main != nil {
		what = "the configuration"
	}
	if set.printer {
		what = "the file of a machine"
	}
	mapping(d, root, what, keys, set)
}

// use lays a set, after those that it uses itself. from is the file that names it.
func (l *library) use(name string, at Position, from string) {
	if isFile(name) {
		l.useFile(name, at, from)
		return
	}
	set := l.builtin(name)
	if set == nil {
		l.incomplete = true
		l.add(at, "no set is called %q%s; a file's name ends in .yml", name, near.Hint(name, setNames(l.sets)))
		return
	}
	l.lay(set, name, at)
}

// useFile lays a set from a file.
func (l *library) useFile(name string, at Position, from string) {
	full, ok := l.resolve(name, at, from)
	if !ok {
		l.incomplete = true
		return
	}
	set := &document{name: full, file: full}
	if !l.has(full) && !l.reading(full) {
		data, err := l.open(full)
		if err != nil {
			l.incomplete = true
			l.add(at, "%s", openError(full, err))
			return
		}
		before := len(l.list)
		l.read(set, data, setKeys)
		l.incomplete = l.incomplete || len(l.list) > before
	}
	l.lay(set, full, at)
}

// resolve finds the path of a set's file, which must lie in the configuration's
// folder or below: a stranger's configuration shall not name files elsewhere.
func (l *library) resolve(name string, at Position, from string) (string, bool) {
	if path.IsAbs(name) || strings.ContainsAny(name, "\\:") {
		l.add(at, "a set's file is named from the folder of this file on, with /, not %q", name)
		return "", false
	}
	full := path.Join(path.Dir(from), name)
	inside := l.inside(full)
	if !inside {
		l.add(at, outside, name)
	}
	return full, inside
}

// outside is what is said of a file that may not be read.
const outside = "%q lies outside the configuration's folder; copy it in"

// inside says whether a path lies in the configuration's folder or below.
func (l *library) inside(full string) bool {
	if l.root == "." {
		return full != ".." && !strings.HasPrefix(full, "../")
	}
	return strings.HasPrefix(full, strings.TrimSuffix(l.root, "/")+"/")
}

// openError words why a file cannot be read; "" is the file complained about.
func openError(file string, err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err // without the path, which stands before it
	}
	switch missing := errors.Is(err, fs.ErrNotExist); {
	case missing && file == "":
		return "there is no such file"
	case missing:
		return "there is no file " + file
	case file == "":
		return "cannot be read: " + err.Error()
	}
	return file + " cannot be read: " + err.Error()
}

// useAll lays the sets that a document uses.
func (l *library) useAll(set *document) {
	l.incomplete = l.incomplete || set.useLost
	for _, u := range set.use {
		l.use(u.value, u.pos(), set.file)
	}
	if set.process.material() == "" {
		l.checkPlastics(set)
	}
}

// checkRules complains where the files in use bring no rules, as those of machines do not: with
// them alone every model would pass.
func (l *library) checkRules(main *document, base *View) {
	i := slices.IndexFunc(main.use, func(u text) bool { return isFile(u.value) })
	if i < 0 || len(base.ids) > 0 || l.incomplete {
		return
	}
	u := main.use[i]
	l.add(u.pos(), "no rule is in use, since %s brings none; name a rule set before it, as in use: [standard, %s]", u.value, u.value)
}

// checkPlastics complains about a plastic that is named among the sets and does not hold,
// since a later set brings another.
func (l *library) checkPlastics(set *document) {
	for i, u := range set.use {
		if l.material(u.value) == nil {
			continue
		}
		for _, later := range set.use[i+1:] {
			switch other := l.plasticOf(later.value, set.file, 0); {
			case other == "" || other == u.value:
				continue
			case other == later.value:
				l.add(u.pos(), "%s does not hold, since %s comes after it; name one plastic", u.value, other)
			default:
				l.add(u.pos(), "%s does not hold, since %s comes after it and brings %s; put %s last", u.value, later.value, other, u.value)
			}
			break
		}
	}
}

// plasticOf is the plastic that a set names, or the sets that it uses, the last word winning.
// from is the file that names it.
func (l *library) plasticOf(name, from string, depth int) string {
	if isFile(name) {
		name = path.Join(path.Dir(from), name)
	}
	i := slices.IndexFunc(l.laid, func(set *document) bool { return set.name == name })
	if i < 0 || depth > maxDepth {
		return ""
	}
	set := l.laid[i]
	last := set.process.material()
	for k := len(set.use) - 1; k >= 0 && last == ""; k-- {
		last = l.plasticOf(set.use[k].value, set.file, depth+1)
	}
	return last
}

func (l *library) has(name string) bool {
	return slices.ContainsFunc(l.laid, func(set *document) bool { return set.name == name })
}

func (l *library) reading(name string) bool { return slices.Contains(l.stack, name) }

// lay puts a set on top of those laid so far, unless it is among them already.
func (l *library) lay(set *document, name string, at Position) {
	switch {
	case l.reading(name):
		l.add(at, "sets use each other in a circle: %s", strings.Join(append(l.stack, name), " uses "))
		return
	case l.has(name):
		return
	case len(l.stack) >= maxDepth:
		l.add(at, "sets use sets more than %d deep", maxDepth)
		return
	case len(l.laid) >= maxSets:
		l.add(at, "more than %d sets in use", maxSets)
		return
	}
	l.stack = append(l.stack, name)
	l.useAll(set)
	l.stack = l.stack[:len(l.stack)-1]
	l.laid = append(l.laid, set)
}

// withMaterial returns the sets with that of the material among them and those of
// other materials dropped. Where `use` does not name it, it goes on top of the
// built-in sets that come first, and so under every file of the user's own.
func (l *library) withMaterial(material string) []*document {
	own := l.material(material)
	if own == nil {
		return l.laid
	}
	var sets []*document
	top, leading, there := 0, true, false
	for _, set := range l.laid {
		if set.name != material && !isFile(set.name) && set.process.material() == set.name {
			continue
		}
		there = there || set.name == material
		sets = append(sets, set)
		if leading = leading && !isFile(set.name); leading {
			top = len(sets)
		}
	}
	if there {
		return sets
	}
	return slices.Insert(sets, top, own)
}

// withoutMaterials are the sets without those of materials.
func (l *library) withoutMaterials() []*document {
	return slices.DeleteFunc(slices.Clone(l.laid), func(set *document) bool { return l.material(set.name) == set })
}

// material reads a built-in material's set; nil when there is none of that name.
func (l *library) material(name string) *document {
	if name == "" || isFile(name) {
		return nil
	}
	if set := l.builtin(name); set != nil && set.process.material() == name {
		return set
	}
	return nil
}

// materials lists the built-in materials.
func (l *library) materials() []string {
	return slices.DeleteFunc(setNames(l.sets), func(name string) bool { return l.material(name) == nil })
}
