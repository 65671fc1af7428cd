package pdf

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// TestHundredths: every number is written as strconv writes it, ties and what
// is next to them among them.
func TestHundredths(t *testing.T) {
	long(t)
	random := rand.New(rand.NewPCG(2, 11))
	try := func(v float64) {
		t.Helper()
		for _, v := range []float64{v, -v, math.Nextafter(v, 1e9), math.Nextafter(v, -1e9)} {
			if got, want := string(appendHundredths(nil, v)), strconv.FormatFloat(v, 'f', 2, 64); got != want {
				t.Fatalf("%v is written %s, expected %s", v, got, want)
			}
		}
	}
	for _, v := range []float64{0, 0.004, 0.005, 0.0099999, 0.01, 0.995, 1, 99999.995, 1e5, 1e7, 1e20, 1e300, math.Inf(1), math.NaN()} {
		try(v)
	}
	for i := range 200000 {
		try(float64(i) / 200) // every other one lies between two hundredths
		try(float64(i) / 8)   // those that are exact in binary
		try(random.Float64() * 1000)
		try(math.Float64frombits(random.Uint64()))
	}
}
