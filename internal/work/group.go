package work

import (
	"context"
	"sync"
	"sync/atomic"
	"time"
)

// Group runs goroutines that belong together. A panic in one of them is raised again in
// whoever waits, so that it ends the model they work on and not the whole run. The zero
// value is ready.
type Group struct {
	all    sync.WaitGroup
	mutex  sync.Mutex
	broken chan struct{}
	caught any
}

// Go runs f in a goroutine of the group.
func (g *Group) Go(f func()) {
	g.all.Go(func() {
		defer func() {
			if caught := recover(); caught != nil {
				g.fail(caught)
			}
		}()
		f()
	})
}

// fail keeps the first panic and wakes whoever listens for it.
func (g *Group) fail(caught any) {
	broken := g.signal()
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if g.caught == nil {
		g.caught = caught
		close(broken)
	}
}

func (g *Group) signal() chan struct{} {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if g.broken == nil {
		g.broken = make(chan struct{})
	}
	return g.broken
}

// Broken is closed once a goroutine of the group has panicked: what others wait for from
// it will not come.
func (g *Group) Broken() <-chan struct{} { return g.signal() }

// Wait waits for all goroutines and raises the panic of one again.
func (g *Group) Wait() {
	g.all.Wait()
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if g.caught != nil {
		panic(g.caught)
	}
}

// Each does tasks 0 to n-1 on up to jobs workers, the caller among them, and waits. Every
// worker makes its own function, which may keep what only it uses. Of several tasks that
// panic, the lowest is told, whatever the number of workers; no task is begun after one.
func Each(jobs, n int, worker func() func(task int)) {
	if n == 0 {
		return
	}
	var next atomic.Int64
	caught := make([]any, max(1, min(jobs, n)))
	failed := make([]int, len(caught))
	work := func(w int) {
		task := n
		defer func() {
			if caught[w] = recover(); caught[w] != nil {
				failed[w] = task
				next.Store(int64(n))
			}
		}()
		for do := worker(); ; do(task) {
			if task = int(next.Add(1)) - 1; task >= n {
				return
			}
		}
	}
	var others sync.WaitGroup
	for w := 1; w < len(caught); w++ {
		others.Go(func() { work(w) })
	}
	work(0)
	others.Wait()
	first := -1
	for w := range caught {
		if caught[w] != nil && (first < 0 || failed[w] < failed[first]) {
			first = w
		}
	}
	if first >= 0 {
		panic(caught[first])
	}
}

// Within runs f with a context that ends with it and waits for at most the given time; 0
// or less waits for as long as it takes. It reports whether f came to its end. If not,
// the context of f has ended, and f goes on for nobody: what it writes must be read only
// where the answer is true.
func Within(ctx context.Context, wait time.Duration, f func(context.Context)) bool {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	if wait <= 0 {
		f(ctx)
		return true
	}
	var caught any
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer func() { caught = recover() }()
		f(ctx)
	}()
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-done:
	case <-timer.C:
		return false
	}
	if caught != nil {
		panic(caught)
	}
	return true
}
