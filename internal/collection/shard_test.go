package collection

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sizes is a list of files with the sizes of real collections: many small, few large.
func sizes(random *rand.Rand, n int) []File {
	var files []File
	for i := range n {
		size := int64(1) << (8 + random.IntN(16))
		files = append(files, New(fmt.Sprintf("m%03d.stl", i), "", size+random.Int64N(size), nil))
	}
	return files
}

func cost(files []File) (sum int64) {
	for i := range files {
		sum += files[i].Size + fileCost
	}
	return sum
}

func TestShardsShareOutEveryFileOnce(t *testing.T) {
	const seed = 11
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	for _, count := range []int{1, 2, 3, 7, 40} {
		files := sizes(random, 30)
		var all []string
		for k := 1; k <= count; k++ {
			share := Shard(files, k, count)
			assert.True(t, slices.IsSortedFunc(share, func(a, b File) int { return slices.Index(paths(files), a.Path) - slices.Index(paths(files), b.Path) }))
			all = append(all, paths(share)...)
		}
		assert.ElementsMatch(t, paths(files), all, "%d shares", count)
	}
}

func TestShardsDoNotDependOnTheOrder(t *testing.T) {
	const seed = 12
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	files := sizes(random, 50)
	for i := range 10 {
		files[i].Size = 1000 // of the same size: the path decides
	}
	want := paths(Shard(files, 2, 5))
	for range 20 {
		random.Shuffle(len(files), func(i, j int) { files[i], files[j] = files[j], files[i] })
		assert.ElementsMatch(t, want, paths(Shard(files, 2, 5)))
	}
}

// best is the cost of the largest share in the best of all splits, tried one by one.
func best(files []File, load []int64) int64 {
	if len(files) == 0 {
		return slices.Max(load)
	}
	least := int64(1) << 62
	for s := range load {
		load[s] += files[0].Size + fileCost
		least = min(least, best(files[1:], load))
		load[s] -= files[0].Size + fileCost
	}
	return least
}

// TestShardsAreBalanced holds Graham's bound against every possible split.
func TestShardsAreBalanced(t *testing.T) {
	const seed = 13
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	for range 30 {
		files := sizes(random, 4+random.IntN(5))
		count := 2 + random.IntN(2)
		bound := 4.0 / 3.0 * float64(best(files, make([]int64, count)))
		for k := 1; k <= count; k++ {
			assert.LessOrEqual(t, float64(cost(Shard(files, k, count))), bound)
		}
	}
	files := sizes(random, 400)
	for k := 1; k <= 4; k++ {
		assert.InEpsilon(t, cost(files)/4, cost(Shard(files, k, 4)), 0.02, "many files share out evenly")
	}
}

func TestShardsMayBeEmpty(t *testing.T) {
	files := []File{New("a.stl", "a.stl", 5, nil)}
	require.Len(t, Shard(files, 1, 3), 1)
	assert.Empty(t, Shard(files, 3, 3))
	assert.Empty(t, Shard(nil, 1, 1))
}
