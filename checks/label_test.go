package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
)

// TestLabelMayMeanSeveralLines: lists of one order that each start at 1. A
// label fits if it fits one of the lines with its number, and does so always.
func TestLabelMayMeanSeveralLines(t *testing.T) {
	long(t)
	for _, tc := range []struct {
		name    string
		edit    func(*schema.Record)
		item    string
		outcome Outcome
		finding string
	}{
		{"of two lists, one fits", func(r *schema.Record) {}, "C1", Pass, "Label complete"},
		{"and so for the filler", func(r *schema.Record) {}, "F1", Pass, "Label complete"},
		{"none fits", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Label.Part = "B24" })
		}, "C1", Fail, "Label says part B24, drawn is BD24; fits none of the 2 lines 1 of order O1; the nearest: line 1 of the packing list is part BD24"},
		{"one fits but for the room", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Label.Room = "" })
		}, "C1", Fail, "Fits none of the 2 lines 1 of order O1; the nearest: no room on the label"},
		{"another list has it without a room", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Label.Room = "" })
			r.Arrived.PackingLists["P3"] = schema.PackingList{Order: "O1", Lines: map[string]schema.PackingLine{"1": {Part: "BD24", Quantity: 1}}}
		}, "C1", Pass, "Label complete"},
		{"another order has it", func(r *schema.Record) {
			r.Arrived.PackingLists["P2"] = schema.PackingList{Order: "O2", Lines: r.Arrived.PackingLists["P2"].Lines}
		}, "F1", Fail, "Line 1 of the packing list is part BD24"},
		{"the line is for another elevation", func(r *schema.Record) {
			l := r.Arrived.PackingLists["P2"].Lines["1"]
			l.Elevation = "B"
			r.Arrived.PackingLists["P2"].Lines["1"] = l
			alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.Label.Elevation = "A" })
		}, "F1", Fail, "line 1 of the packing list is for elevation B"},
	} {
		rec := fixture()
		rec.Arrived.PackingLists = map[string]schema.PackingList{
			"P1": {Order: "O1", Lines: map[string]schema.PackingLine{"1": {Part: "BD24", Quantity: 3, Room: "R1"}}},
			"P2": {Order: "O1", Lines: map[string]schema.PackingLine{"1": {Part: "F3", Quantity: 1, Room: "R1"}}},
		}
		rec.Arrived.Receipts = nil
		alter(seen(rec).Fillers, "F1", func(f *schema.FillerSeen) { f.Label.Line = "1" })
		tc.edit(rec)
		for range 20 {
			r := result(t, judge(t, rec), "label complete", tc.item)
			if r.Outcome != tc.outcome || !strings.Contains(r.Finding.String(), tc.finding) {
				t.Errorf("%s: %s: %q; want %s: %q", tc.name, r.Outcome, r.Finding.String(), tc.outcome, tc.finding)
				break
			}
		}
	}
}

// TestLabelOnTooManyUnits: a line that lists 2 cannot label 3.
func TestLabelOnTooManyUnits(t *testing.T) {
	two := func(lines map[string]schema.PackingLine) *schema.Record {
		rec := fixture()
		rec.Arrived.PackingLists["P1"] = schema.PackingList{Order: "O1", Lines: lines}
		rec.Arrived.Receipts = nil
		return rec
	}
	rec := two(map[string]schema.PackingLine{
		"1": {Part: "BD24", Quantity: 2, Room: "R1"}, "2": {Part: "F3", Quantity: 1, Room: "R1"}, "3": {Part: "BD24", Quantity: 1, Room: "R1"},
	})
	for _, tag := range []string{"C1", "C2", "C3"} {
		r := result(t, judge(t, rec), "label complete", tag)
		if want := "3 units carry this label, of line 1 of order O1, which lists 2: C1, C2 and C3"; r.Outcome != Fail || r.Finding.String() != want {
			t.Errorf("%s: %s: %q", tag, r.Outcome, r.Finding.String())
		}
	}
	alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Label.Line = "3" })
	for _, tag := range []string{"C1", "C2", "C3"} {
		if r := result(t, judge(t, rec), "label complete", tag); r.Outcome != Pass {
			t.Errorf("%s with a label of its own: %s: %q", tag, r.Outcome, r.Finding.String())
		}
	}
	// The line that names the elevation is for the units that it fits; the one
	// that names none takes the rest, whichever comes first.
	rec = two(map[string]schema.PackingLine{"1": {Part: "BD24", Quantity: 1, Room: "R1"}, "2": {Part: "F3", Quantity: 1, Room: "R1"}})
	rec.Arrived.PackingLists["P0"] = schema.PackingList{Order: "O1", Lines: map[string]schema.PackingLine{"1": {Part: "BD24", Quantity: 2}}}
	for _, tag := range []string{"C1", "C2", "C3"} {
		if r := result(t, judge(t, rec), "label complete", tag); r.Outcome != Pass {
			t.Errorf("%s on one of two lists: %s: %q", tag, r.Outcome, r.Finding.String())
		}
	}
}
