package intake

import (
	"fmt"

	"setline.example/schema"
)

// checked is the visit with the instruments that a table says it used: when each
// was checked, whether it was dropped since, and the readings of a two-peg test.
func (b *build) checked(in Input) Visit {
	v := in.Visit
	if in.Checks == nil {
		return v
	}
	for r := range b.rows(in.Checks) {
		use := Instrument{Name: r.needed("instrument"), cell: r.Cell("instrument")}
		var o object
		o.text("checked", r.date("checked"))
		if r.text("dropped") != "" {
			o.put("dropped", jsonOf(r.yes("dropped")))
		}
		r.twoPeg(&o)
		for _, old := range v.Instruments {
			if old.Name == use.Name {
				r.wrong(schema.Twice, use.cell, fmt.Sprintf("instrument %q a second time", use.Name), "each once for a visit", "remove one of the two")
			}
		}
		use.use = o.json()
		if !r.bad {
			v.Instruments = append(v.Instruments, use)
		}
	}
	return v
}

// twoPeg reads the six values of a two-peg test, all of them or none.
func (r *reader) twoPeg(o *object) {
	var test object
	said, empty := 0, ""
	for _, of := range []string{"midway", "unequal", "distance"} {
		var pair [][]byte
		for _, mark := range []string{"a", "b"} {
			name := of + " " + mark
			text, _, ok := r.length(name)
			switch {
			case ok:
				said++
			case empty == "" && r.text(name) == "":
				empty = name
			}
			pair = append(pair, quote(text))
		}
		member := of
		if of == "distance" {
			member = "distances"
		}
		test.put(member, listOf(pair))
	}
	switch {
	case said == 0:
	case empty != "":
		r.wrong(schema.Missing, r.Cell(empty), "part of a two-peg test", "six lengths: readings on A and B from midway and from the second set-up, and its distances to A and B", "fill all six, or leave all empty")
	default:
		o.put("two_peg", test.json())
	}
}
