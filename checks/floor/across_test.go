package floor_test

import (
	"math/big"
	"testing"

	"setline.example/checks/floor"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// TestAcross holds the floor between the two lines to the same computed in fractions,
// and rounded once.
func TestAcross(t *testing.T) {
	rng := chance.Source(t)
	line := func() floor.Line {
		l := floor.Line{{At: -length.Length(rng.IntN(3)), Down: length.Length(rng.IntN(40) - 20)}}
		for range 1 + rng.IntN(4) {
			l = append(l, floor.Reading{At: l[len(l)-1].At + 1 + length.Length(rng.IntN(9)), Down: length.Length(rng.IntN(40) - 20)})
		}
		return l
	}
	on := func(l floor.Line, x length.Length) *big.Rat {
		for i := 1; i < len(l); i++ {
			if a, b := l[i-1], l[i]; a.At <= x && x <= b.At {
				r := big.NewRat(int64((b.Down-a.Down)*(x-a.At)), int64(b.At-a.At))
				return r.Add(r, big.NewRat(int64(a.Down), 1))
			}
		}
		return nil
	}
	between := 0
	for range 4000 {
		s := floor.Survey{Front: line(), Back: line()}
		out := 1 + length.Length(rng.IntN(9))
		x, y := length.Length(rng.IntN(30)-3), length.Length(rng.IntN(int(out)+3))-1
		got, ok := s.DownAt(x, y, out)
		front, back := on(s.Front, x), on(s.Back, x)
		switch {
		case y < 0 || y > out || y < out && back == nil || y > 0 && front == nil:
			if ok {
				t.Fatalf("%v at %d, %d of %d: %d, where nothing is known", s, x, y, out, got)
			}
			continue
		case y == 0:
			front = back
		case y == out:
			back = front
		default:
			between++
		}
		share := big.NewRat(int64(y), int64(out))
		want := new(big.Rat).Sub(front, back)
		want.Add(back, want.Mul(want, share))
		off := new(big.Rat).Sub(new(big.Rat).SetInt64(int64(got)), want)
		if half := big.NewRat(1, 2); !ok || off.Abs(off).Cmp(half) > 0 || off.Cmp(half) == 0 && new(big.Rat).SetInt64(int64(got.Abs())).Cmp(want.Abs(want)) < 0 {
			t.Fatalf("%v at %d, %d of %d: %d, %t, want %s", s, x, y, out, got, ok, want.FloatString(3))
		}
	}
	if between < 500 {
		t.Errorf("only %d lay between the lines", between)
	}
}
