package checks

import (
	"math/bits"

	"setline.example/schema"
)

// Loosened is a limit that the contract sets looser than ours. Whoever reads a
// report has to know of it before the answer means anything.
type Loosened struct {
	Rule   *Rule
	Change schema.LimitChange
	// Excessive says that it is more than [ExcessiveTimes] ours, so that hardly
	// anything fails it: a slip, or worse.
	Excessive bool
}

// ExcessiveTimes is how many times ours a limit may be before it is told
// loudly (common practice, no source).
const ExcessiveTimes = 4

// loosened lists the limits that are looser than ours, in the order of the work.
func loosened(rec *schema.Record, changes map[string]limitChange) (all []Loosened) {
	for _, rule := range rules() {
		if l, ok := changes[rule.Name]; ok && l.beyond(rule, 1) {
			all = append(all, Loosened{rule, rec.Planned.Limits[rule.Name], l.beyond(rule, ExcessiveTimes)})
		}
	}
	return all
}

// beyond reports whether the limit, or the least of a rate, is more than so many times ours.
func (l limitChange) beyond(rule *Rule, times uint64) bool {
	if l.limit.N < 0 || l.over < 0 || l.least < 0 {
		return false
	}
	return moreThan(uint64(l.limit.N), uint64(max(1, rule.Over)), uint64(rule.Limit.N)*times, uint64(max(1, l.over))) ||
		uint64(l.least) > uint64(rule.Least)*times
}

// moreThan reports whether a*b > c*d, whatever their size.
func moreThan(a, b, c, d uint64) bool {
	hi1, lo1 := bits.Mul64(a, b)
	hi2, lo2 := bits.Mul64(c, d)
	return hi1 > hi2 || hi1 == hi2 && lo1 > lo2
}
