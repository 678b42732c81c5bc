package cli

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/pflag"

	"printlint/internal/lint"
)

// costFlags bound what a run may cost. None of them changes what is found.
type costFlags struct {
	jobs   *int
	memory bytesValue
	limit  *time.Duration
}

// The defaults. A model that takes a minute of work is no printable part but a mistake
// of export or an attack on the gate.
const (
	defaultMemory = 2 << 30
	defaultLimit  = time.Minute
)

// leastMemory is what the program needs before the first model: below it the collector
// would do nothing but collect.
const leastMemory = 64 << 20

// redraw is how often the progress bar is drawn at most.
const redraw = 100 * time.Millisecond

func newCostFlags(flags *pflag.FlagSet) *costFlags {
	c := &costFlags{memory: defaultMemory}
	c.jobs = flags.Int("jobs", 0, "how many processors to use over all models; 0 is all of them")
	flags.Var(&c.memory, "memory", "working memory that the models in hand may take, estimated from their size; a note names one that alone needs more")
	c.limit = flags.Duration("time-limit", defaultLimit, "the work that one file may cost, as time of one processor however busy the machine is; what was not judged by then is undecided; 0 is no limit")
	return c
}

func (c *costFlags) options() (lint.Options, error) {
	if *c.jobs < 0 {
		return lint.Options{}, fmt.Errorf("--jobs is %d; it counts processors, or is 0 for all of them", *c.jobs)
	}
	if *c.limit < 0 {
		return lint.Options{}, fmt.Errorf("--time-limit is %v; it is a length of time, or 0 for no limit", *c.limit)
	}
	jobs := *c.jobs
	if jobs == 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	// The collector keeps the whole process within it where it can: what is thrown away is
	// collected sooner as the limit comes near.
	debug.SetMemoryLimit(max(int64(c.memory), leastMemory))
	return lint.Options{Jobs: jobs, Memory: int64(c.memory), TimeLimit: *c.limit}, nil
}

// progress draws a bar until done is called.
func progress(w io.Writer, total int) (step func(done, total int), done func()) {
	bar := progressbar.NewOptions(total,
		progressbar.OptionSetWriter(w),
		progressbar.OptionSetDescription("models"),
		progressbar.OptionShowCount(),
		progressbar.OptionSetWidth(30),
		progressbar.OptionThrottle(redraw),
		progressbar.OptionClearOnFinish(),
	)
	return func(n, _ int) { _ = bar.Set(n) }, func() { _ = bar.Clear() }
}

// manyModels is from how many models on a report takes more memory than the judging. Judgement.
const manyModels = 10_000

// lean makes the collector keep less free beside what is in use, where a report has many
// models: all of them stay until the end, and as much again would be kept free for nothing.
func lean(models int) {
	if models >= manyModels {
		debug.SetGCPercent(20)
	}
}
