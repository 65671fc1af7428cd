package floor

import (
	"cmp"
	"math/bits"

	"setline.example/schema/length"
)

// Gap is how far a straightedge stands clear of the floor.
type Gap struct {
	Size     length.Length // from the straightedge down to the floor, 0 or more
	At       Reading       // where
	From, To Reading       // the two readings that carry the straightedge
}

// StraightedgeGap returns the greatest gap under a straightedge of the given
// length laid on the high spots of the floor, wherever it is laid: over every
// stretch no longer than edge, the greatest height of the upper convex hull of
// its readings above one of them. The method is that of ACI 117-10, 4.8.6 (a
// freestanding unleveled straightedge resting on two high spots). Only readings
// count, as the floor between them was not measured; readings far apart miss
// gaps. The gap is exact, rounded to the nearest nanometre; of several equal
// ones it is the leftmost.
//
// ok is false where no three readings lie within the length of the
// straightedge, so that there is nothing to see under it, and for readings not
// in order. Where nothing lies below a straightedge Size is 0 and At, From and
// To are all the first reading of the line.
//
// It takes time in proportion to the readings, times those within one length
// of the straightedge.
func (l Line) StraightedgeGap(edge length.Length) (Gap, bool) {
	var best clearance
	var gap Gap
	judged := l.clearances(edge, func(from, at, to Reading) {
		// The first is the leftmost: where moving the straightedge to the
		// right raises it over one reading, it raises it more over the next.
		if c := under(from, at, to); c.compare(best) > 0 {
			best, gap = c, Gap{At: at, From: from, To: to}
		}
	})
	if judged && best == (clearance{}) {
		gap = Gap{At: l[0], From: l[0], To: l[0]}
	}
	gap.Size = best.round()
	return gap, judged
}

// StraightedgeGaps calls see for every gap of which [Line.StraightedgeGap]
// returns the greatest: of each reading below the straightedge, wherever it is
// laid. What is known of a gap depends on where the straightedge rests, so that
// the greatest need not be the one that is known least.
func (l Line) StraightedgeGaps(edge length.Length, see func(Gap)) {
	l.clearances(edge, func(from, at, to Reading) {
		see(Gap{Size: under(from, at, to).round(), At: at, From: from, To: to})
	})
}

// clearances calls see for every reading that lies below a straightedge, and
// the two that carry it there. judged is false where there is nothing to see.
func (l Line) clearances(edge length.Length, see func(from, at, to Reading)) (judged bool) {
	if edge <= 0 || !l.increasing() {
		return false
	}
	var hull []Reading // kept from window to window only for its memory
	end := 0
	for start := range l {
		before := end
		for end < len(l) && distance(l[start].At, l[end].At) <= uint64(edge) {
			end++
		}
		// A window that ends where the last one did lies within it, and no
		// reading is lower under it than it was there.
		if end == before || end-start < 3 {
			continue
		}
		judged = true
		window := l[start:end]
		hull = window.hull(hull[:0])
		side := 0
		for _, r := range window {
			if r.At == hull[side].At {
				side++
			} else {
				see(hull[side-1], r, hull[side])
			}
		}
	}
	return judged
}

// hull appends the upper convex hull of the floor to h, which is empty: the
// readings on which a straightedge can rest, without those on a straight line
// between two others.
func (l Line) hull(h []Reading) []Reading {
	for _, r := range l {
		for len(h) >= 2 {
			if _, _, below := depth(h[len(h)-2], h[len(h)-1], r); !below {
				break
			}
			h = h[:len(h)-1]
		}
		h = append(h, r)
	}
	return h
}

// depth returns how far v lies below the straight line from a to b, times the
// distance from a to b, in nm², where a.At < v.At < b.At. below is false where
// v lies above the line; hi and lo then say how far above. It cannot overflow:
// the size is at most the greater fall times the distance, each below 2^64.
//
// depth = (Dv - Da)(xb - xv) + (Dv - Db)(xv - xa)
func depth(a, v, b Reading) (hi, lo uint64, below bool) {
	ahi, alo := bits.Mul64(distance(v.Down, a.Down), distance(b.At, v.At))
	bhi, blo := bits.Mul64(distance(v.Down, b.Down), distance(v.At, a.At))
	abelow, bbelow := v.Down >= a.Down, v.Down >= b.Down
	if abelow == bbelow {
		lo, carry := bits.Add64(alo, blo, 0)
		hi, _ = bits.Add64(ahi, bhi, carry)
		return hi, lo, abelow
	}
	if ahi < bhi || ahi == bhi && alo < blo {
		ahi, alo, bhi, blo = bhi, blo, ahi, alo
		abelow = bbelow
	}
	lo, borrow := bits.Sub64(alo, blo, 0)
	hi, _ = bits.Sub64(ahi, bhi, borrow)
	return hi, lo, abelow || hi|lo == 0
}

// clearance is a gap as whole nanometres and a proper fraction of one.
type clearance struct{ whole, rest, span uint64 }

// under returns the gap at v, which lies on or below the line from a to b.
func under(a, v, b Reading) clearance {
	hi, lo, _ := depth(a, v, b)
	span := distance(a.At, b.At)
	whole, rest := bits.Div64(hi, lo, span)
	return clearance{whole, rest, span}
}

// compare compares exactly, by cross multiplication.
func (c clearance) compare(d clearance) int {
	chi, clo := bits.Mul64(c.rest, max(d.span, 1))
	dhi, dlo := bits.Mul64(d.rest, max(c.span, 1))
	switch {
	case c.whole != d.whole:
		return cmp.Compare(c.whole, d.whole)
	case chi != dhi:
		return cmp.Compare(chi, dhi)
	}
	return cmp.Compare(clo, dlo)
}

// round returns the nearest length, halves up.
func (c clearance) round() length.Length {
	whole := c.whole
	if c.rest > 0 && c.rest >= c.span-c.rest && whole < uint64(maxLength) {
		whole++
	}
	return length.Length(min(whole, uint64(maxLength)))
}
