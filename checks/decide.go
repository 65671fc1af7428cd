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
	if u == 0 {
		if value > limit {
			return 0
		}
		return 1
	}
	return phi(float64(limit-value) / u)
}

// conformityBothSides is the probability that it lies between -limit and limit
// (JCGM 106:2012, 7.4). The sign of value does not matter.
func conformityBothSides(value, limit length.Length, u float64) float64 {
	if u == 0 {
		return conformity(value.Abs(), limit, 0)
	}
	// As numbers, since the sum of two lengths need not be one.
	return phi((float64(limit)-float64(value))/u) - phi((-float64(limit)-float64(value))/u)
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

// readers are the instruments with which the readings of every kind were made
// on every visit. There is none where the visit names none for it, or more
// than one.
type readers map[reading]*schema.Instrument

// reading is a kind of readings of a visit, which is a position in the record.
type reading struct {
	visit int
	kind  string
}

func newReaders(rec *schema.Record) readers {
	all := readers{}
	for v := range rec.Measured.Visits {
		for name := range rec.Measured.Visits[v].Instruments {
			in := rec.Planned.Instruments[name]
			for _, kind := range kindsRead(in) {
				if _, another := all[reading{v, kind}]; another {
					all[reading{v, kind}] = nil
				} else {
					all[reading{v, kind}] = &in
				}
			}
		}
	}
	return all
}

// of returns the instrument, nil where there is none.
func (r readers) of(visit int, kind string) *schema.Instrument { return r[reading{visit, kind}] }

// kindsRead names the kinds of readings taken with in.
func kindsRead(in schema.Instrument) []string {
	if len(in.Reads) == 0 {
		return usuallyReads[in.Kind]
	}
	return in.Reads
}

// reads reports whether readings of a kind are taken with in.
func reads(in schema.Instrument, reading string) bool {
	return slices.Contains(kindsRead(in), reading)
}

// usuallyReads is what an instrument of a kind reads when the record does not say.
var usuallyReads = map[string][]string{
	"laser":        {"heights"},
	"level":        {"level and plumb"},
	"rule":         {"offsets", "extensions"},
	"feeler gauge": {"gaps"},
}
