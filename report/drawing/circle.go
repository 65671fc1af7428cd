package drawing

import "setline.example/report/pdf"

// sines of 0, 10, 20 to 90 degrees. They stand here since the last digits of
// math.Sincos depend on the processor.
var sines = [...]float64{
	0, 0.17364817766693033, 0.3420201433256687, 0.5, 0.6427876096865393,
	0.766044443118978, 0.8660254037844386, 0.9396926207859084, 0.984807753012208, 1,
}

// sine of whole tens of degrees, zero or more.
func sine(tens int) float64 {
	switch n := tens % 36; {
	case n <= 9:
		return sines[n]
	case n <= 18:
		return sines[18-n]
	default:
		return -sine(n - 18)
	}
}

// circle gives n points around a middle; n divides 36.
func circle(middle pdf.Point, r float64, n int) []pdf.Point {
	pts := make([]pdf.Point, n)
	for i := range pts {
		tens := i * 36 / n
		pts[i] = pt(middle.X+float64(r*sine(tens+9)), middle.Y+float64(r*sine(tens)))
	}
	return pts
}
