package lint

import (
	"context"
	"path"
	"slices"
	"strings"
	"sync"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// copies judge content that lies on the shelf under several names once: what was found on
// the first holds for the others, where the rules do not ask for the name.
type copies struct {
	config *ruleset.Config
	sizes  map[int64]int // how many files have that size; a single one is no copy
	mutex  sync.Mutex
	first  map[content]*judgedOnce
	named  map[*ruleset.View]bool // whether a rule asks for more than the content
}

// content is all that decides what is found on a file, but for its name.
type content struct {
	digest, extension, notes string
	view                     *ruleset.View
}

// judgedOnce is what was found on the first file of some content.
type judgedOnce struct {
	done   chan struct{} // closed when models says what was found
	path   string
	models []entry // empty where others must be judged on their own
}

// newCopies returns nil where nothing can be taken over: whoever looks at each mesh needs each.
func newCopies(config *ruleset.Config, files []collection.File, opt *Options) *copies {
	if opt.Observer != nil || opt.Advice.Down != nil {
		return nil
	}
	c := &copies{config: config, sizes: map[int64]int{}, first: map[content]*judgedOnce{}, named: map[*ruleset.View]bool{}}
	for i := range files {
		c.sizes[files[i].Size]++
	}
	return c
}

// of finds the place for what is found on a file, and whether this file is the first that
// comes to it; nil where it is judged on its own.
func (c *copies) of(file *collection.File, e *entry) (once *judgedOnce, first bool) {
	if c == nil || c.sizes[file.Size] < 2 {
		return nil, false
	}
	key := content{e.SHA256, strings.ToLower(path.Ext(file.Path)), strings.Join(file.Notes, "\n"), c.config.For(file.Rules)}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	named, known := c.named[key.view]
	if !known {
		named = slices.ContainsFunc(key.view.Rules, asksForFile)
		c.named[key.view] = named
	}
	if named {
		return nil, false
	}
	if once = c.first[key]; once == nil {
		once, first = &judgedOnce{done: make(chan struct{}), path: file.Path}, true
		c.first[key] = once
	}
	return once, first
}

// asksForFile says that a rule goes by what is known of the file itself, such as its name.
func asksForFile(r *ruleset.Rule) bool {
	return slices.ContainsFunc(r.Asks(), func(a ruleset.Ask) bool {
		def := verdict.Definition(a.Measure)
		return def == nil || len(def.Texts)+len(def.Unopened) > 0
	})
}

// keep says what was found on the first file, for the others to take over. Nothing is kept of
// what may come out otherwise for another file: what could not be read, what ran into the limit
// of work, models whose rules go by a name inside the file, and findings where the
// configuration waives or accepts some, which it does by name.
func (c *copies) keep(ctx context.Context, once *judgedOnce, models []entry) {
	defer close(once.done)
	forgives := len(c.config.Waivers)+len(c.config.Accepted) > 0
	if work.Of(ctx).Err() != nil || slices.ContainsFunc(models, func(e entry) bool {
		return e.Status == finding.Unreadable || e.Path != once.path || forgives && len(e.Findings) > 0
	}) {
		return
	}
	for i := range models {
		once.models = append(once.models, asCopy(&models[i], once.path))
	}
}

// asCopy is a model as it is found under another name.
func asCopy(e *entry, name string) entry {
	m := e.Model
	m.Path = name
	m.Notes, m.Findings, m.Machines = slices.Clone(m.Notes), slices.Clone(m.Findings), slices.Clone(m.Machines)
	return entry{Model: m}
}

// take waits for what is found on the first file, and returns it as found on another; nil
// where that must be judged on its own.
func (once *judgedOnce) take(ctx context.Context, name string) (models []entry) {
	select {
	case <-once.done:
	case <-ctx.Done():
		return nil
	}
	for i := range once.models {
		models = append(models, asCopy(&once.models[i], name))
	}
	return models
}
