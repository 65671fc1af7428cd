package pdf

import (
	"bytes"
	"fmt"
	"testing"
)

// TestComparison: in whatever pieces a file is written, the comparison says what
// comparing both as a whole does.
func TestComparison(t *testing.T) {
	file := []byte("a file of some bytes")
	for _, c := range []struct {
		name, written string
		want          int // where it differs, -1 for nowhere
	}{
		{"the same", string(file), -1},
		{"nothing", "", 0},
		{"its first byte", "A file of some bytes", 0},
		{"one in its middle", "a file on some bytes", 8},
		{"its last", "a file of some bytez", 19},
		{"shorter", "a file of", 9},
		{"longer", "a file of some bytes.", 20},
		{"two places", "a fyle of zome bytes", 3},
	} {
		for size := 1; size <= len(file)+1; size++ {
			t.Run(fmt.Sprintf("%s, %d at a time", c.name, size), func(t *testing.T) {
				want := ""
				if c.want >= 0 {
					want = fmt.Sprintf("it differs from byte %d on", c.want)
				}
				compared := CompareWith(file)
				for rest := bytes.NewBufferString(c.written); rest.Len() > 0; {
					piece := rest.Next(size)
					if n, err := compared.Write(piece); n != len(piece) || err != nil {
						t.Fatalf("wrote %d of %d, %v", n, len(piece), err)
					}
				}
				if got := compared.Difference(); got != want {
					t.Errorf("said %q, want %q", got, want)
				}
			})
		}
	}
}
