package floor

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// corner is a leveler as cabinets have them: body 34 in, travel 1/2 to 2 in,
// 16 threads per inch.
func corner(name string, floor length.Length) Corner {
	return Corner{Name: name, Floor: floor, Known: true, Body: 34 * inch, Least: inch / 2, Greatest: 2 * inch, ThreadsPerInch: 16}
}

// TestRow works a row of two cabinets by hand. The high point is 40 in down, so
// the tops stand at 40 - 34 1/2 = 5 1/2 in.
func TestRow(t *testing.T) {
	row := []Corner{
		corner("A1/FL", 40*inch),        // the high point: 1/2 in, no turns
		corner("A1/FR", 40*inch+inch/4), // 3/4 in: 1/4 in is 4 turns
		corner("A2/FL", 41*inch+inch/2), // 2 in: 1 1/2 in is 24 turns, the end of it
		corner("A2/FR", 42*inch),        // 2 1/2 in: 32 turns, 1/2 in too far
	}
	top, ok := SetTop(row)
	if want := 5*inch + inch/2; top != want || !ok {
		t.Fatalf("tops at %v, want %v", top, want)
	}
	for i, want := range []struct {
		extension length.Length
		turns     float64
	}{{inch / 2, 0}, {3 * inch / 4, 4}, {2 * inch, 24}, {2*inch + inch/2, 32}} {
		c := row[i]
		if turns, ok := c.Turns(top); c.Extension(top) != want.extension || turns != want.turns || !ok {
			t.Errorf("%s: %v, %v turns, %v; want %v, %v", c.Name, c.Extension(top), turns, ok, want.extension, want.turns)
		}
	}
	if p := Packing(top, row); len(p) != 1 || p["A2/FR"] != inch/2 {
		t.Errorf("packing %v, want 1/2 in under A2/FR", p)
	}
	// The lowest floor wants a top no higher than 42 - 34 - 2 = 6 in, the high
	// point none lower than 5 1/2 in.
	if got, want := TravelOf(row), (Travel{6 * inch, 5*inch + inch/2, false}); got != want {
		t.Errorf("travel %+v, want %+v", got, want)
	}
	// Without that corner: from 41 1/2 - 36 = 5 1/2 in, just that one top.
	if got, want := TravelOf(row[:3]), (Travel{5*inch + inch/2, 5*inch + inch/2, true}); got != want {
		t.Errorf("travel without A2/FR %+v, want %+v", got, want)
	}
	// A nanometre more, and there is none.
	row[2].Floor++
	if got := TravelOf(row[:3]); got.Serves {
		t.Errorf("travel with A2/FL a nanometre lower: %+v", got)
	}
	// With 1/8 in to come down at the high point the tops stand 1/8 in higher,
	// and the serving tops end there.
	row[0].Reserve = inch / 8
	if top, _ := SetTop(row); top != 5*inch+inch*3/8 || row[0].Left(top) != inch/8 {
		t.Errorf("tops at %v leave %v, want 5 3/8 in and 1/8 in", top, row[0].Left(top))
	}
	if got := TravelOf(row[:2]).Lowest; got != 5*inch+inch*3/8 {
		t.Errorf("lowest top that serves %v, want 5 3/8 in", got)
	}
	row[0].Reserve = 0
	row[2].Known = false
	if got, want := TravelOf(row[:3]), (Travel{4*inch + inch/4, 5*inch + inch/2, true}); got != want {
		t.Errorf("travel without A2/FL: %+v, want %+v", got, want)
	}
}

