package checks

import "math"

// phi is the distribution function of the standard normal distribution, right
// to within 1e-13: the series of G. Marsaglia, "Evaluating the Normal
// Distribution", Journal of Statistical Software 11 (2004), no. 4. The last
// digits of math.Erfc and math.Exp depend on the processor; here are only sums,
// products and quotients, each of them rounded.
func phi(z float64) float64 {
	switch {
	case z < 0:
		return 1 - phi(-z)
	case z > 8.3: // no number between this and 1
		return 1
	}
	sum, term := z, z
	for n := 3.0; sum+term != sum; n += 2 {
		term = float64(term * z * z / n)
		sum += term
	}
	return min(1, 0.5+sum*expMinus(z*z/2)/math.Sqrt(2*math.Pi))
}

// quantile is the z at which phi is p, for p from one half to less than 1: found
// by halving, to the last digit that phi can tell.
func quantile(p float64) float64 {
	lo, hi := 0.0, 8.3
	for {
		middle := (lo + hi) / 2
		switch {
		case middle <= lo || middle >= hi:
			return hi
		case phi(middle) < p:
			lo = middle
		default:
			hi = middle
		}
	}
}

// expMinus is e to the power -y, for y from 0 to some tens.
func expMinus(y float64) float64 {
	const squarings = 7
	small := y / (1 << squarings)
	sum, term := 1.0, 1.0
	for n := 1.0; sum+term != sum; n++ {
		term = float64(term * small / n)
		sum += term
	}
	for range squarings {
		sum = float64(sum * sum)
	}
	return 1 / sum
}
