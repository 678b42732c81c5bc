package lint

import (
	"cmp"
	"context"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/semaphore"

	"printlint/internal/collection"
	"printlint/internal/work"
)

// What a model costs in memory, estimated from its file before it is opened: read,
// welded, indexed and laid in layers, a body of 330,000 triangles in a binary file of
// 16 MB peaks at 5.5 bytes a byte of it, and text takes less. The rest is reserve. The base
// holds what may hang in a model however few triangles it has.
const (
	memoryPerByte = 8
	memoryBase    = 96 << 20
)

// dense formats hold a triangle in fewer bytes than binary STL, which takes 50: as 3MF
// 10 to 15, as binary PLY 19, as OFF or plain PLY 35.
var dense = map[string]int64{".3mf": 4, ".ply": 3, ".off": 2}

// weight is the size that a file would have as binary STL, about.
func weight(file *collection.File) int64 {
	return file.Size * max(dense[strings.ToLower(path.Ext(file.Path))], 1)
}

// tooHeavy is a note on a file that alone is estimated to need more than all of the
// memory; it is judged by itself.
func (s *schedule) tooHeavy(file *collection.File) string {
	need := memoryPerByte * weight(file)
	if need <= s.bytes {
		return ""
	}
	return fmt.Sprintf("it needs about %d MB of memory, more than --memory allows; it was judged by itself", (need+999_999)/1_000_000)
}

// large is the size of a file, in bytes, from which more than one processor helps: as
// binary STL it is five thousand triangles, some 30 ms of work.
const large = 256 << 10

// all takes every file and returns the models in the order of the files.
func (g *engine) all(ctx context.Context, files []collection.File, opt Options) ([]entry, error) {
	s := newSchedule(opt)
	results := make([][]entry, len(files))
	var (
		workers work.Group
		mutex   sync.Mutex
		done    int
	)
	order := biggestFirst(files)
	for n, i := range order {
		file := &files[i]
		seat, err := s.take(ctx, weight(file), len(order)-n)
		if err != nil {
			break
		}
		workers.Go(func() {
			defer s.leave(seat)
			results[i] = g.file(ctx, file, seat.jobs)
			for k := range results[i] {
				results[i][k].file = nil // nobody asks any more, and a shelf of many files is long
			}
			if note := s.tooHeavy(file); note != "" {
				for k := range results[i] {
					results[i][k].Notes = append(results[i][k].Notes, note)
				}
			}
			mutex.Lock()
			defer mutex.Unlock()
			if done++; opt.Progress != nil {
				opt.Progress(done, len(files))
			}
		})
	}
	workers.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return slices.Concat(results...), nil
}

// biggestFirst orders files for the workers: the long ones must not come last.
func biggestFirst(files []collection.File) []int {
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(weight(&files[b]), weight(&files[a])) })
	return order
}

// schedule hands out processors and memory.
type schedule struct {
	slots, memory *semaphore.Weighted
	jobs          int
	bytes         int64
}

func newSchedule(opt Options) *schedule {
	jobs, bytes := max(opt.Jobs, 1), opt.Memory
	if bytes <= 0 {
		bytes = 1 << 62
	}
	return &schedule{semaphore.NewWeighted(int64(jobs)), semaphore.NewWeighted(bytes), jobs, bytes}
}

// seat is what one model holds while it is judged.
type seat struct {
	jobs  int
	bytes int64
}

// take waits for room. Only one goroutine takes, memory before processors, so that
// no two models can wait for each other. A large model also gets its share of the
// processors that lie idle, with left files, itself among them, to go.
func (s *schedule) take(ctx context.Context, size int64, left int) (seat, error) {
	bytes := min(memoryBase+memoryPerByte*size, s.bytes)
	if err := s.memory.Acquire(ctx, bytes); err != nil {
		return seat{}, err
	}
	if err := s.slots.Acquire(ctx, 1); err != nil {
		s.memory.Release(bytes)
		return seat{}, err
	}
	jobs := 1
	if size >= large {
		for share := (s.jobs + left - 1) / left; jobs < share && s.slots.TryAcquire(1); {
			jobs++
		}
	}
	return seat{jobs, bytes}, nil
}

func (s *schedule) leave(t seat) {
	s.slots.Release(int64(t.jobs))
	s.memory.Release(t.bytes)
}
