package forecast

import "math"

// Fit is a straight line y = Mean + Slope (t - Middle) by weighted least squares.
type Fit struct {
	Slope, Mean, Middle float64
	// SlopeWeights and MeanWeights say how much each value counts in slope and
	// mean (JCGM 100:2008, 5.1.2).
	SlopeWeights, MeanWeights []float64
}

// Line lays a straight line through values y at places t, each counting by the
// inverse square of its uncertainty u. ok is false where all places are one.
func Line(t, y, u []float64) (f Fit, ok bool) {
	f.SlopeWeights, f.MeanWeights = make([]float64, len(t)), make([]float64, len(t))
	sum := 0.0
	for i := range t {
		f.MeanWeights[i] = 1 / float64(u[i]*u[i])
		sum += f.MeanWeights[i]
	}
	for i, w := range f.MeanWeights {
		f.MeanWeights[i] = w / sum
		f.Middle += float64(f.MeanWeights[i] * t[i])
		f.Mean += float64(f.MeanWeights[i] * y[i])
	}
	spread := 0.0
	for i, w := range f.MeanWeights {
		spread += float64(float64(w*(t[i]-f.Middle)) * (t[i] - f.Middle))
	}
	if !(spread > 0) {
		return f, false
	}
	for i, w := range f.MeanWeights {
		f.SlopeWeights[i] = float64(w*(t[i]-f.Middle)) / spread
		f.Slope += float64(f.SlopeWeights[i] * (y[i] - f.Mean))
	}
	return f, true
}

// at is the line at a place.
func (f *Fit) at(t float64) float64 { return f.Mean + float64(f.Slope*(t-f.Middle)) }

func hypot(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }
