package checks

import (
	"math"
	"testing"
)

// TestPhi holds the normal distribution to a table and to the library's.
func TestPhi(t *testing.T) {
	// Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table
	// 26.1; digits from memory.
	for z, want := range map[float64]float64{
		0: 0.5, 0.5: 0.6914624612740131, 1: 0.8413447460685429, 2: 0.9772498680518208, 3: 0.9986501019683699,
	} {
		if got := phi(z); math.Abs(got-want) > 1e-14 {
			t.Errorf("phi(%v) = %.16f, want %.16f", z, got, want)
		}
	}
	for z := -40.0; z <= 40; z += 1. / 512 {
		got, want := phi(z), 0.5*math.Erfc(-z/math.Sqrt2)
		if math.Abs(got-want) > 1e-13 || got < 0 || got > 1 {
			t.Fatalf("phi(%v) = %v, the library has %v", z, got, want)
		}
	}
	for z, want := range map[float64]float64{math.Inf(1): 1, math.Inf(-1): 0, 1e300: 1, -1e300: 0} {
		if got := phi(z); got != want {
			t.Errorf("phi(%v) = %v, want %v", z, got, want)
		}
	}
}

// TestQuantile holds it to a table and to the library's.
func TestQuantile(t *testing.T) {
	// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 and 1.3.6.7.2.
	for p, want := range map[float64]float64{0.5: 0, 0.975: 1.960, 0.995: 2.576, 0.9995: 3.291} {
		if got := quantile(p); math.Abs(got-want) > 0.0005 {
			t.Errorf("quantile(%v) = %v, want %v", p, got, want)
		}
	}
	for n := 1.0; n < 1e6; n *= 1.7 {
		if got, want := quantile(1-0.025/n), math.Sqrt2*math.Erfinv(1-0.05/n); math.Abs(got-want) > 1e-6 {
			t.Errorf("1 in %v: %v, the library has %v", n, got, want)
		}
	}
}

// TestHypot holds it to the library's, and to whole numbers, which are exact.
func TestHypot(t *testing.T) {
	for _, c := range [][3]float64{{3, 4, 5}, {3e9, -4e9, 5e9}, {0, 7, 7}, {-1, 0, 1}, {0, 0, 0}, {20e8, 21e8, 29e8}} {
		if got := hypot(c[0], c[1]); got != c[2] {
			t.Errorf("hypot(%v, %v) = %v, want %v", c[0], c[1], got, c[2])
		}
	}
	for a := 1.0; a < 1e18; a *= 7.3 {
		for b := 1.0; b < 1e18; b *= 5.1 {
			if got, want := hypot(a, b), math.Hypot(a, b); math.Abs(got-want) > 1e-15*want {
				t.Errorf("hypot(%v, %v) = %v, the library has %v", a, b, got, want)
			}
		}
	}
}
