package floor

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"setline.example/schema/length"
)

// corner is a leveler as cabinets have them: body 34 in, travel 1/2 to 2 in,
// 16 threads per inch.
func corner(name string, floor length.Length) Corner {
	return Corner{name, floor, true, 34 * inch, inch / 2, 2 * inch, 16}
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
	top := SetTop(40*inch, row)
	if want := 5*inch + inch/2; top != want {
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
	if got := SetTop(40*inch, nil); got != 40*inch {
		t.Errorf("tops of no cabinets at %v", got)
	}
	// A cabinet counts although its floor is not known.
	if got := SetTop(40*inch, []Corner{unknown}); got != 5*inch+inch/2 {
		t.Errorf("tops at %v", got)
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
			ThreadsPerInch: rng.IntN(24),
		}
	}
	return cs
}

// TestCornersSecondWay compares with rational arithmetic and the definitions.
func TestCornersSecondWay(t *testing.T) {
	rng := seeded(t)
	for _, s := range []int64{8, int64(foot), math.MaxInt64} {
		for range 3000 {
			cs := cornersLike(rng, s, rng.IntN(5))
			top := either(rng, s)
			packing := Packing(top, cs)
			highest := whole(top)
			serves := func(top *big.Rat) bool {
				known := false
				for _, c := range cs {
					if !c.Known {
						continue
					}
					known = true
					e := sub(sub(whole(c.Floor), top), whole(c.Body))
					if e.Cmp(whole(c.Least)) < 0 || e.Cmp(whole(c.Greatest)) > 0 {
						return false
					}
				}
				return known
			}
			for i, c := range cs {
				e := sub(sub(whole(c.Floor), whole(top)), whole(c.Body))
				if got := c.Extension(top); got != rounded(e) {
					t.Fatalf("%+v at %d: extension %d, want %v", c, top, got, e)
				}
				exact := mul(sub(e, whole(c.Least)), big.NewRat(int64(c.ThreadsPerInch), 25_400_000))
				want, _ := exact.Float64()
				if turns, ok := c.Turns(top); ok != (c.Known && c.ThreadsPerInch > 0) || ok && turns != want {
					t.Fatalf("%+v at %d: %v turns, %v; want %v", c, top, turns, ok, want)
				}
				beyond := sub(e, whole(c.Greatest))
				if got, ok := packing[c.Name]; ok != (c.Known && beyond.Sign() > 0) || ok && got != rounded(beyond) {
					t.Fatalf("%+v at %d: packing %d, %v; want %v", c, top, got, ok, beyond)
				}
				least := sub(whole(top), add(whole(c.Least), whole(c.Body)))
				if i == 0 || least.Cmp(highest) < 0 {
					highest = least
				}
			}
			if got := SetTop(top, cs); got != rounded(highest) {
				t.Fatalf("%+v with the high point at %d: tops at %d, want %v", cs, top, got, highest)
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

// TestSetFromHighPoint: set from the high point of their own floor, no leveler
// is asked to go in further than it can, and one cabinet's are fully in there.
func TestSetFromHighPoint(t *testing.T) {
	rng := seeded(t)
	for range 1000 {
		cs := cornersLike(rng, int64(foot), 1+rng.IntN(8))
		high := cs[0].Floor
		for i := range cs {
			cs[i].Known = true
			high = min(high, cs[i].Floor)
		}
		top := SetTop(high, cs)
		tight := false
		for _, c := range cs {
			if c.Extension(top) < c.Least {
				t.Fatalf("%+v: %s stands %d out at %d", cs, c.Name, c.Extension(top), top)
			}
			c.Floor = high
			tight = tight || c.Extension(top) == c.Least
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
