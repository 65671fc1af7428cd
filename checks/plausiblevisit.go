package checks

import (
	"slices"
	"time"

	"setline.example/checks/say"
	"setline.example/schema"
)

// How far a date may lie from what it should be near before it is doubted
// (common practice, no source): a year written wrong is 365 days off.
const (
	nearestDate = 300 // days, of a visit from the nearest other date of the job
	oldestCheck = 400 // days, of an instrument's check before the visit
)

// visitDoubts are the doubts about what a visit says of itself.
func (f *facts) visitDoubts(v int) (all []Doubt) {
	visit := &f.rec.Measured.Visits[v]
	about := func(words, found, expected, slip say.Text, steps ...any) {
		all = append(all, Doubt{
			Visit: v, Pointer: schema.Pointer("/measured/visits", append([]any{v}, steps...)...),
			Subject: Subject{Kind: SubjectVisit, Item: "visit of " + string(visit.Date), Last: string(visit.Date)}, Words: words, Found: found, Expected: expected, Slip: slip,
		})
	}
	if other, days, ok := f.nearestDate(v); ok && days > nearestDate {
		about(say.That("date"), say.That("%[1]s", visit.Date),
			say.That("a date within %[1]s days of another of this job; the nearest is %[2]s", nearestDate, other),
			yearSlip(visit.Date, other), "date")
		return all // nothing can be held against it
	}
	for _, name := range sortedNames(visit.Instruments) {
		use := visit.Instruments[name]
		if use.Checked != "" && daysBetween(use.Checked, visit.Date) > oldestCheck {
			about(say.That("check of %[1]s", say.Name(name)), say.That("%[1]s", use.Checked),
				say.That("a date no more than %[1]s days before the visit of %[2]s", oldestCheck, visit.Date),
				yearSlip(use.Checked, visit.Date), "instruments", name, "checked")
		}
		if t := use.TwoPeg; t != nil {
			off := plus(plus(t.Unequal[0], -t.Unequal[1]), -plus(t.Midway[0], -t.Midway[1]))
			if off.Abs() > mostOffset {
				about(say.That("two-peg test of %[1]s", say.Name(name)), say.That("%[1]s between the two set-ups", off),
					say.That("no more than %[1]s", mostOffset), say.That("likely one of its four readings"), "instruments", name, "two_peg")
			}
		}
	}
	return all
}

// datesOf are the dates of a job's visits, counts and packing lists, in order.
func datesOf(rec *schema.Record) (dates []schema.Date) {
	for i := range rec.Measured.Visits {
		dates = append(dates, rec.Measured.Visits[i].Date)
	}
	for _, r := range rec.Arrived.Receipts {
		dates = append(dates, r.Date)
	}
	for _, l := range rec.Arrived.PackingLists {
		if l.Date != "" {
			dates = append(dates, l.Date)
		}
	}
	slices.Sort(dates)
	return dates
}

// nearestDate is the date of the job nearest to that of a visit, and how many
// days off; ok is false where the job has no other.
func (f *facts) nearestDate(v int) (nearest schema.Date, days int, ok bool) {
	here := f.rec.Measured.Visits[v].Date
	i, _ := slices.BinarySearch(f.dates, here)
	for _, k := range []int{i - 1, i + 1} { // of which the second may be the same day
		if k < 0 || k >= len(f.dates) {
			continue
		}
		off := daysBetween(f.dates[k], here)
		if off = max(off, -off); !ok || off < days {
			nearest, days, ok = f.dates[k], off, true
		}
	}
	return nearest, days, ok
}

// yearSlip says whether another year would put a date beside the other.
func yearSlip(d, other schema.Date) say.Text {
	a, ok := d.Day()
	b, both := other.Day()
	if !ok || !both {
		return say.Text{}
	}
	for _, year := range []int{b.Year(), b.Year() - 1, b.Year() + 1} {
		meant := a.AddDate(year-a.Year(), 0, 0)
		if off := b.Sub(meant).Abs(); year != a.Year() && off.Hours()/24 <= 100 {
			return say.That("likely the year: %[1]s", schema.Date(meant.Format(time.DateOnly)))
		}
	}
	return say.Text{}
}
