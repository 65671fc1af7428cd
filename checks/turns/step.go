package turns

import "setline.example/schema/length"

// Step is what an eighth of a turn does to the height of a corner: Num / Den nanometres.
type Step struct{ Num, Den int64 }

// Eighth is an eighth of a turn of a bolt with so many threads per inch, or of
// one with the given pitch, which goes before. ok is false where neither is known.
func Eighth(threadsPerInch int, pitch length.Length) (s Step, ok bool) {
	switch {
	case pitch > 0:
		return Step{int64(pitch), 8}, true
	case threadsPerInch > 0:
		return Step{int64(length.Inch) / 8, int64(threadsPerInch)}, true
	}
	return Step{}, false
}

// Of is the step of something that is set by length alone.
func Of(l length.Length) Step { return Step{int64(l), 1} }

// rise is n steps, to the nearest nanometre; a half goes up.
func (s Step) rise(n int64) length.Length {
	return length.Length(floorDiv(2*n*s.Num+s.Den, 2*s.Den))
}

// whole is the most steps that do not exceed num / den nanometres.
func (s Step) whole(num, den int64) int64 { return floorDiv(num*s.Den, den*s.Num) }

// floorDiv divides and rounds down; d is above zero.
func floorDiv(n, d int64) int64 {
	q := n / d
	if n%d < 0 {
		q--
	}
	return q
}

// ceilDiv divides and rounds up.
func ceilDiv(n, d int64) int64 { return -floorDiv(-n, d) }

// far is a length beyond all that is computed here, some 1,100 m. Up to it no
// product of a length and two numbers of threads per inch, up to 80, runs over.
const far = 1 << 40
