package checks

import (
	"math"
	"testing"

	"setline.example/schema/length"
)

func TestNearest(t *testing.T) {
	for nm, want := range map[float64]length.Length{
		0.5: 1, -0.5: -1, 0.4999: 0, 1e300: math.MaxInt64, -1e300: math.MinInt64, 1 << 62: 1 << 62,
		math.MaxInt64: math.MaxInt64, math.Inf(1): math.MaxInt64, math.Inf(-1): math.MinInt64,
	} {
		if got := nearest(nm); got != want {
			t.Errorf("%v nm is nearest to %d, want %d", nm, got, want)
		}
	}
	if got := nearest(math.NaN()); got != 0 {
		t.Errorf("what is no number is nearest to %d, want 0", got)
	}
}