func TestCornerEdges(t *testing.T) {
	unknown := corner("A1/BL", 45*inch)
	unknown.Known = false
	noThreads := corner("A1/BR", 45*inch)
	noThreads.ThreadsPerInch = 0
	for _, c := range []Corner{unknown, noThreads} {
		if turns, ok := c.Turns(0); ok || turns != 0 {
			t.Errorf("%s: %v turns", c.Name, turns)
		}
	}
	if p := Packing(0, []Corner{unknown}); p == nil || len(p) != 0 {
		t.Errorf("packing under a corner not surveyed: %v", p)
	}
	for _, none := range [][]Corner{nil, {unknown}} {
		if got := TravelOf(none); got != (Travel{}) {
			t.Errorf("travel of %v: %+v", none, got)
		}
	}
	// Only what a leveler stands on counts, and of that only what is known.
	for _, none := range [][]Corner{nil, {unknown}} {
		if top, ok := SetTop(none); ok || top != 0 {
			t.Errorf("tops of %v at %v", none, top)
		}
	}
	// A metric bolt: 1.5 mm a turn, so that 38 mm of travel are 25 1/3 turns.
	metric := Corner{Floor: 900 * length.Millimetre, Known: true, Body: 860 * length.Millimetre, Least: 12 * length.Millimetre, Greatest: 50 * length.Millimetre, Pitch: 1_500_000}
	if turns, ok := metric.Turns(25 * length.Millimetre); !ok || turns != 2 {
		t.Errorf("%v turns, want 2", turns)
	}
	if has, ok := metric.Has(); !ok || has != 38/1.5 {
		t.Errorf("the bolt has %v turns, want 25 1/3", has)
	}
	if _, ok := noThreads.Has(); ok {
		t.Error("a bolt without threads has turns")
	}
	// Two corners of one name: the greater packing, whichever comes first.
	a, b := corner("same", 42*inch), corner("same", 43*inch)
	for _, both := range [][]Corner{{a, b}, {b, a}} {
		if p := Packing(5*inch, both); p["same"] != 2*inch {
			t.Errorf("packing %v, want 2 in", p)
		}
	}
	// Beyond what a length holds on the way there and back.
	c := Corner{Floor: math.MaxInt64, Known: true, Body: math.MaxInt64}
	if got := c.Extension(-7); got != 7 {
		t.Errorf("extension %d, want 7", got)
	}
	c = Corner{Floor: math.MinInt64, Known: true, Body: math.MaxInt64, Greatest: math.MaxInt64, ThreadsPerInch: math.MaxInt}
	if got := c.Extension(math.MaxInt64); got != math.MinInt64 {
		t.Errorf("extension %d, want the least length", got)
	}
	if turns, ok := c.Turns(math.MaxInt64); !ok || math.IsInf(turns, 0) || turns > -1e11*float64(math.MaxInt) {
		t.Errorf("%v turns, %v", turns, ok)
	}
	if got := TravelOf([]Corner{c}); got.Serves {
		t.Errorf("a top beyond what a length holds: %+v", got)
	}
}

// either returns a length below s on either side of the reference line.
func either(rng *rand.Rand, s int64) length.Length {
	above, below := rng.Int64N(s), rng.Int64N(s)
	return length.Length(below - above)
}

// cornersLike makes n corners of lengths below s.
func cornersLike(rng *rand.Rand, s int64, n int) []Corner {
	value := func() length.Length { return either(rng, s) }
	cs := make([]Corner, n)
	for i := range cs {
		least, greatest := value(), value()
		cs[i] = Corner{
			Name: fmt.Sprint(i), Floor: value(), Known: rng.IntN(4) > 0,
			Body: value(), Least: min(least, greatest), Greatest: max(least, greatest),
			Reserve: value().Abs(), ThreadsPerInch: rng.IntN(24),
		}
		if rng.IntN(3) == 0 {
			cs[i].Pitch = value().Abs()
		}
	}
	return cs
}

