package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/lint"
	"printlint/internal/report"
)

const checkDetail = `
Judges every model below the given files and folders, or below the current folder,
by the rules of the outermost .printlint.yml at or above it, up to the top of the
repository. Without one the built-in set "standard" holds. One that lies further in
holds for nothing and is an error, and models that lead to different ones are not
checked together. In a git repository, what git ignores is left out and counted on
standard error, and other repositories inside it are left alone. Nothing that a
repository names is run. The path - is a model on standard input, called stdin.

Exit code: 0 passed, 1 findings at or above the level that fails, 2 the job could
not be done (wrong flag, mistake in the rules, a model that cannot be read or
judged, nothing matched). 2 beats 1; the format never matters.`

// checkFlags are the flags of check.
type checkFlags struct {
	*reportFlags
	config *string
	gate   *gateFlags
	accept *string
	shard  *string
	// filesFrom is the list of what to check; - is standard input.
	filesFrom *string
	cache     *string
	cost      *costFlags
	names     *listFlags
	machines  *[]string

	pictures *string
	noAdvice *bool
}

func checkCommand(in *invocation) action {
	f := &checkFlags{config: configFlag(in.flags), gate: newGateFlags(in.flags)}
	f.reportFlags = newReportFlags(in.flags)
	f.machines = machineFlag(in.flags)
	f.pictures = picturesFlag(in.flags)
	f.accept = in.flags.String("accept", "", "write everything found, and not waived, to `FILE` as accepted; the configuration names that file under accepted")
	f.noAdvice = in.flags.Bool("no-advice", false, "do not look for other ways up, which takes a model with findings two to four times as long")
	f.names = newListFlags(in.flags)
	f.filesFrom = in.flags.String("files-from", "", "check what `FILE` names, one name a line or each ended by a zero byte; - is standard input")
	f.shard = in.flags.String("shard", "", "check only share K of N, as `K/N`, for merge to join; auto takes it from a job array")
	f.cache = cacheFlag(in.flags)
	f.cost = newCostFlags(in.flags)
	return func(ctx context.Context, args []string) (int, error) {
		return f.run(ctx, in.env, args)
	}
}

func (f *checkFlags) run(ctx context.Context, env Env, args []string) (int, error) {
	if err := f.refuse(); err != nil {
		return 0, err
	}
	paths, piped, err := f.sources(env, args)
	if err != nil {
		return 0, err
	}
	f.gate.piped = piped
	also, err := alsoFiles(*f.also)
	if err != nil {
		return 0, err
	}
	opt, err := f.options(env, paths)
	if err != nil {
		return 0, err
	}
	if err := f.gate.comparing(); err != nil {
		return 0, err
	}
	g, err := f.gate.open(*f.config, paths, *f.accept, env.warn)
	if err != nil {
		return 0, interrupted(err)
	}
	if opt.Machines, err = chosenMachines(g.Config, *f.machines); err != nil {
		return 0, err
	}
	if err := f.asks(also, lint.RulesCompared(g.Config)); err != nil {
		return 0, err
	}
	keep, err := f.keeps(g, also)
	if err != nil {
		return 0, err
	}
	if !*f.quiet {
		env.say(g.says())
	}
	failAt := f.level(g.FailAt)
	opt.Whole, opt.Remarks, opt.Idle, opt.FailAt = g.whole(paths), g.remarks, g.idle, failAt
	if opt.Before, err = f.gate.before(ctx, g, paths, opt.Shard); err != nil {
		return 0, err
	}
	opt.Around, opt.Strict = g.around(opt.Whole), *f.gate.changed != ""
	if opt.Shard != nil {
		opt.Shard.All, opt.Shard.Asked = lint.ListingOf(g.files), f.gate.asked(g, paths)
		g.files = collection.Shard(g.files, opt.Shard.Index, opt.Shard.Count)
	}
	if *f.names.list {
		return lint.ExitClean, f.names.print(env, g.files)
	}
	lean(len(g.files))
	drawn := f.gallery(env, also, len(g.files), keep)
	some := drawn != nil && opt.Before == nil && len(g.files) > maxDrawn
	if drawn != nil && !some {
		opt.Observer = drawn
		if opt.Before != nil {
			opt.Before.Observer = drawn.changed
		}
	}
	done := func() {}
	if env.Progress && !*f.quiet {
		opt.Progress, done = progress(env.Stderr, len(g.files))
	}
	r, err := lint.Run(ctx, Version(), g.files, g.Config, opt)
	done()
	if err == nil && some {
		err = drawn.drawWorst(ctx, r, g.files, g.Config, opt)
	}
	if err != nil {
		return 0, interrupted(err)
	}
	if opt.Results.Cache != nil {
		opt.Results.Cache.Trim()
	}
	var failed error // told behind the reports, which it keeps no one from
	if *f.accept != "" {
		failed = accept(*f.accept, g, r, opt.Whole, env.Stderr)
	}
	shown := report.Options{FailAt: failAt, Exit: lint.Exit(r, failAt), Covered: *f.gate.changed != ""}
	if drawn != nil {
		if drawn.err != nil {
			return 0, drawn.err
		}
		shown.Drawn = maxDrawn
		shown.Pictures, shown.Value = drawn.of(r), boundWords(g.Config.Rules())
	}
	if err := f.write(env, r, also, shown); failed == nil {
		failed = err
	}
	if offer := offersTurn(r, failAt); offer != "" && *f.gate.staged && !*f.quiet {
		env.say(offer)
	}
	return shown.Exit, failed
}

// gallery is where the pictures of a run are kept; nil where no report shows any.
func (f *checkFlags) gallery(env Env, also []alsoFile, files int, keep *guarded) *gallery {
	if *f.pictures == "" && !f.draws(also) {
		return nil
	}
	return newGallery(f.pages(env, also, files), *f.pictures, keep)
}

// keeps holds what the run is to write against what must stay.
func (f *checkFlags) keeps(g *gate, also []alsoFile) (*guarded, error) {
	if *f.accept == "" && *f.pictures == "" && len(also) == 0 {
		return nil, nil
	}
	keep := g.keeps()
	if *f.accept != "" {
		if err := keep.allow("--accept", *f.accept); err != nil {
			return nil, err
		}
		keep.keep(*f.accept, "where --accept writes")
	}
	for _, name := range g.Accepted {
		keep.keep(filepath.FromSlash(name), "a file of accepted findings")
	}
	return keep, keep.reports(also)
}

// options are what the flags say of the run itself.
func (f *checkFlags) options(env Env, paths []string) (lint.Options, error) {
	opt, err := f.cost.options()
	if err != nil {
		return opt, err
	}
	if opt.Shard, err = shardOf(*f.shard, os.Getenv); err != nil {
		return opt, err
	}
	if opt.Results, err = openCache(*f.cache, env.Cache, paths, env.warn); err != nil {
		return opt, err
	}
	if !*f.noAdvice && *f.accept == "" {
		opt.Advice.Depth = advise.Short
	}
	if *f.accept != "" && (opt.Shard != nil || *f.gate.staged || *f.gate.rulesFrom != "") {
		return opt, errors.New("--accept writes down what lies in the folder; it goes with none of --shard, --staged and --rules-from")
	}
	return opt, nil
}

// interrupted words the end of a run that was stopped from outside.
func interrupted(err error) error {
	if errors.Is(err, context.Canceled) {
		return fmt.Errorf("stopped before the end; nothing was judged")
	}
	return err
}
