// Package dice gives random tests their seed: the same at every run, so that a gate
// never closes by chance, and another one where somebody goes looking for trouble.
package dice

import (
	"hash/fnv"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
)

// Variable is the environment variable that sets another seed.
const Variable = "PRINTLINT_SEED"

// Seed returns the seed of a test, and logs it: the number in PRINTLINT_SEED, or one
// that follows from the name of the test.
func Seed(t testing.TB) uint64 {
	t.Helper()
	h := fnv.New64a()
	h.Write([]byte(t.Name()))
	seed := h.Sum64()
	if said := os.Getenv(Variable); said != "" {
		n, err := strconv.ParseUint(said, 10, 64)
		if err != nil {
			t.Fatalf("%s=%s is not a whole number", Variable, said)
		}
		seed = n
	}
	t.Logf("seed %d", seed)
	return seed
}

// New returns random numbers for a test, by its seed.
func New(t testing.TB) *rand.Rand {
	t.Helper()
	return rand.New(rand.NewPCG(Seed(t), 0))
}
