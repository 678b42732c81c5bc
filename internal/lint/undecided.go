package lint

import (
	"context"
	"errors"
	"fmt"

	"printlint/internal/measure"
	"printlint/internal/work"
)

// unfinished is the entry of a model that was not judged at all within its limit.
func (g *engine) unfinished(e entry) entry {
	e.Undecide(fmt.Sprintf("not judged within the limit of %v of work", g.limit), measure.LimitCure)
	return e
}

// ended is the entry of a model whose judging came to an end: by the limit of work, or
// by something that is wrong with it.
func (g *engine) ended(ctx context.Context, e entry, err error) entry {
	if atLimit(ctx) {
		return g.unfinished(e)
	}
	return g.failed(e, err)
}

// atLimit says that the work the model may cost is used up.
func atLimit(ctx context.Context) bool { return errors.Is(work.Of(ctx).Err(), work.ErrLimit) }
