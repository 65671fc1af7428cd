package checks

import (
	"strconv"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// Slips of the hand and of the eye, by which a value that was meant became
// another.

// guess is what may have been meant, and the slip that made another value of it.
type guess struct {
	words say.Words
	meant length.Length
}

const aSign say.Words = "a sign"

// slip says which slip likely made x of what was expected, "" where none did:
// the one that leads nearest to that, and near nothing the first.
func (n *neighbours) slip(x *read, b bounds, sys length.System) say.Text {
	if where := n.elsewhere(x); !where.Empty() {
		return where
	}
	if b == belowLine && x.value < 0 {
		return say.That("likely %[1]s: %[2]s", aSign, -x.value)
	}
	var likely *guess
	off := func(g guess) length.Length { return plus(g.meant, -b.usual).Abs() }
	for _, g := range guesses(x, sys) {
		if off(g) <= b.near && (likely == nil || b.usual != 0 && off(g) < off(*likely)) {
			likely = &g
		}
	}
	if likely == nil {
		return say.Text{}
	}
	return say.That("likely %[1]s: %[2]s", likely.words, likely.meant)
}

// elsewhere says whether a value is what reads at another place.
func (n *neighbours) elsewhere(x *read) say.Text {
	near := func(of []length.Length, within length.Length) bool {
		return len(of) > 0 && plus(x.value, -median(of)).Abs() <= within
	}
	switch {
	case x.near == nearTops && near(n.floor, floorFrom):
		return say.That("likely read at the floor")
	case x.near == nearFloor && near(n.tops, topsFrom):
		return say.That("likely read at a top or at the mark")
	}
	return say.Text{}
}

// guesses are what may have been meant by x, the likeliest slips first.
func guesses(x *read, sys length.System) (all []guess) {
	all = withoutDenominator(x, sys)
	for _, f := range factors {
		if meant, ok := f.undo(x.value); ok {
			all = append(all, guess{f.words, meant})
		}
	}
	all = append(all, guess{aSign, -x.value})
	for feet := length.Length(1); feet <= 3; feet++ {
		for _, l := range []length.Length{feet * length.Foot, -feet * length.Foot} {
			all = append(all, guess{"a foot read wrong on the tape", plus(x.value, l)})
		}
	}
	return append(all, otherDigits(x.value, sys)...)
}

// factor is a slip by which what was meant was multiplied.
type factor struct {
	times, by int64
	words     say.Words
}

var factors = [...]factor{
	{254, 10, "millimetres written as inches"},
	{10, 254, "inches written as millimetres"},
	{12, 1, "inches written as feet"},
	{1, 12, "feet written as inches"},
	{1, 1000, "metres written as millimetres"},
	{10, 1, "a digit or the decimal point"},
	{1, 10, "a digit or the decimal point"},
	{100, 1, "a digit or the decimal point"},
	{1, 100, "a digit or the decimal point"},
}

// undo gives what was meant; ok is false for what no tape reads.
func (f factor) undo(v length.Length) (length.Length, bool) {
	const most = 1 << 40 // nm, above a kilometre
	if v.Abs() > most || v.Abs() < 0 {
		return 0, false
	}
	return v * length.Length(f.by) / length.Length(f.times), true
}

// withoutDenominator is what "3" stands for where "3/16", "3/32" or "3/64" was meant.
func withoutDenominator(x *read, sys length.System) (all []guess) {
	small := x.near == nearNothing || x.near == nearNoGap
	if !small || sys == length.Metric || x.value%length.Inch != 0 {
		return nil
	}
	for _, denominator := range []length.Length{16, 32, 64} {
		if x.value/length.Inch < denominator {
			all = append(all, guess{"a fraction without its denominator", x.value / denominator})
		}
	}
	return all
}

// otherDigits are the values whose whole inches or millimetres have two
// neighbouring digits exchanged, a digit less, or one more.
func otherDigits(v length.Length, sys length.System) (all []guess) {
	unit := length.Inch
	if sys == length.Metric {
		unit = length.Millimetre
	}
	digits := ""
	if v/unit > 0 {
		digits = strconv.FormatInt(int64(v/unit), 10)
	}
	const most = 6
	if v < 0 || len(digits) > most {
		return nil
	}
	add := func(words say.Words, text string) {
		whole, _ := strconv.ParseInt("0"+text, 10, 64)
		all = append(all, guess{words, length.Length(whole)*unit + v%unit})
	}
	for i := range digits {
		add("a digit doubled", digits[:i]+digits[i+1:])
		if i > 0 {
			add("two digits exchanged", digits[:i-1]+digits[i:i+1]+digits[i-1:i]+digits[i+1:])
		}
	}
	for i := range len(digits) + 1 {
		for d := '0'; d <= '9'; d++ {
			add("a digit left out", digits[:i]+string(d)+digits[i:])
		}
	}
	return all
}
