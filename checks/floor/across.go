package floor

import (
	"math/big"

	"setline.example/schema/length"
)

// DownAt returns the floor at a place: x along the elevation, and y out from the
// back line of the out that the front line lies before it. Along each line it is
// straight from reading to reading, and from the back line to the front one it is
// straight again; computed exactly, and rounded once to the nearest nanometre,
// halves away from zero. ok is false where a line that it rests on does not reach x,
// and where y lies beyond both.
func (s Survey) DownAt(x, y, out length.Length) (down length.Length, ok bool) {
	switch {
	case y == out:
		return s.Front.DownAt(x)
	case y == 0:
		return s.Back.DownAt(x)
	case y < 0 || y > out:
		return 0, false
	}
	front, read := s.Front.exactly(x)
	back, both := s.Back.exactly(x)
	if !read || !both {
		return 0, false
	}
	share := new(big.Rat).SetFrac64(int64(y), int64(out))
	front.Sub(front, back)
	return nearest(back.Add(back, share.Mul(share, front))), true
}

// exactly is the floor at x before it is rounded.
func (l Line) exactly(x length.Length) (*big.Rat, bool) {
	i, found := l.search(x)
	switch {
	case found:
		return new(big.Rat).SetInt64(int64(l[i].Down)), true
	case i == 0 || i == len(l) || l[i-1].At >= x || l[i].At <= x:
		return nil, false
	}
	a, b := l[i-1], l[i]
	apart := func(a, b length.Length) *big.Int { return new(big.Int).Sub(big.NewInt(int64(a)), big.NewInt(int64(b))) }
	fall := new(big.Rat).SetFrac(new(big.Int).Mul(apart(b.Down, a.Down), apart(x, a.At)), apart(b.At, a.At))
	return fall.Add(fall, new(big.Rat).SetInt64(int64(a.Down))), true
}

// nearest rounds what lies between two lengths.
func nearest(r *big.Rat) length.Length {
	twice := new(big.Int).Lsh(new(big.Int).Abs(r.Num()), 1)
	twice.Add(twice, r.Denom()).Quo(twice, new(big.Int).Lsh(r.Denom(), 1))
	if r.Sign() < 0 {
		twice.Neg(twice)
	}
	return length.Length(twice.Int64())
}
