package ruleset

import (
	"io/fs"
	"path"
	"slices"
	"strconv"
	"sync"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/near"
	"printlint/rules"
)

// Open reads a file of the tree that the configuration lies in: a work tree or a
// git revision. The path is the configuration's own or one below its folder, with
// slashes. A file that is not there is fs.ErrNotExist.
type Open func(path string) ([]byte, error)

// List lists the names of the files in a folder of that tree, links among them. A folder
// that is not there has none.
type List func(folder string) ([]string, error)

// Options are what loading needs to know.
type Options struct {
	Catalog []catalog.Measure // every measure there is
	Open    Open
	List    List   // nil where no folder can be listed
	From    string // the commit that Open reads from, or empty
	Today   string // YYYY-MM-DD, for waivers with a last day; "" passes none over

	sets fs.FS // stands in for the built-in sets in tests of the language; nil is rules.Files
}

// Config is a checked configuration. It does not change after loading and is safe for
// concurrent use; what a run used of it is tracked in a Usage.
type Config struct {
	File             string // its own, as it was named; empty where there is none
	Root             string // where its paths start, from its own folder on; empty where it does not say
	Process          catalog.Process
	Include, Exclude []string // globs, from the configuration's folder
	LFS              string   // "error" or "skip", for content that was not fetched
	FailAt           finding.Level
	FailOn           finding.FailOn
	Sets             []string // in the order in which they were laid, the configuration last
	Digest           string   // SHA-256 of everything that decides a verdict, in hex
	Waivers          []*Waiver
	Accepted         []string // files of accepted findings
	From             string   // the commit it was read from, or empty
	// Machines are the printers of the shelf, in the order in which they are named.
	Machines []*Machine
	// Where says how the verdicts of the machines make one; nil where there are none.
	Where *finding.FailWhere

	library *library
	main    *document
	base    *View
	views   *placeViews

	accepted   []*acceptedModel
	acceptedBy map[string][]*acceptedModel // by path
	findings   int                         // how many were accepted
}

// placeViews are what holds where several places speak, by their numbers, once asked for.
type placeViews struct {
	sync.Mutex
	list map[string]*View
}

// ModelGlobs are what counts as a model unless the configuration says otherwise: the
// formats that are read and the packs that they come in.
var ModelGlobs = []string{
	"**/*.{stl,3mf,obj,ply,off,amf,zip}",
	"**/*.{tar,tgz,tar.gz,stl.gz,3mf.gz,obj.gz,ply.gz,off.gz,amf.gz}",
}

// Load reads and checks the configuration in a file, with every set it uses. An
// empty path is a configuration that says nothing: the standard set and its process.
// The error is a *Problems with everything that is wrong.
func Load(file string, opt Options) (*Config, error) {
	c := &complaints{}
	lib := newLibrary(c, file, opt)
	main := &document{name: file, file: file, start: Position{File: file}, main: &mainPart{unit: "mm", lfs: "error", failAt: finding.Error, failOn: finding.FailOnAll}}
	if file != "" {
		data, err := opt.Open(file)
		if err != nil {
			c.add(main.start, "%s", openError("", err))
			return nil, c.err()
		}
		lib.read(main, data, mainKeys)
	}
	if !main.useSaid {
		lib.use(defaultSet, main.start, file)
	}
	lib.stack = append(lib.stack, file)
	lib.useAll(main)
	cfg := &Config{From: opt.From, library: lib, main: main}
	cfg.look()
	lib.checkRules(main, cfg.base)
	cfg.fill(opt.Today)
	cfg.index(lib.accepted(main))
	cfg.addMachines(opt.List)
	if err := c.err(); err != nil {
		return nil, err
	}
	cfg.Digest = cfg.digest()
	return cfg, nil
}

// defaultSet is used by a configuration that does not say what it uses.
const defaultSet = "standard"

func newLibrary(c *complaints, file string, opt Options) *library {
	if opt.sets == nil {
		opt.sets = rules.Files
	}
	return &library{
		complaints: c, catalog: opt.Catalog, open: opt.Open, sets: opt.sets, root: path.Dir(file),
		builtins: map[string]*document{},
	}
}

// look works out what holds with no place and with each alone.
func (c *Config) look() {
	c.views = &placeViews{list: map[string]*View{}}
	c.base = c.library.view(c.main, nil)
	c.library.base = c.base
	for _, p := range c.main.main.places {
		p.view = c.library.view(c.main, []*place{p})
	}
	c.Process = c.base.Process
	c.Sets = nil
	for _, set := range c.library.withMaterial(c.Process.Material) {
		c.Sets = append(c.Sets, set.name)
	}
	if c.main.file != "" {
		c.Sets = append(c.Sets, c.main.file)
	}
}

// fill copies what the configuration says of itself, and checks its waivers.
func (c *Config) fill(today string) {
	m := c.main.main
	c.File, c.Root = c.main.file, m.root
	c.LFS, c.FailAt, c.FailOn, c.Waivers = m.lfs, m.failAt, m.failOn, m.waivers
	for _, t := range m.accepted {
		c.Accepted = append(c.Accepted, path.Join(path.Dir(c.main.file), t.value))
	}
	c.Include, c.Exclude = values(m.include), values(m.exclude)
	if c.Include == nil {
		c.Include = slices.Clone(ModelGlobs)
	}
	c.checkTerms(today)
	ids := c.base.ids
	for _, w := range c.Waivers {
		w.past = w.Until != "" && today != "" && w.Until < today
		if w.Rule != "" && !slices.Contains(ids, w.Rule) && !c.library.incomplete {
			c.library.add(w.rulePos, "no rule is called %q%s", w.Rule, near.Hint(w.Rule, ids))
		}
	}
}

// Rules lists every rule as it holds where no place says otherwise, sorted by ID.
// Those switched off are among them, with level none.
func (c *Config) Rules() []*Rule { return c.base.all }

// Limit is the limit of that name of a rule, where no place says otherwise.
func (c *Config) Limit(rule, name string) (float64, bool) {
	for _, r := range c.base.all {
		for _, l := range r.Limits {
			if r.ID == rule && l.Name == name {
				return l.Value, true
			}
		}
	}
	return 0, false
}

// alone are what holds with no place, and with each by itself.
func (c *Config) alone() []*View {
	views := []*View{c.base}
	for _, p := range c.main.main.places {
		views = append(views, p.view)
	}
	return views
}

// For returns what holds for a model's path, from the configuration's folder and
// with slashes: pack.zip!/models/clip.stl inside a container.
func (c *Config) For(path string) *View {
	var held []*place
	key := ""
	for i, p := range c.main.main.places {
		if matchesAny(p.paths, path) {
			held = append(held, p)
			key += strconv.Itoa(i) + " "
		}
	}
	switch len(held) {
	case 0:
		return c.base
	case 1:
		return held[0].view
	}
	c.views.Lock()
	defer c.views.Unlock()
	v := c.views.list[key]
	if v == nil {
		// Each place was checked by itself on load; together they may still clash,
		// as a layer height of one with a nozzle of another.
		lib := *c.library
		lib.complaints = &complaints{}
		v = lib.view(c.main, held)
		v.spoil(lib.err())
		c.views.list[key] = v
	}
	return v
}
