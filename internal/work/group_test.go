package work

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestEachDoesEveryTaskOnce(t *testing.T) {
	for _, jobs := range []int{0, 1, 2, 7, 100} {
		done := make([]atomic.Int32, 50)
		var workers atomic.Int32
		Each(jobs, len(done), func() func(int) {
			workers.Add(1)
			return func(i int) { done[i].Add(1) }
		})
		for i := range done {
			assert.EqualValues(t, 1, done[i].Load())
		}
		assert.LessOrEqual(t, int(workers.Load()), min(max(jobs, 1), len(done)))
	}
	Each(3, 0, func() func(int) { panic("nobody is needed") })
}

// The panic of a worker is told where the work was asked for, the same for any number.
func TestEachCarriesPanicsBack(t *testing.T) {
	for _, jobs := range []int{1, 2, 5} {
		assert.PanicsWithValue(t, 7, func() {
			Each(jobs, 100, func() func(int) {
				return func(i int) {
					if i >= 7 && i < 20 {
						panic(i)
					}
				}
			})
		}, "%d jobs", jobs)
	}
}

func TestGroupCarriesPanicsBack(t *testing.T) {
	var g Group
	g.Go(func() { panic("first") })
	g.Go(func() { <-g.Broken() })
	assert.PanicsWithValue(t, "first", g.Wait)
	var quiet Group
	quiet.Go(func() {})
	quiet.Wait()
	select {
	case <-quiet.Broken():
		t.Error("nothing broke")
	default:
	}
}

func TestWithinGivesUp(t *testing.T) {
	ended := make(chan error, 1)
	stuck := make(chan struct{})
	assert.False(t, Within(context.Background(), 10*time.Millisecond, func(ctx context.Context) {
		<-stuck // deaf to its context
		ended <- ctx.Err()
	}))
	close(stuck)
	assert.ErrorIs(t, <-ended, context.Canceled, "what was given up is told so")

	for _, wait := range []time.Duration{0, time.Minute} {
		n := 0
		assert.True(t, Within(context.Background(), wait, func(context.Context) { n++ }))
		assert.Equal(t, 1, n)
		assert.PanicsWithValue(t, "broken", func() { Within(context.Background(), wait, func(context.Context) { panic("broken") }) })
	}
}
