package checks

import (
	"time"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Bring is what a crew needs to have with it to set some elevations, as far as
// the record knows.
type Bring struct {
	Takeoffs    []Takeoff
	Joints      int // of cabinets, to be held flush while they are screwed
	Instruments []InstrumentDue
	Narrowest   Span // cabinet from side to side
	Shallowest  Span // cabinet from front to back
	Longest     Span // run from end to end
}

// Span is a length that a level has to lie on, and where.
type Span struct {
	length.Length
	Room string
	Of   Subject
}

// InstrumentDue is a planned instrument and when it has to be checked again.
type InstrumentDue struct {
	Name string
	schema.Instrument
	Asked   bool        // it has to be checked: a laser or a level
	Checked schema.Date // last, "" where nobody wrote that down
	Dropped bool        // since then
	Failed  bool        // that check was a two-peg test, which showed too much
	Until   schema.Date // the last day for which that check is good
	Due     bool        // it has to be checked before it is used on the day
}

// BringFor gathers what the elevations that keep wants ask for, nil for all, on a day.
func BringFor(rec *schema.Record, on schema.Date, keep func(room, elevation string) bool) Bring {
	f := newFacts(rec, rec.Measured.VisitsInTime())
	f.limits, _ = contractLimits(rec, nil) // Run has looked at them
	b := Bring{Takeoffs: f.takeoffs(keep), Instruments: f.due(on)}
	for _, r := range f.rooms {
		for _, e := range r.elevations {
			if keep == nil || keep(r.plan.Name, e.plan.Name) {
				b.add(r, e)
			}
		}
	}
	return b
}

func (b *Bring) add(r *room, e *elevation) {
	for i, u := range e.units {
		if j := e.joints[i]; j != nil && j.cabinets() {
			b.Joints++
		}
		if u.cabinet != nil {
			b.Narrowest.shorter(Span{u.width, r.plan.Name, u.subject})
			b.Shallowest.shorter(Span{*u.body.Depth, r.plan.Name, u.subject})
		}
	}
	for _, run := range e.runs {
		cabinets := cabinetsOf(run)
		if len(cabinets) == 0 {
			continue
		}
		first, last := cabinets[0], cabinets[len(cabinets)-1]
		s := Span{last.x + last.width - first.x, r.plan.Name, first.subject}
		s.Of.Last = last.plan.Tag
		if s.Length > b.Longest.Length {
			b.Longest = s
		}
	}
}

// shorter takes another span where it is shorter.
func (s *Span) shorter(other Span) {
	if s.Of == (Subject{}) || other.Length < s.Length {
		*s = other
	}
}

// due are the instruments of the job, by name.
func (f *facts) due(on schema.Date) (all []InstrumentDue) {
	days := limitOf(f.limits, instrumentChecked).limit.N
	for _, name := range sortedNames(f.rec.Planned.Instruments) {
		in := InstrumentDue{Name: name, Instrument: f.rec.Planned.Instruments[name]}
		in.Asked = in.Kind == "laser" || in.Kind == "level"
		for _, v := range f.visits {
			visit := &f.rec.Measured.Visits[v]
			if use, used := visit.Instruments[name]; used {
				in.used(use, visit.Date)
			}
		}
		if in.Checked != "" {
			in.Until = daysLater(in.Checked, int(days))
		}
		in.Due = in.Asked && (in.Checked == "" || in.Dropped || in.Failed || in.Until < on)
		all = append(all, in)
	}
	return all
}

// used takes over what a visit says of the instrument. A check on the day it was
// dropped may have been before that.
func (in *InstrumentDue) used(use schema.InstrumentUse, on schema.Date) {
	checked, failed := use.Checked, false
	if test := twoPegTest(in.Instrument, use.TwoPeg); test.outcome == Pass || test.outcome == Fail {
		checked, failed = on, test.outcome == Fail
	}
	if checked > in.Checked || checked == in.Checked && failed {
		in.Checked, in.Failed, in.Dropped = checked, failed, false
	}
	in.Dropped = in.Dropped || use.Dropped != nil && *use.Dropped
}

// daysLater is so many days after a day, at most the last one that can be written.
func daysLater(day schema.Date, days int) schema.Date {
	d, ok := day.Day()
	if !ok {
		return day // the schema lets no such date through
	}
	if d = d.AddDate(0, 0, min(days, 1<<22)); d.Year() > 9999 {
		return now
	}
	return schema.Date(d.Format(time.DateOnly))
}
