package lint

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/cache"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/work"
)

// ResultCache says where results wait from one run to the next.
type ResultCache struct {
	Cache *cache.Cache
	// Program stands for everything in this program that decides a result.
	Program string
}

// cachedModel is a model of a file, as it is stored. The path of the file is left out.
type cachedModel struct {
	finding.Model
	Locations []finding.Location `json:"locations"` // of the findings, which a report leaves out
}

// results looks results up in the cache and stores new ones.
type results struct {
	ResultCache
	judge  *judge
	strict bool // as in Options
	rules  []finding.Rule
}

// newResults returns nil when nothing is stored.
func newResults(opt *Options, j *judge, rules []finding.Rule) *results {
	if opt.Results.Cache == nil || opt.Advice.Down != nil {
		return nil
	}
	return &results{opt.Results, j, opt.Strict, rules}
}

// key names a result by all it depends on: the content, the rules with process and unit,
// the path that they are applied by, what they ask of its folder, what is noted on the file, what was asked for, and the
// program.
func (r *results) key(file *collection.File, e *entry) string {
	return cache.Key("models", r.Program, r.judge.usage.Digest, fmt.Sprint(r.judge.advice.Depth, r.strict, r.judge.figures), strings.Join(r.judge.names(), "\n"), file.Rules, r.judge.usage.Taken(file.Rules), strings.Join(file.Notes, "\n"), r.judge.usage.Beside(e.file), e.SHA256)
}

// load returns the models of a file as an earlier run found them. An observer needs the mesh
// of each, so that stored results are no use to it.
func (r *results) load(file *collection.File, e *entry) ([]entry, bool) {
	if r == nil || r.judge.observer != nil {
		return nil, false
	}
	data, ok := r.Cache.Get(r.key(file, e))
	if !ok {
		return nil, false
	}
	var list []cachedModel
	if json.Unmarshal(data, &list) != nil || len(list) == 0 {
		return nil, false
	}
	if slices.ContainsFunc(list, func(m cachedModel) bool { return len(m.Locations) != len(m.Findings) }) {
		return nil, false
	}
	models := make([]entry, len(list))
	for i := range list {
		m := list[i].Model
		for n := range m.Findings {
			m.Findings[n].Location = list[i].Locations[n]
		}
		r.judge.waive(file.Rules+m.Path, &m) // so that no waiver in use is taken for stale
		m.CountMachines()
		m.Path = file.Path + m.Path
		giveUnits(&m, r.rules)
		m.Compact()
		models[i].Model = m
	}
	return models, true
}

// store stores what was found on a file, but for what could come out otherwise next time:
// a model that could not be read, or that ran into the limit of work. That a result
// cannot be stored is no fault of the run.
func (r *results) store(ctx context.Context, file *collection.File, e *entry, models []entry) {
	if r == nil || work.Of(ctx).Err() != nil {
		return
	}
	list := make([]cachedModel, len(models))
	for i := range models {
		m := models[i].Model
		if m.Status == finding.Unreadable {
			return
		}
		m.Path = strings.TrimPrefix(m.Path, file.Path)
		list[i] = cachedModel{Model: m, Locations: []finding.Location{}}
		for n := range m.Findings {
			list[i].Locations = append(list[i].Locations, m.Findings[n].Location)
		}
	}
	if data, err := json.Marshal(list); err == nil {
		_ = r.Cache.Put(r.key(file, e), data)
	}
}
