package lint

import (
	"context"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// crowd runs models through an engine and returns the most that were in hand at once.
func crowd(t *testing.T, opt Options, n int) int64 {
	t.Helper()
	var now, most atomic.Int64
	g := &engine{config: load(t, hangRules), each: func(_ context.Context, _ *entry, _ string, _ *mesh.Mesh, _ int) error {
		if k := now.Add(1); k > most.Load() {
			most.Store(k)
		}
		time.Sleep(2 * time.Millisecond)
		now.Add(-1)
		return nil
	}}
	files := make([]collection.File, n)
	for i := range files {
		files[i] = model(t, "m.stl", shapes.Cube(1))
	}
	_, err := g.all(context.Background(), files, opt)
	require.NoError(t, err)
	return most.Load()
}

func TestWorkersAreBounded(t *testing.T) {
	assert.EqualValues(t, 1, crowd(t, Options{}, 6))
	assert.LessOrEqual(t, crowd(t, Options{Jobs: 3}, 20), int64(3))
}

func TestMemoryIsBounded(t *testing.T) {
	assert.LessOrEqual(t, crowd(t, Options{Jobs: 8, Memory: 2*memoryBase + 1<<20}, 12), int64(2), "there is room for two")
	assert.EqualValues(t, 1, crowd(t, Options{Jobs: 8, Memory: 1}, 6), "a model above the bound is taken alone")
}

// TestLargeModelsShareWhatIsIdle holds how processors are handed out.
func TestLargeModelsShareWhatIsIdle(t *testing.T) {
	ctx := context.Background()
	take := func(s *schedule, size int64, left int) seat {
		got, err := s.take(ctx, size, left)
		require.NoError(t, err)
		return got
	}
	s := newSchedule(Options{Jobs: 8})
	assert.Equal(t, 8, take(s, large, 1).jobs, "alone, it gets all")
	s = newSchedule(Options{Jobs: 8})
	assert.Equal(t, 4, take(s, large, 2).jobs)
	assert.Equal(t, 1, take(s, large-1, 1).jobs, "a small one gains nothing by more")
	assert.Equal(t, 3, take(s, large, 1).jobs, "what is left")
	s = newSchedule(Options{Jobs: 2})
	assert.Equal(t, 1, take(s, large, 300).jobs)
}

func TestBiggestFirst(t *testing.T) {
	files := []collection.File{{Size: 1}, {Size: 5}, {Size: 5}, {Size: 9}}
	assert.Equal(t, []int{3, 1, 2, 0}, biggestFirst(files))
	files = []collection.File{{Size: 3, Path: "a.stl"}, {Size: 1, Path: "a.zip!/b.3MF"}, {Size: 2, Path: "c.ply"}, {Size: 2, Path: "d.off"}}
	assert.Equal(t, []int{2, 1, 3, 0}, biggestFirst(files), "a format that packs its triangles weighs more")
}

// TestNobodyWaitsForEver takes and leaves from many sides with little room.
func TestNobodyWaitsForEver(t *testing.T) {
	s := newSchedule(Options{Jobs: 3, Memory: 3 * memoryBase})
	var done sync.WaitGroup
	for i := range 200 {
		got, err := s.take(context.Background(), int64(i%7)*large/2, 200-i)
		require.NoError(t, err)
		done.Go(func() { s.leave(got) })
	}
	done.Wait()
	assert.True(t, s.slots.TryAcquire(3), "every processor came back")
	assert.True(t, s.memory.TryAcquire(3*memoryBase), "and all of the memory")
}

// A file that needs more memory than all models together may take is judged, and told.
func TestTooHeavyIsTold(t *testing.T) {
	file := model(t, "t.stl", shapes.T())
	note := check(t, load(t, hangRules), Options{Memory: file.Size * memoryPerByte}, file).Models[0].Notes
	assert.Empty(t, note)
	m := check(t, load(t, hangRules), Options{Memory: file.Size*memoryPerByte - 1}, file).Models[0]
	assert.Equal(t, []string{"it needs about 1 MB of memory, more than --memory allows; it was judged by itself"}, m.Notes)
	assert.Len(t, m.Findings, 2)
}
