// Package work counts what judging one model costs, so that a limit means the same on
// an idle machine and on a busy one.
//
// A unit is about a nanosecond of one core of an ordinary machine. Whoever writes a
// loop states what one of its steps costs, in units, and tells a Tally how many steps
// were taken. The sum does not depend on the number of workers, on other processes or
// on the clock, so the same model ends at the same place everywhere.
//
// A loop whose steps the size of the file does not bound must tell a Tally, and stop
// when it is told to: only so can a limit, or a signal, end it.
package work

import (
	"context"
	"errors"
	"math"
	"sync/atomic"
	"time"
)

// ErrLimit says that the model has used up the work it may cost.
var ErrLimit = errors.New("the limit of work is used up")

// ErrTooMuch says that a part of the work passed the bound of its own; the rest of the
// model can go on.
var ErrTooMuch = errors.New("more work than this may cost")

// Meter holds what is left of a limit. It is safe for concurrent use.
type Meter struct {
	ctx    context.Context
	left   atomic.Int64
	parent *Meter
	end    error // what Spend answers when nothing is left
}

type key struct{}

// Start returns a context that carries a meter with the limit, in time of one core; 0
// or less is no limit.
func Start(ctx context.Context, limit time.Duration) context.Context {
	m := &Meter{ctx: ctx, end: ErrLimit}
	m.left.Store(math.MaxInt64)
	if limit > 0 {
		m.left.Store(limit.Nanoseconds())
	}
	return context.WithValue(ctx, key{}, m)
}

// Of returns the meter that a context carries, or one without a limit.
func Of(ctx context.Context) *Meter {
	if m, ok := ctx.Value(key{}).(*Meter); ok {
		return m
	}
	m := &Meter{ctx: ctx, end: ErrLimit}
	m.left.Store(math.MaxInt64)
	return m
}

// Part returns a meter with a bound of its own, in units, whose work also counts for m.
// Past its bound it answers ErrTooMuch.
func (m *Meter) Part(bound int64) *Meter {
	p := &Meter{ctx: m.ctx, parent: m, end: ErrTooMuch}
	p.left.Store(bound)
	return p
}

// Spend takes units off what is left. The error is the context's where that has ended,
// ErrLimit or ErrTooMuch where nothing is left, and nil where work may go on.
func (m *Meter) Spend(units int64) error {
	if err := m.ctx.Err(); err != nil {
		return err
	}
	var err error
	for at := m; at != nil; at = at.parent {
		if at.left.Add(-units) < 0 {
			err = at.end // the outermost wins: it ends more
		}
	}
	return err
}

// Err is Spend of nothing.
func (m *Meter) Err() error { return m.Spend(0) }

// Left returns the units that are left of the tightest bound.
func (m *Meter) Left() int64 {
	least := int64(math.MaxInt64)
	for at := m; at != nil; at = at.parent {
		least = min(least, at.left.Load())
	}
	return max(least, 0)
}

// batch is how many units a Tally saves up before it tells its meter: a tenth of a
// millisecond, so that a signal is heard soon and the telling costs nothing.
const batch = 100_000

// Tally saves up the units of one goroutine, so that a hot loop does not wait for the
// others. The zero value counts for nothing and never stops.
type Tally struct {
	meter *Meter
	open  int64
	err   error
}

// Tally returns a tally of the meter for one goroutine.
func (m *Meter) Tally() Tally { return Tally{meter: m} }

// Add counts units and reports whether work may go on. Once it may not, it stays so.
func (t *Tally) Add(units int64) bool {
	t.open += units
	return t.open < batch && t.err == nil || t.settle()
}

func (t *Tally) settle() bool {
	if t.err == nil && t.meter != nil {
		t.err = t.meter.Spend(t.open)
	}
	t.open = 0
	return t.err == nil
}

// Close counts what is saved up and returns why work had to stop, or nil.
func (t *Tally) Close() error {
	t.settle()
	return t.err
}

// Err returns why work had to stop, or nil; what is saved up is not counted yet.
func (t *Tally) Err() error { return t.err }
