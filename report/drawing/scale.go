package drawing

import (
	"math"
	"strconv"

	"setline.example/checks/say"
)

const pointsPerInch = 72

// denominators of scales that scale rules have or that are round.
var denominators = []float64{8, 10, 12, 15, 16, 20, 24, 25, 30, 32, 36, 40, 48, 50, 60, 64, 75, 80, 96, 100}

// scaleFor returns the denominator of the largest usual scale at which an inch
// takes no more than most points.
func scaleFor(most float64) float64 {
	least := pointsPerInch / most
	for _, d := range denominators {
		if d >= least*(1-1e-9) {
			return d
		}
	}
	step := 10.0
	for 100*step <= least && step < 1e18 {
		step = float64(step * 10)
	}
	return float64(math.Ceil(least/step-1e-9) * step)
}

// scaleWith returns the denominator of the smallest usual scale at which an
// inch takes no less than least points.
func scaleWith(least float64) float64 {
	d := denominators[0]
	for _, x := range denominators {
		if pointsPerInch/x >= least*(1-1e-9) {
			d = x
		}
	}
	return d
}

// factors by which a vertical scale is exaggerated.
var factors = []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200}

// factorFor returns the greatest factor of at most that size.
func factorFor(most float64) float64 {
	f := factors[0]
	for _, x := range factors {
		if x <= most*(1+1e-9) {
			f = x
		}
	}
	if f > most { // nothing usual is small enough
		return max(most, 1e-12)
	}
	return f
}

// plain writes a scale or factor without an exponent.
func plain(f float64) string {
	if f >= 0.01 {
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	return strconv.FormatFloat(f, 'g', 2, 64)
}

// times says how one scale stands to the other, "20 times the horizontal".
func times(f float64) say.Text {
	if f == 1 {
		return say.That("the same as the horizontal")
	}
	return say.That("%[1]s times the horizontal", say.Name(plain(f)))
}
