package checks

import (
	"math"
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Decision rules a contract can choose.
const (
	Simple  = "simple"  // a value within the limit passes
	Guarded = "guarded" // it must be within by the expanded uncertainty (JCGM 106:2012, 8.3.2; ISO 14253-1)
)

// coverage is the factor from standard to expanded uncertainty, for about 95 % (JCGM 100:2008, 6.2).
const coverage = 2

// resolutionUncertainty is the standard uncertainty of a reading of the given
// resolution: half the step, rectangular (JCGM 100:2008, F.2.2.1).
func resolutionUncertainty(resolution length.Length) float64 {
	return float64(resolution) / (2 * math.Sqrt(3))
}

// conformity is the probability that a quantity estimated as value with
// standard uncertainty u is at most limit (JCGM 106:2012, 7.3.1, normal
// distribution). With no uncertainty it is 0 or 1.
func conformity(value, limit length.Length, u float64) float64 {
	margin := float64(limit - value)
	if u == 0 {
		if margin < 0 {
			return 0
		}
		return 1
	}
	return 0.5 * math.Erfc(-margin/(u*math.Sqrt2))
}

// atMost judges a measured length against the greatest it may be. A value at
// the limit is within it.
func atMost(decision string, value, limit length.Length, d doubt) Outcome {
	within := Fail
	if value <= limit {
		within = Pass
	}
	if decision != Guarded {
		return within
	}
	if !d.known {
		return Undecided
	}
	switch margin, guard := float64(limit-value), coverage*d.u; {
	case margin >= guard:
		return Pass
	case margin < -guard:
		return Fail
	}
	return Undecided
}

// instrumentFor returns the instrument of a visit with which readings of a
// kind were taken. There is none where the visit names none for it, or more
// than one.
func instrumentFor(rec *schema.Record, visit int, reading string) (schema.Instrument, bool) {
	var found []schema.Instrument
	for name := range rec.Measured.Visits[visit].Instruments {
		if in := rec.Planned.Instruments[name]; reads(in, reading) {
			found = append(found, in)
		}
	}
	if len(found) != 1 {
		return schema.Instrument{}, false
	}
	return found[0], true
}

// reads reports whether readings of a kind are taken with in.
func reads(in schema.Instrument, reading string) bool {
	kinds := in.Reads
	if len(kinds) == 0 {
		kinds = usuallyReads[in.Kind]
	}
	return slices.Contains(kinds, reading)
}

// usuallyReads is what an instrument of a kind reads when the record does not say.
var usuallyReads = map[string][]string{
	"laser":        {"heights"},
	"level":        {"level and plumb"},
	"rule":         {"offsets", "extensions"},
	"feeler gauge": {"gaps"},
}
