package dice

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSameSeedSameNumbers(t *testing.T) {
	t.Setenv(Variable, "")
	a, b := Seed(t), Seed(t)
	assert.Equal(t, a, b)
	roll := func(seed uint64) (list [5]uint64) {
		r := rand.New(rand.NewPCG(seed, 0))
		for i := range list {
			list[i] = r.Uint64()
		}
		return list
	}
	assert.Equal(t, roll(a), roll(b), "the seed reproduces")
	t.Run("another", func(t *testing.T) { assert.NotEqual(t, a, Seed(t), "tests differ") })
	t.Setenv(Variable, "42")
	assert.Equal(t, uint64(42), Seed(t))
	assert.NotEqual(t, roll(42), roll(a))
}
