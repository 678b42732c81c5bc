// Package lint is the engine: models × rules → findings, in one total order.
//
// Models are taken biggest first by a bounded number of workers, within a bounded
// estimate of memory. Each is judged on its own: one that cannot be read, takes too
// much work or breaks the analysis becomes an entry that says so, and neither ends the
// run nor hides what was found on others. The report does not depend on how many
// workers there were.
package lint

import (
	"cmp"
	"context"
	"slices"
	"time"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// Options bound the cost of a run; none of them changes what is found.
type Options struct {
	// Jobs is how many processors to use over all models together, at least 1.
	Jobs int
	// Memory bounds the estimated working memory of the models in hand, in bytes.
	// A model estimated above it is taken alone.
	Memory int64
	// TimeLimit bounds the work on one file, in time of one core of an ordinary machine;
	// 0 is no bound.
	TimeLimit time.Duration
	// Progress, when not nil, is called after each file, from one goroutine at a time.
	Progress func(done, total int)
	// Whole says that the files are the whole collection, so that a waiver for a model
	// that is gone is stale too.
	Whole bool
	// Results says where results wait from one run to the next, if anywhere.
	Results ResultCache
	// Shard, when not nil, says which share of a run this is, out of what, and what was
	// asked for: what needs the other shares to be decided is listed for Merge.
	Shard *finding.Shard
	// FailAt is the level that the run fails at, for the report to carry.
	FailAt finding.Level
	// Around is what lies around the files, for accepted findings to follow a rename.
	Around Around
	// Remarks are notes on configuration files.
	Remarks []Remark
	// Strict makes a model whose name and content are of two formats unreadable: another
	// program may go by the name. Otherwise a note says so.
	Strict bool
	// Before, when not nil, is what the models were like before a change, to be compared.
	Before *Before
	// Idle are configurations that hold for nothing: they are errors.
	Idle []Idle
	// Timing puts the seconds the run took into the summary.
	Timing bool
	// Advice says for which models to look for other ways up, and how far.
	Advice advise.Options
	// Observer, when not nil, is handed every model that was judged.
	Observer Observer
	// Machines are those of the configuration that every model is judged for; without any it
	// is judged for what the configuration itself says.
	Machines []*ruleset.Machine
}

// Run judges the files by the configuration. The error is the context's when that
// ended the run; whatever goes wrong with a model is an entry of the report.
func Run(ctx context.Context, version string, files []collection.File, config *ruleset.Config, opt Options) (*finding.Report, error) {
	start := time.Now()
	r := &finding.Report{
		Format: finding.Format,
		Tool:   finding.Tool{Name: finding.ToolName, Version: version},
		Rules:  finding.RuleSet{Config: config.File, Digest: config.Digest, From: config.From, Sets: config.Sets, Rules: RulesInForce(config, opt.Machines...)},
	}
	if opt.Before != nil {
		r.Rules.Rules = RulesCompared(config, opt.Machines...)
	}
	usage := config.NewUsage()
	if err := follow(ctx, usage, files, opt.Around); err != nil {
		return nil, err
	}
	r.FailAt = opt.FailAt
	j := &judge{usage: usage, machines: opt.Machines, where: whereOf(config, opt.Machines), advice: opt.Advice, observer: opt.Observer, limit: opt.TimeLimit, figures: opt.Before != nil}
	j.aboutMachines(r)
	g := &engine{
		config: config, limit: opt.TimeLimit, wait: patience(opt.TimeLimit), each: j.judge, opens: j.opens,
		results: newResults(&opt, j, r.Rules.Rules), copies: newCopies(config, files, &opt), strict: opt.Strict,
	}
	entries, err := g.all(ctx, files, opt)
	if err != nil {
		return nil, err
	}
	j.fillMachines(entries)
	if opt.Before != nil {
		if r.Compared, err = opt.Before.compare(ctx, config, files, entries, opt); err != nil {
			return nil, err
		}
	}
	folders, err := g.judgeFolders(ctx, j, files, entries, r.Compared, &opt)
	if err != nil {
		return nil, err
	}
	entries = append(entries, folders...)
	left := unused(usage, files, entries, &opt)
	entries = slices.DeleteFunc(entries, silent)
	if opt.Shard != nil {
		share := *opt.Shard
		share.Files, share.Unused = len(files), left
		r.Shard, left = &share, nil
	}
	remarks := slices.Clone(opt.Remarks)
	for _, s := range config.Unbounded() {
		remarks = append(remarks, Remark(s))
	}
	remarks = append(remarks, unopened(config, j, files)...)
	for _, m := range configEntries(left, remarks, opt.Idle, opt.Before != nil) {
		entries = append(entries, entry{Model: m})
	}
	sortEntries(entries)
	r.Models = make([]finding.Model, len(entries))
	for i := range entries {
		r.Models[i] = entries[i].Model
	}
	countChanges(r)
	r.Summary = Summarize(r.Models)
	if opt.Timing {
		r.Summary.Seconds = finding.Round(time.Since(start).Seconds())
	}
	return r, nil
}

// rulePaths lists what was checked and what could not be judged, by the paths that
// waivers are written against.
func rulePaths(files []collection.File, entries []entry) (checked, unjudged []string) {
	origins := collection.OriginsOf(files)
	for i := range entries {
		if _, rules := origins.Of(entries[i].Path); entries[i].Status == finding.Checked {
			checked = append(checked, rules)
		} else {
			unjudged = append(unjudged, rules)
		}
	}
	return checked, unjudged
}

// sortEntries puts models in order of their path; the parts of one file stay in the
// order in which they stand there.
func sortEntries(list []entry) {
	slices.SortStableFunc(list, func(a, b entry) int { return cmp.Compare(a.Path, b.Path) })
}
