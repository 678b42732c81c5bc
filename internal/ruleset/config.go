package ruleset

import (
	"io/fs"
	"path"
	"slices"
	"sync"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/near"
	"printlint/rules"
)

// Open reads a file of the world that the configuration lives in: a work tree or a
// git revision. The path is the configuration's own or one below its folder, with
// slashes. A file that is not there is fs.ErrNotExist.
type Open func(path string) ([]byte, error)

// Options are what loading needs to know.
type Options struct {
	Catalog []catalog.Measure // every measure there is
	Open    Open
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
	Sets             []string // in the order in which they were laid, the configuration last
	Digest           string   // SHA-256 of everything that decides a verdict, in hex
	Waivers          []*Waiver
	Accepted         []string // files of accepted findings
	From             string   // the commit it was read from, or empty

	library *library
	main    *layer
	base    *View
	mutex   sync.Mutex
	views   map[string]*View // by the places that hold

	accepted   []*acceptedModel
	acceptedBy map[string][]*acceptedModel // by path
	findings   int                         // how many were accepted
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
	main := &layer{name: file, file: file, start: Position{File: file}, main: &mainPart{unit: "mm", lfs: "error", failAt: finding.Error}}
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
	cfg := &Config{library: lib, main: main, views: map[string]*View{}}
	cfg.base = lib.view(main, nil)
	lib.base = cfg.base
	for i, p := range main.main.places {
		cfg.views[cfg.held(func(j int) bool { return i == j })] = lib.view(main, []*place{p})
	}
	cfg.fill(opt.Today)
	cfg.index(lib.accepted(main))
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
		builtins: map[string]*layer{},
	}
}

// fill copies what the configuration says of itself, and checks its waivers.
func (c *Config) fill(today string) {
	m := c.main.main
	c.File, c.Root = c.main.file, m.root
	c.Process, c.LFS, c.FailAt, c.Waivers = c.base.Process, m.lfs, m.failAt, m.waivers
	for _, t := range m.accepted {
		c.Accepted = append(c.Accepted, path.Join(path.Dir(c.main.file), t.value))
	}
	c.Include, c.Exclude = values(m.include), values(m.exclude)
	if c.Include == nil {
		c.Include = slices.Clone(ModelGlobs)
	}
	for _, set := range c.library.withMaterial(c.Process.Material) {
		c.Sets = append(c.Sets, set.name)
	}
	if c.main.file != "" {
		c.Sets = append(c.Sets, c.main.file)
	}
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

// For returns what holds for a model's path, from the configuration's folder and
// with slashes: pack.zip!/models/clip.stl inside a container.
func (c *Config) For(path string) *View {
	var held []*place
	key := c.held(func(i int) bool {
		p := c.main.main.places[i]
		if !matchesAny(p.paths, path) {
			return false
		}
		held = append(held, p)
		return true
	})
	if len(held) == 0 {
		return c.base
	}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	v := c.views[key]
	if v == nil {
		// Each place was checked by itself on load; together they may still clash,
		// as a layer height of one with a nozzle of another.
		c.library.complaints = &complaints{}
		v = c.library.view(c.main, held)
		v.spoil(c.library.err())
		c.views[key] = v
	}
	return v
}

// held is a key for the places that hold, as a string of 0 and 1.
func (c *Config) held(holds func(i int) bool) string {
	key := make([]byte, len(c.main.main.places))
	for i := range key {
		key[i] = '0'
		if holds(i) {
			key[i] = '1'
		}
	}
	return string(key)
}
