// Package chance gives tests that try things at random their source of chance.
//
// The same code is judged the same on every run: each test has a seed made of
// its name. SEED in the environment gives another: a number, to run again what
// a log names, or "new" for one that nobody has tried; .ci/soak goes on with
// new ones for as long as it is let.
package chance

import (
	"hash/fnv"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
)

// Variable names in the environment what the seed is made of.
const Variable = "SEED"

// Source is the source of chance of one test.
func Source(t testing.TB) *rand.Rand {
	t.Helper()
	return rand.New(rand.NewPCG(Seed(t), 0))
}

// Seed is the seed of one test, which the test's log names.
func Seed(t testing.TB) uint64 {
	t.Helper()
	seed, err := from(os.Getenv(Variable), t.Name())
	if err != nil {
		t.Fatalf("%s: %v; expected a number, or new", Variable, err)
	}
	t.Logf("%s=%d", Variable, seed)
	return seed
}

func from(said, name string) (uint64, error) {
	switch said {
	case "":
		h := fnv.New64a()
		h.Write([]byte(name))
		return h.Sum64(), nil
	case "new":
		return rand.Uint64(), nil
	}
	return strconv.ParseUint(said, 10, 64)
}
