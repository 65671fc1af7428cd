package chance

import (
	"testing"
)

// TestFrom: a test's own seed is always the same and no other test's; a number
// is taken as it is, new ones differ, and words are refused.
func TestFrom(t *testing.T) {
	seed := func(said, name string) uint64 {
		n, err := from(said, name)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	// FNV-1a of 64 bits: the value of "a" is that of the authors' table
	// (Fowler, Noll, Vo, test vectors of the FNV home page, from memory).
	if got := seed("", "a"); got != 0xaf63dc4c8601ec8c {
		t.Errorf("%#x", got)
	}
	one, other := seed("new", "TestA"), seed("new", "TestA")
	if seed("", "TestA") == seed("", "TestB") || one == other || seed("7", "TestA") != 7 {
		t.Error("seeds are not told apart")
	}
	for _, said := range []string{"News", "-1", "1.5", " 1", "18446744073709551616"} {
		if n, err := from(said, "TestA"); err == nil {
			t.Errorf("%q gives %d", said, n)
		}
	}
}
