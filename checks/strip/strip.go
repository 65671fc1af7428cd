package strip

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"setline.example/schema/length"
)

// Limit is a height that the tops of a row must not pass.
type Limit struct {
	Down length.Length // the reading of the tops at the limit, down from the reference line
	// Packs says that packing moves it up, one for one: of an upper limit, that
	// of a leveler over a low floor.
	Packs bool
}

// Row is one row of cabinets whose tops all stand at one height.
type Row struct {
	Upper []Limit // tops no higher than each: readings no less
	Lower []Limit // tops no lower than each: readings no greater
}

// Place is one limit of one row: the row's position, and the limit's among its
// upper or lower ones. Row is -1 where there is no limit.
type Place struct{ Row, Limit int }

// Span is the heights from Highest to Lowest, both included. Highest is the
// smaller reading.
//
// Where Serves is false there is none: Highest is then the highest that the
// limit at High allows, Lowest the lowest that the limit at Low allows, and
// Highest is the larger reading by what is missing.
type Span struct {
	Highest, Lowest length.Length
	High, Low       Place // the limits that decide; of equal ones the first
	Serves          bool
}

// Missing is by how much the two limits of a span fail to meet; 0 where it
// serves.
func (s Span) Missing() length.Length {
	if s.Serves {
		return 0
	}
	return minus(s.Highest, s.Lowest)
}

// Common returns the heights that serve all rows at once. Rows without an upper
// or a lower limit leave that side open, and the span with the extreme length.
func Common(rows []Row) Span {
	s := Span{Highest: math.MinInt64, Lowest: math.MaxInt64, High: Place{-1, -1}, Low: Place{-1, -1}}
	for i, r := range rows {
		for n, l := range r.Upper {
			if s.High.Row < 0 || l.Down > s.Highest {
				s.Highest, s.High = l.Down, Place{i, n}
			}
		}
		for n, l := range r.Lower {
			if s.Low.Row < 0 || l.Down < s.Lowest {
				s.Lowest, s.Low = l.Down, Place{i, n}
			}
		}
	}
	s.Serves = s.Highest <= s.Lowest
	return s
}

// Packed is one limit that packing moves, and the least thickness that does.
type Packed struct {
	Place
	Thickness length.Length
}

// Packing is what makes one height serve rows that have none in common.
type Packing struct {
	At    length.Length // the reading of the tops
	Under []Packed      // in the order of the rows and of their upper limits
	Total length.Length // of all thicknesses
	// Mends says that packing makes the height serve. Where it does not, Stays is
	// an upper limit that packing does not move, above which the height lies.
	Mends bool
	Stays Place
}

// Pack returns the least packing that makes one height serve all rows: at the
// lowest height that the lower limits allow, which packing does not move. Above
// it every thickness grows with the height, or stays nothing, and so do their
// number and their sum; below it a lower limit is passed whatever is packed. So
// no other height needs less under any corner.
func Pack(rows []Row) Packing {
	s := Common(rows)
	p := Packing{At: s.Lowest, Mends: s.Low.Row >= 0, Stays: Place{-1, -1}}
	if !p.Mends {
		return p
	}
	highest := p.At
	for i, r := range rows {
		for n, l := range r.Upper {
			switch {
			case l.Down <= p.At:
			case l.Packs:
				t := minus(l.Down, p.At)
				p.Under = append(p.Under, Packed{Place{i, n}, t})
				p.Total = minus(p.Total, minus(0, t))
			case l.Down > highest:
				highest, p.Stays, p.Mends = l.Down, Place{i, n}, false
			}
		}
	}
	return p
}

// Group is rows that one height serves, and the heights that serve them all.
type Group struct {
	Rows []int // positions, in order
	Span
	// First is the row that asked for the height. Those of all groups have no
	// two a height in common, so that fewer heights cannot serve them.
	First int
}

// Heights returns the fewest heights that serve all rows which any height
// serves, the highest first, and the rows that none does. Each row stands in
// the first group that serves it.
func Heights(rows []Row) (groups []Group, never []int) {
	spans := make([]Span, len(rows))
	var open []int
	for i := range rows {
		spans[i] = Common(rows[i : i+1])
		if spans[i].Serves {
			open = append(open, i)
		} else {
			never = append(never, i)
		}
	}
	// Whatever serves the row that allows least of going down serves it at that
	// height or above; of all these the lowest serves most others.
	slices.SortStableFunc(open, func(a, b int) int { return cmp.Compare(spans[a].Lowest, spans[b].Lowest) })
	for len(open) > 0 {
		g := Group{First: open[0]}
		at := spans[open[0]].Lowest
		open = slices.DeleteFunc(open, func(i int) bool {
			served := spans[i].Highest <= at
			if served {
				g.Rows = append(g.Rows, i)
			}
			return served
		})
		slices.Sort(g.Rows)
		g.Span = g.common(rows)
		groups = append(groups, g)
	}
	return groups, never
}

// common is the span of the rows of a group, with their places among all.
func (g Group) common(rows []Row) Span {
	own := make([]Row, len(g.Rows))
	for n, i := range g.Rows {
		own[n] = rows[i]
	}
	s := Common(own)
	for _, p := range []*Place{&s.High, &s.Low} {
		if p.Row >= 0 {
			p.Row = g.Rows[p.Row]
		}
	}
	return s
}

// minus returns a - b, or the length next to it.
func minus(a, b length.Length) length.Length {
	d, borrow := bits.Sub64(uint64(a)^1<<63, uint64(b)^1<<63, 0)
	switch {
	case borrow == 0 && d > math.MaxInt64:
		return math.MaxInt64
	case borrow != 0 && d < 1<<63:
		return math.MinInt64
	}
	return length.Length(d)
}
