package main

import (
	"setline.example/checks"
	texts "setline.example/checks/say"
	"setline.example/schema"
)

// doubtedReadings asks the rules which readings of a visit are likely slips.
func doubtedReadings(rec *schema.Record, visit int) (all schema.Problems) {
	write := texts.Writer{Lengths: rec.Planned.LengthsIn}
	for _, d := range checks.Doubts(rec, visit) {
		all = append(all, schema.Problem{Kind: schema.Doubted, Pointer: d.Pointer, Found: write.Text(d.Found), Expected: write.Text(d.Expected), Mend: write.Text(d.Mend())})
	}
	return all
}
