package main

import (
	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/intake"
)

// doubtedReadings asks the rules which readings of a visit are likely slips.
func doubtedReadings(rec *schema.Record, visit int) []intake.Doubt {
	var all []intake.Doubt
	for _, d := range checks.Doubts(rec, visit) {
		all = append(all, intake.Doubt{Pointer: d.Pointer, Found: d.Found, Expected: d.Expected, Mend: d.Mend()})
	}
	return all
}
