package checks

import (
	"math/big"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/checks/turns"
	"setline.example/schema/length"
)

// HandTurns is how far a bolt is turned out of fully in as a hand counts it:
// so many parts of a turn, of which Of make a whole one. Of is 0 where it cannot
// be counted so.
type HandTurns struct{ Parts, Of int }

// Text says it: "3 1/4".
func (h HandTurns) Text() say.Text {
	whole, part, of := h.Parts/h.Of, h.Parts%h.Of, h.Of
	for part > 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	switch {
	case part == 0:
		return say.That("%[1]s", whole)
	case whole == 0:
		return say.That("%[1]s/%[2]s", part, of)
	}
	return say.That("%[1]s %[2]s/%[3]s", whole, part, of)
}

// partsOfTurn are the fractions in which turns are told: eighths, which a hand
// can turn, and finer ones only for a bolt so coarse that an eighth of its turn
// could bring a corner out of the limits.
var partsOfTurn = [...]int{8, 16, 32, 64}

// mostTurns is beyond all bolts.
const mostTurns = 1 << 24

// hands tells the turns of all corners of a layout as a hand counts them.
func (b *bench) hands(l *Layout) {
	bound := b.coarsest()
	for i := range l.Corners {
		c := &l.Corners[i]
		switch {
		case !c.Known || !c.Within:
		case c.HasTurns:
			c.Hand, c.Rounded = handTurns(c.Corner, c.Left, bound)
		default:
			c.Rounded = readLength(c.Corner, c.Left, b.sys)
		}
	}
}

// coarsest is the coarsest step in which all corners can be set without being
// out by more than a rule allows. A corner is at most a step off its height: two
// of a cabinet, or of two at a joint, are at most two steps apart, and the four
// of a twist add up to four.
func (b *bench) coarsest() length.Length {
	limit := func(rule *Rule) length.Length { return length.Length(limitOf(b.limits, rule).limit.N) }
	level := newLevelLimit(b.limits)
	return min(level.within/2, level.between/2, limit(cabinetTwist)/4, limit(topsInOnePlane)/2, limit(setHeightHeld))
}

// handTurns are the turns nearest to those that bring a corner down to so much
// left, in the coarsest parts of a turn that the bound allows and that keep it
// within its travel, and with its reserve where it has it; and how much is left then.
func handTurns(c floor.Corner, left, bound length.Length) (h HandTurns, rounded length.Length) {
	eighth, ok := turns.Eighth(c.ThreadsPerInch, c.Pitch)
	if !ok {
		return HandTurns{}, 0
	}
	least, most := min(left, max(c.Reserve, 0)), less(c.Greatest, c.Least)
	for _, of := range partsOfTurn {
		// A step is num / den nanometres.
		num, den := eighth.Num, eighth.Den*int64(of/8)
		if big.NewInt(num).Cmp(new(big.Int).Mul(big.NewInt(den), big.NewInt(int64(bound)))) > 0 {
			continue
		}
		down := new(big.Int).Mul(big.NewInt(int64(left)), big.NewInt(den))
		down.Div(down, big.NewInt(num)) // whole steps, rounded down
		if !down.IsInt64() || down.Int64() > mostTurns*int64(of) {
			return HandTurns{}, 0
		}
		n := down.Int64()
		leaves := func(n int64) length.Length { return steps(n, num, den) }
		near, far := n, n+1
		if apart(leaves(far), left) <= apart(leaves(near), left) {
			near, far = far, near
		}
		for _, try := range []int64{near, far} {
			if is := leaves(try); is >= least && is <= most {
				return HandTurns{int(try), of}, is
			}
		}
	}
	return HandTurns{}, 0
}

// readLength is what is left where a leveler is set by a rule, to whole 64ths of
// an inch or tenths of a millimetre of its extension, within its travel and
// reserve likewise.
func readLength(c floor.Corner, left length.Length, sys length.System) length.Length {
	step := length.Inch / 64
	if sys == length.Metric {
		step = length.Millimetre / 10
	}
	least, out := min(left, max(c.Reserve, 0)), c.Least+left
	down := out % step
	near, far := left-down, left-down+step
	if down > step/2 {
		near, far = far, near
	}
	for _, try := range []length.Length{near, far} {
		if try >= least && less(try, -c.Least) <= c.Greatest {
			return try
		}
	}
	return left
}

// steps is n steps of num / den nanometres, to the nearest nanometre.
func steps(n, num, den int64) length.Length {
	two := big.NewInt(2)
	sum := new(big.Int).Mul(big.NewInt(n), big.NewInt(num))
	sum.Mul(sum, two).Add(sum, big.NewInt(den))
	sum.Div(sum, new(big.Int).Mul(two, big.NewInt(den)))
	return length.Length(sum.Int64())
}