// TestCornersSecondWay compares with rational arithmetic and the definitions.
func TestCornersSecondWay(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for _, s := range []int64{8, int64(foot), math.MaxInt64} {
		for range 3000 {
			cs := cornersLike(rng, s, rng.IntN(5))
			top := either(rng, s)
			packing := Packing(top, cs)
			var highest *big.Rat
			serves := func(top *big.Rat) bool {
				known := false
				for _, c := range cs {
					if !c.Known {
						continue
					}
					known = true
					e := sub(sub(whole(c.Floor), top), whole(c.Body))
					if e.Cmp(add(whole(c.Least), whole(c.Reserve))) < 0 || e.Cmp(whole(c.Greatest)) > 0 {
						return false
					}
				}
				return known
			}
			for _, c := range cs {
				e := sub(sub(whole(c.Floor), whole(top)), whole(c.Body))
				if got := c.Extension(top); got != rounded(e) {
					t.Fatalf("%+v at %d: extension %d, want %v", c, top, got, e)
				}
				perTurn, threads := big.NewRat(25_400_000, max(1, int64(c.ThreadsPerInch))), c.ThreadsPerInch > 0
				if c.Pitch > 0 {
					perTurn, threads = whole(c.Pitch), true
				}
				count := func(out *big.Rat) float64 { n, _ := new(big.Rat).Quo(out, perTurn).Float64(); return n }
				if turns, ok := c.Turns(top); ok != (c.Known && threads) || ok && turns != count(sub(e, whole(c.Least))) {
					t.Fatalf("%+v at %d: %v turns, %v", c, top, turns, ok)
				}
				if has, ok := c.Has(); ok != threads || ok && has != count(sub(whole(c.Greatest), whole(c.Least))) {
					t.Fatalf("%+v has %v turns, %v", c, has, ok)
				}
				if got := c.Left(top); got != rounded(sub(e, whole(c.Least))) {
					t.Fatalf("%+v at %d: %d left", c, top, got)
				}
				beyond := sub(e, whole(c.Greatest))
				if got, ok := packing[c.Name]; ok != (c.Known && beyond.Sign() > 0) || ok && got != rounded(beyond) {
					t.Fatalf("%+v at %d: packing %d, %v; want %v", c, top, got, ok, beyond)
				}
				// As heights above the reference line: floor + least + reserve + body.
				height := add(add(sub(whole(0), whole(c.Floor)), whole(c.Least)), add(whole(c.Reserve), whole(c.Body)))
				if c.Known && (highest == nil || height.Cmp(highest) > 0) {
					highest = height
				}
			}
			if got, ok := SetTop(cs); ok != (highest != nil) || ok && got != rounded(sub(whole(0), highest)) {
				t.Fatalf("%+v: tops at %d, %v, want %v", cs, got, ok, highest)
			}
			travel := TravelOf(cs)
			if travel.Serves != (travel.Highest <= travel.Lowest && serves(whole(travel.Highest)) && serves(whole(travel.Lowest))) {
				t.Fatalf("%+v: %+v", cs, travel)
			}
			// Nothing beyond the ends serves, nor anything at all where Serves
			// is false.
			one := big.NewRat(1, 1)
			if higher := sub(whole(travel.Highest), one); serves(higher) && travel.Highest > math.MinInt64 {
				t.Fatalf("%+v: %+v, but higher serves", cs, travel)
			}
			if lower := add(whole(travel.Lowest), one); serves(lower) && travel.Lowest < math.MaxInt64 {
				t.Fatalf("%+v: %+v, but lower serves", cs, travel)
			}
			if serves(whole(top)) != (travel.Serves && travel.Highest <= top && top <= travel.Lowest) {
				t.Fatalf("%+v: %+v, but %d is otherwise", cs, travel, top)
			}
		}
	}
}

// TestSetHigh: set on its own floor, every leveler keeps its reserve, and one
// keeps no more than that.
func TestSetHigh(t *testing.T) {
	rng := chance.Source(t)
	for range 1000 {
		cs := cornersLike(rng, int64(foot), 1+rng.IntN(8))
		for i := range cs {
			cs[i].Known = true
		}
		top, ok := SetTop(cs)
		if !ok {
			t.Fatalf("%+v: no set height", cs)
		}
		tight := false
		for _, c := range cs {
			if c.Left(top) < c.Reserve {
				t.Fatalf("%+v: %s has %d left at %d", cs, c.Name, c.Left(top), top)
			}
			tight = tight || c.Left(top) == c.Reserve
		}
		if !tight {
			t.Fatalf("%+v: tops at %d could be lower", cs, top)
		}
		// And a packed corner stands out by its greatest.
		packing := Packing(top, cs)
		for _, c := range cs {
			c.Floor -= packing[c.Name]
			if packing[c.Name] > 0 && c.Extension(top) != c.Greatest || c.Extension(top) > c.Greatest {
				t.Fatalf("%+v: %s stands %d out on %d", cs, c.Name, c.Extension(top), packing[c.Name])
			}
		}
	}
}
