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

// Kept says where results wait from one run to the next.
type Kept struct {
	Cache *cache.Cache
	// Program stands for everything in this program that decides a result.
	Program string
}

// keptModel is a model of a file, as it is kept. The path of the file is left out.
type keptModel struct {
	finding.Model
	Spots []finding.Spot `json:"spots"` // of the findings, which a report leaves out
}

// keeper looks results up and keeps new ones.
type keeper struct {
	Kept
	digest string // of the rules
	depth  Depth  // of advice
	strict bool   // as in Options
	look   bool   // whether kept results serve; new ones are always kept
	rules  []finding.Rule
	waive  func(rules string, model *finding.Model)
	from   func(rules string) string // the path that accepted findings are taken over from
}

// newKeeper returns nil when nothing is kept. Whoever wants to see each mesh cannot be
// served from what is kept.
func newKeeper(opt *Options, j *judge, rules []finding.Rule) *keeper {
	if opt.Kept.Cache == nil || opt.Advice.Down != nil {
		return nil
	}
	return &keeper{opt.Kept, j.usage.Digest, opt.Advice.Depth, opt.Strict, opt.Advice.Each == nil && opt.See == nil, rules, j.waive, j.usage.Taken}
}

// key names a result by all it depends on: the content, the rules with process and unit,
// the path that they are applied by, what is noted on the file, what was asked for, and the
// program.
func (k *keeper) key(file *collection.File, sum string) string {
	return cache.Key("models", k.Program, k.digest, fmt.Sprint(k.depth, k.strict), file.Rules, k.from(file.Rules), strings.Join(file.Notes, "\n"), sum)
}

// recall returns the models of a file as an earlier run found them.
func (k *keeper) recall(file *collection.File, sum string) ([]entry, bool) {
	if k == nil || !k.look {
		return nil, false
	}
	data, ok := k.Cache.Get(k.key(file, sum))
	if !ok {
		return nil, false
	}
	var list []keptModel
	if json.Unmarshal(data, &list) != nil || len(list) == 0 {
		return nil, false
	}
	if slices.ContainsFunc(list, func(m keptModel) bool { return len(m.Spots) != len(m.Findings) }) {
		return nil, false
	}
	models := make([]entry, len(list))
	for i := range list {
		m := list[i].Model
		for n := range m.Findings {
			m.Findings[n].Spot = list[i].Spots[n]
		}
		k.waive(file.Rules+m.Path, &m) // so that no waiver in use is taken for stale
		m.Path = file.Path + m.Path
		giveUnits(&m, k.rules)
		models[i].Model = m
	}
	return models, true
}

// keep keeps what was found on a file, but for what could come out otherwise next time:
// a model that could not be read, or that ran into the limit of work. That a result
// cannot be kept is no fault of the run.
func (k *keeper) keep(ctx context.Context, file *collection.File, sum string, models []entry) {
	if k == nil || work.Of(ctx).Err() != nil {
		return
	}
	list := make([]keptModel, len(models))
	for i := range models {
		m := models[i].Model
		if m.Status == finding.Unreadable {
			return
		}
		m.Path = strings.TrimPrefix(m.Path, file.Path)
		list[i] = keptModel{Model: m, Spots: []finding.Spot{}}
		for n := range m.Findings {
			list[i].Spots = append(list[i].Spots, m.Findings[n].Spot)
		}
	}
	if data, err := json.Marshal(list); err == nil {
		_ = k.Cache.Put(k.key(file, sum), data)
	}
}
