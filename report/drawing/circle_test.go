package drawing

import (
	"math"
	"testing"
)

func TestCircle(t *testing.T) {
	for _, n := range []int{12, 36} {
		for i, p := range circle(pt(3, -4), 2, n) {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			if math.Abs(p.X-3-2*cos) > 1e-14 || math.Abs(p.Y+4-2*sin) > 1e-14 {
				t.Errorf("point %d of %d is %v, want %v", i, n, p, pt(3+2*cos, -4+2*sin))
			}
		}
	}
}

// TestScaleBeyondTheUsual: a scale smaller than any usual one is a round number
// of two digits, and the least that serves.
func TestScaleBeyondTheUsual(t *testing.T) {
	for least, want := range map[float64]float64{
		101: 110, 110: 110, 999: 1000, 1000: 1000, 1001: 1100, 9999: 10000, 12345: 13000, 1e6 + 1: 1.1e6,
	} {
		if got := scaleFor(pointsPerInch / least); got != want {
			t.Errorf("for 1:%v the scale is 1:%v, want 1:%v", least, got, want)
		}
	}
	for _, most := range []float64{0, 1e-300, math.SmallestNonzeroFloat64} {
		scaleFor(most) // must end
	}
}
