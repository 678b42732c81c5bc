package work

import (
	"context"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestLimitIsOnTheSum(t *testing.T) {
	for _, workers := range []int{1, 2, 7} {
		m := Of(Start(context.Background(), time.Millisecond)) // a million units
		var wg sync.WaitGroup
		for range workers {
			wg.Go(func() {
				tally := m.Tally()
				for range 1_000_000 / workers {
					tally.Add(1)
				}
				assert.NoError(t, tally.Close())
			})
		}
		wg.Wait()
		assert.LessOrEqual(t, m.Left(), int64(workers))
		assert.ErrorIs(t, m.Spend(m.Left()+1), ErrLimit)
	}
}

func TestTallyStopsAndStaysStopped(t *testing.T) {
	m := Of(Start(context.Background(), time.Millisecond))
	tally := m.Tally()
	steps := 0
	for tally.Add(10) {
		steps++
	}
	assert.InDelta(t, 100_000, steps, batch/10+1)
	assert.False(t, tally.Add(1))
	assert.ErrorIs(t, tally.Close(), ErrLimit)
}

func TestPartEndsAloneAndCountsForTheWhole(t *testing.T) {
	m := Of(Start(context.Background(), time.Second))
	p := m.Part(1000)
	assert.NoError(t, p.Spend(1000))
	assert.ErrorIs(t, p.Spend(1), ErrTooMuch)
	assert.NoError(t, m.Err())
	assert.EqualValues(t, 1e9-1001, m.Left())
	assert.NoError(t, m.Spend(m.Left()))
	assert.ErrorIs(t, m.Part(5).Spend(1), ErrLimit, "the limit of the whole is told first")
}

func TestSignalIsHeard(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	tally := Of(Start(ctx, 0)).Tally()
	assert.True(t, tally.Add(batch))
	cancel()
	assert.False(t, tally.Add(batch))
	assert.ErrorIs(t, tally.Close(), context.Canceled)
}

func TestWithoutAMeter(t *testing.T) {
	tally := Of(context.Background()).Tally()
	assert.True(t, tally.Add(1<<62))
	assert.NoError(t, tally.Close())
	var none Tally
	assert.True(t, none.Add(1<<62))
	assert.NoError(t, none.Close())
}
