package checks

import (
	"maps"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

// instrumentsOut is what visits knew of instruments that has to be known of them on
// later days too: that one was dropped, or shown to be out, since a check that is
// named again.
type instrumentsOut struct {
	followed int // how many visits, in time order
	known    map[string][]instrumentOut
}

// instrumentOut is that an instrument has to be checked again.
type instrumentOut struct {
	day     schema.Date // of the visit that knew it
	checked schema.Date // that check and those before are worth nothing
	dropped bool        // else a two-peg test showed it, and all of days before are too
}

// voids reports whether the check of a day is worth nothing.
func (o instrumentOut) voids(check schema.Date) bool {
	return check <= o.checked || !o.dropped && check < o.day
}

// forget is for visits that are others now, or in another order.
func (o *instrumentsOut) forget() { *o = instrumentsOut{} }

// follow takes in the visits that were added.
func (o *instrumentsOut) follow(f *facts) {
	for ; o.followed < len(f.visits); o.followed++ {
		visit := &f.rec.Measured.Visits[f.visits[o.followed]]
		for _, name := range slices.Sorted(maps.Keys(visit.Instruments)) {
			if out, is := outSince(f.rec.Planned.Instruments[name], visit.Instruments[name], visit.Date); is {
				if o.known == nil {
					o.known = map[string][]instrumentOut{}
				}
				o.known[name] = append(o.known[name], out)
			}
		}
	}
}

// outSince says what a visit shows to be known of an instrument from then on. One
// that was dropped fell after the check named there. One that a test shows to be out
// was out on that day; a check of the same day may have come after the test.
func outSince(in schema.Instrument, use schema.InstrumentUse, day schema.Date) (out instrumentOut, is bool) {
	switch {
	case twoPegTest(in, use.TwoPeg).outcome == Fail:
		return instrumentOut{day, use.Checked, false}, true
	case use.Dropped != nil && *use.Dropped && use.Checked != "":
		return instrumentOut{day, use.Checked, true}, true
	}
	return out, false
}

// outBefore is what an earlier day knew of an instrument whose last check is of the
// day named. Of visits of one day nobody knows the order.
func (f *facts) outBefore(name string, checked, day schema.Date) (out instrumentOut, is bool) {
	f.out.follow(f)
	known := f.out.known[name]
	i := slices.IndexFunc(known, func(o instrumentOut) bool { return o.day < day && o.voids(checked) })
	if i < 0 {
		return out, false
	}
	return known[i], true
}

func (o instrumentOut) words() say.Text {
	if o.dropped {
		return say.That("Dropped since, as was known on %[1]s", o.day)
	}
	return say.That("Shown to be out since by a two-peg test on %[1]s", o.day)
}
