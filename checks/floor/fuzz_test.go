package floor

import (
	"encoding/binary"
	"math"
	"testing"

	"setline.example/schema/length"
)

// FuzzAnyLine: no line, in order or not, makes any function panic or answer
// with a floor outside its readings.
func FuzzAnyLine(f *testing.F) {
	ends := []uint64{0, 1, 1 << 63, 1<<63 - 1, math.MaxUint64}
	var every []byte
	for _, a := range ends {
		for _, b := range ends {
			every = binary.LittleEndian.AppendUint64(every, a)
			every = binary.LittleEndian.AppendUint64(every, b)
		}
	}
	f.Add(every, int64(0), int64(math.MaxInt64))
	f.Add(every[:64], int64(math.MinInt64), int64(-1))
	f.Add([]byte(nil), int64(0), int64(0))
	f.Fuzz(func(t *testing.T, data []byte, from, to int64) {
		next := func() length.Length {
			v := binary.LittleEndian.Uint64(data)
			data = data[8:]
			return length.Length(v)
		}
		var l Line
		var cs []Corner
		least, greatest := maxLength, minLength
		for len(data) >= 16 {
			r := Reading{next(), next()}
			l = append(l, r)
			least, greatest = min(least, r.Down), max(greatest, r.Down)
			cs = append(cs, Corner{Floor: r.At, Known: true, Body: r.Down, Least: r.At, Greatest: r.Down, ThreadsPerInch: int(r.At)})
		}
		a, b := length.Length(from), length.Length(to)
		for _, x := range []length.Length{a, b, 0} {
			if down, ok := l.DownAt(x); ok && (down < least || down > greatest) {
				t.Errorf("%v at %d: %d", l, x, down)
			}
			if gap, ok := l.StraightedgeGap(x); gap.Size < 0 || !ok && gap != (Gap{}) {
				t.Errorf("%v under %d: %+v, %v", l, x, gap, ok)
			}
		}
		s := Survey{l, l}
		if fall, _ := s.Fall(a, b); fall < 0 {
			t.Errorf("%v from %d to %d: fall %d", l, a, b, fall)
		}
		if gap, _ := l.WidestGap(a, b); gap < 0 {
			t.Errorf("%v from %d to %d: widest gap %d", l, a, b, gap)
		}
		l.Reaches(a, b)
		if slope, _ := l.Slope(); math.IsNaN(slope) || math.IsInf(slope, 0) {
			t.Errorf("%v: slope %v", l, slope)
		}
		if n := l.FNumbers(); math.IsNaN(n.FF) || math.IsNaN(n.FL) || n.FF < 0 || n.FL < 0 {
			t.Errorf("%v: %+v", l, n)
		}
		top, _ := SetTop(cs)
		TravelOf(cs)
		for name, p := range Packing(top, cs) {
			if p <= 0 {
				t.Errorf("packing %d under %q", p, name)
			}
		}
		for _, c := range cs {
			c.Extension(b)
			if turns, _ := c.Turns(b); math.IsNaN(turns) || math.IsInf(turns, 0) {
				t.Errorf("%+v: %v turns", c, turns)
			}
		}
	})
}
