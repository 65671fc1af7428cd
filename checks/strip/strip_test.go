package strip_test

import (
	"math"
	"math/big"
	"math/bits"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"setline.example/checks/strip"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// few are heights so near each other that all of them can be tried.
const few = 24

func limits(rng *rand.Rand, least int, packs bool) []strip.Limit {
	all := make([]strip.Limit, least+rng.IntN(4))
	for i := range all {
		all[i] = strip.Limit{Down: length.Length(rng.IntN(few)), Packs: packs && rng.IntN(3) > 0}
	}
	return all
}

func randomRows(rng *rand.Rand, most int) []strip.Row {
	rows := make([]strip.Row, 1+rng.IntN(most))
	for i := range rows {
		rows[i] = strip.Row{Upper: limits(rng, 1, true), Lower: limits(rng, 1, false)}
		if rng.IntN(2) == 0 { // rows that something serves
			for k := range rows[i].Upper {
				rows[i].Upper[k].Down /= 3
			}
			for k := range rows[i].Lower {
				rows[i].Lower[k].Down = few - rows[i].Lower[k].Down/3
			}
		}
	}
	return rows
}

// serves says of one height what the definition says.
func serves(r strip.Row, down length.Length) bool {
	return !slices.ContainsFunc(r.Upper, func(l strip.Limit) bool { return down < l.Down }) && reaches(r, down)
}

// reaches says it of the lower limits alone.
func reaches(r strip.Row, down length.Length) bool {
	return !slices.ContainsFunc(r.Lower, func(l strip.Limit) bool { return down > l.Down })
}

// TestEveryHeight tries every height of random rows, and every set of heights.
func TestEveryHeight(t *testing.T) {
	rng := chance.Source(t)
	serving, none, mended, stays, more := 0, 0, 0, 0, 0
	for range 4000 {
		rows := randomRows(rng, 5)
		s := strip.Common(rows)
		masks := make([]uint, 0, few+2) // which rows each height serves
		for down := length.Length(-1); down <= few+1; down++ {
			all, mask := true, uint(0)
			for i, r := range rows {
				if serves(r, down) {
					mask |= 1 << i
				} else {
					all = false
				}
			}
			masks = append(masks, mask)
			if within := s.Serves && s.Highest <= down && down <= s.Lowest; all != within {
				t.Fatalf("%+v: %d serves is %v, span %+v", rows, down, all, s)
			}
		}
		count(s.Serves, &serving, &none)
		decide(t, rows, s)
		p := strip.Pack(rows)
		packed(t, rows, p)
		count(p.Mends, &mended, &stays)
		if fewest(t, rows, masks) > 1 {
			more++
		}
	}
	if serving == 0 || none == 0 || mended == 0 || stays == 0 || more == 0 {
		t.Errorf("not all was tried: %d serve, %d do not, %d are mended, %d not, %d want more heights", serving, none, mended, stays, more)
	}
}

func count(is bool, yes, no *int) {
	if is {
		*yes++
	} else {
		*no++
	}
}

// decide holds that without the two limits named there would be more heights.
func decide(t *testing.T, rows []strip.Row, s strip.Span) {
	t.Helper()
	high, low := rows[s.High.Row].Upper[s.High.Limit], rows[s.Low.Row].Lower[s.Low.Limit]
	if high.Down != s.Highest || low.Down != s.Lowest || s.Missing() != max(0, s.Highest-s.Lowest) {
		t.Fatalf("%+v: %+v is not of the limits that it names", rows, s)
	}
}

// packed holds the least packing against every other height.
func packed(t *testing.T, rows []strip.Row, p strip.Packing) {
	t.Helper()
	under := map[strip.Place]length.Length{}
	total := length.Length(0)
	for _, u := range p.Under {
		under[u.Place] = u.Thickness
		total += u.Thickness
	}
	if total != p.Total {
		t.Fatalf("%+v: %+v adds up to %d", rows, p, total)
	}
	mended := false
	for down := length.Length(-1); down <= few+1; down++ {
		possible := true
		sum := length.Length(0)
		for i, r := range rows {
			possible = possible && reaches(r, down)
			for n, l := range r.Upper {
				need := max(0, l.Down-down)
				possible = possible && (need == 0 || l.Packs)
				sum += need
				if reachAll(rows, down) && need < under[strip.Place{Row: i, Limit: n}] {
					t.Fatalf("%+v: %d needs less than %+v", rows, down, p)
				}
			}
		}
		mended = mended || possible
		if possible && sum < p.Total || possible && down == p.At && sum != p.Total {
			t.Fatalf("%+v: %d needs %d, of %+v", rows, down, sum, p)
		}
	}
	if mended != p.Mends || p.Mends != (p.Stays.Row < 0) {
		t.Fatalf("%+v: can be mended is %v, of %+v", rows, mended, p)
	}
}

func reachAll(rows []strip.Row, down length.Length) bool {
	return !slices.ContainsFunc(rows, func(r strip.Row) bool { return !reaches(r, down) })
}

// fewest holds the number of groups against all sets of heights, and returns it.
func fewest(t *testing.T, rows []strip.Row, masks []uint) int {
	t.Helper()
	groups, never := strip.Heights(rows)
	all := uint(1)<<len(rows) - 1
	for _, i := range never {
		all &^= 1 << i
	}
	seen := uint(0)
	for k, g := range groups {
		for _, i := range g.Rows {
			if !serves(rows[i], g.Highest) || !serves(rows[i], g.Lowest) || seen&(1<<i) != 0 {
				t.Fatalf("%+v: %+v does not serve %d, or again", rows, g, i)
			}
			seen |= 1 << i
		}
		if !g.Serves || !slices.Contains(g.Rows, g.First) || k > 0 && groups[k-1].Lowest >= g.Lowest {
			t.Fatalf("%+v: %+v", rows, groups)
		}
	}
	best := len(rows) + 1
	for n := 0; n <= len(rows) && best > len(rows); n++ {
		if covers(masks, all, n) {
			best = n
		}
	}
	if seen != all || len(groups) != best {
		t.Fatalf("%+v: %d groups of %b, fewest %d of %b", rows, len(groups), seen, best, all)
	}
	return best
}

// covers reports whether n heights serve all the rows of a mask.
func covers(masks []uint, want uint, n int) bool {
	if want == 0 {
		return true
	}
	if n == 0 {
		return false
	}
	first := uint(1) << bits.TrailingZeros(want) // some height has to serve it
	for _, m := range masks {
		if m&first != 0 && covers(masks, want&^m, n-1) {
			return true
		}
	}
	return false
}

// TestWorked is two walls worked out by hand. A stands on levelers from 1/2 to
// 2 in with 1/8 in of reserve, bodies 34 in high, on a floor read from 44 to
// 44 1/2 in: tops from 44 1/2 - 36 = 8 1/2 to 44 - 34 5/8 = 9 3/8 in down. B has
// the floor from 44 1/4 to 46 in: from 10 to 9 5/8 in, none; without reserve
// 9 3/4. The lowest that both allow is 9 3/8: B's low corner wants 5/8 in.
func TestWorked(t *testing.T) {
	in := func(n, d length.Length) length.Length { return n * length.Inch / d }
	a := strip.Row{Upper: []strip.Limit{{Down: in(8, 1), Packs: true}, {Down: in(17, 2), Packs: true}}, Lower: []strip.Limit{{Down: in(75, 8)}, {Down: in(79, 8)}}}
	b := strip.Row{Upper: []strip.Limit{{Down: in(33, 4), Packs: true}, {Down: in(10, 1), Packs: true}}, Lower: []strip.Limit{{Down: in(77, 8)}, {Down: in(91, 8)}}}
	want := strip.Span{Highest: in(10, 1), Lowest: in(75, 8), High: strip.Place{Row: 1, Limit: 1}, Low: strip.Place{}}
	if s := strip.Common([]strip.Row{a, b}); s != want || s.Missing() != in(5, 8) {
		t.Errorf("common: %+v, want %+v", s, want)
	}
	p := strip.Pack([]strip.Row{a, b})
	under := []strip.Packed{{Place: strip.Place{Row: 1, Limit: 1}, Thickness: in(5, 8)}}
	if p.At != in(75, 8) || !p.Mends || p.Total != in(5, 8) || !reflect.DeepEqual(p.Under, under) {
		t.Errorf("packing: %+v", p)
	}
	groups, never := strip.Heights([]strip.Row{a, b})
	if len(groups) != 1 || groups[0].Highest != in(17, 2) || groups[0].Lowest != in(75, 8) || !slices.Equal(never, []int{1}) {
		t.Errorf("heights: %+v, never %v", groups, never)
	}
}

// TestMovedAndScaled: the reference line elsewhere moves every answer by as
// much, and other units scale it.
func TestMovedAndScaled(t *testing.T) {
	rng := chance.Source(t)
	for range 500 {
		rows := randomRows(rng, 5)
		const by, times = 12_345_678, 254
		changed := func(l length.Length) length.Length { return l*times + by }
		other := make([]strip.Row, len(rows))
		for i, r := range rows {
			other[i] = strip.Row{Upper: slices.Clone(r.Upper), Lower: slices.Clone(r.Lower)}
			for _, side := range [][]strip.Limit{other[i].Upper, other[i].Lower} {
				for n := range side {
					side[n].Down = changed(side[n].Down)
				}
			}
		}
		want := strip.Common(rows)
		want.Highest, want.Lowest = changed(want.Highest), changed(want.Lowest)
		if s := strip.Common(other); s != want {
			t.Fatalf("%+v: %+v, want %+v", rows, s, want)
		}
		p, q := strip.Pack(rows), strip.Pack(other)
		if q.At != changed(p.At) || q.Total != p.Total*times || q.Mends != p.Mends || len(q.Under) != len(p.Under) {
			t.Fatalf("%+v: %+v, of the other %+v", rows, p, q)
		}
		g, gn := strip.Heights(rows)
		h, hn := strip.Heights(other)
		if len(g) != len(h) || !slices.Equal(gn, hn) {
			t.Fatalf("%+v: %+v, of the other %+v", rows, g, h)
		}
		for k := range g {
			if !slices.Equal(g[k].Rows, h[k].Rows) || h[k].Lowest != changed(g[k].Lowest) {
				t.Fatalf("%+v: %+v, of the other %+v", rows, g[k], h[k])
			}
		}
	}
}

// TestNothingToServe: without limits every height serves, without rows too.
func TestNothingToServe(t *testing.T) {
	for _, rows := range [][]strip.Row{nil, {{}}} {
		if s := strip.Common(rows); !s.Serves || s.High.Row != -1 || s.Low.Row != -1 {
			t.Errorf("%v: %+v", rows, s)
		}
		if p := strip.Pack(rows); p.Mends || len(p.Under) > 0 {
			t.Errorf("%v: %+v", rows, p)
		}
	}
	if groups, never := strip.Heights(nil); groups != nil || never != nil {
		t.Error(groups, never)
	}
}

// FuzzPack holds sums and differences, up to the greatest lengths, against
// arithmetic without bounds.
func FuzzPack(f *testing.F) {
	f.Add(int64(0), int64(5), int64(3))
	f.Add(int64(math.MinInt64), int64(math.MaxInt64), int64(math.MinInt64))
	f.Fuzz(func(t *testing.T, lower, upper, another int64) {
		rows := []strip.Row{
			{Lower: []strip.Limit{{Down: length.Length(lower)}}, Upper: []strip.Limit{{Down: length.Length(upper), Packs: true}}},
			{Upper: []strip.Limit{{Down: length.Length(another), Packs: true}}},
		}
		p := strip.Pack(rows)
		total := new(big.Int)
		for _, u := range []int64{upper, another} {
			if d := new(big.Int).Sub(big.NewInt(u), big.NewInt(lower)); d.Sign() > 0 {
				total.Add(total, clamped(d))
			}
		}
		if clamped(total).Int64() != int64(p.Total) || int64(p.At) != lower || !p.Mends {
			t.Errorf("%+v: %+v, want %v", rows, p, total)
		}
		s := strip.Common(rows)
		if missing := new(big.Int).Sub(big.NewInt(int64(s.Highest)), big.NewInt(int64(s.Lowest))); !s.Serves && clamped(missing).Int64() != int64(s.Missing()) {
			t.Errorf("%+v is missing %d", s, s.Missing())
		}
		strip.Heights(rows)
	})
}

func clamped(n *big.Int) *big.Int {
	if most := big.NewInt(math.MaxInt64); n.Cmp(most) > 0 {
		return most
	}
	return n
}

func BenchmarkRoom(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	rows := make([]strip.Row, 8)
	for i := range rows {
		for range 80 { // twenty cabinets
			rows[i].Upper = append(rows[i].Upper, strip.Limit{Down: length.Length(rng.IntN(1 << 20)), Packs: true})
			rows[i].Lower = append(rows[i].Lower, strip.Limit{Down: length.Length(rng.IntN(1 << 20))})
		}
	}
	for b.Loop() {
		strip.Common(rows)
		strip.Pack(rows)
		strip.Heights(rows)
	}
}
