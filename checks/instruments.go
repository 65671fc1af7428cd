package checks

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"setline.example/schema"
	"setline.example/schema/length"
)

var instrumentChecked = &Rule{
	ID:      "instrument-checked",
	Name:    "instrument checked",
	Family:  Instruments,
	Asks:    "Every laser and level used on a visit is named and was checked no longer before it than the limit, and a two-peg test shows it within its stated accuracy.",
	Why:     "A laser that was dropped still draws a straight line. Every height of the visit rests on it.",
	Limit:   Quantity{Days, 30},
	Formula: "days = visit - check; error per length = ((a2 - b2) - (a1 - b1)) / (da - db), against stated accuracy / distance",
	Source:  "common practice, no source; two-peg test as surveying textbooks have it",
	Needs:   "Name the instrument, and write down when it was last checked, or do a two-peg test and write down its readings",
	Remedy:  "Check the instrument now; where it is out, have it adjusted and read again what was read with it since its last good check",
	observe: (*asker).instruments,
	judge:   judgeInstruments,
}

func judgeInstruments(b *bench) {
	for _, r := range b.rooms {
		place := 0
		for _, v := range b.visits {
			visit := &b.rec.Measured.Visits[v]
			seen, here := visit.Rooms[r.plan.Name]
			if !here {
				continue
			}
			for _, reading := range readFrom(seen) {
				if !b.hasInstrument(visit, reading) {
					s := Subject{Room: r.plan.Name, Item: fmt.Sprintf("%s on %s", reading, visit.Date), room: r.index, elevation: -1, unit: afterParts + place}
					place++
					b.notObserved(s, schema.Pointer("/measured/visits", v), "Instrument that read "+reading)
				}
			}
			for _, name := range slices.Sorted(maps.Keys(visit.Instruments)) {
				in := b.rec.Planned.Instruments[name]
				if in.Kind != "laser" && in.Kind != "level" {
					continue
				}
				s := Subject{Room: r.plan.Name, Item: fmt.Sprintf("%s on %s", name, visit.Date), room: r.index, elevation: -1, unit: afterParts + place}
				place++
				b.instrument(s, in, visit.Instruments[name], v, visit.Date, schema.Pointer("/measured/visits", v, "instruments", name))
			}
		}
	}
}

// readFrom names the kinds of readings of a visit that an instrument must have
// given: without its name nobody can tell whether it was checked.
func readFrom(seen schema.RoomSeen) []string {
	heights, level := false, false
	for _, e := range seen.Elevations {
		heights = heights || e.Mark != nil || len(e.Floor.Front)+len(e.Floor.Back) > 0
	}
	for _, c := range seen.Cabinets {
		heights = heights || c.Tops != (schema.CornerLengths{})
		level = level || c.Level != (schema.LevelSeen{}) || c.Plumb != (schema.PlumbSeen{})
	}
	var kinds []string
	if heights {
		kinds = append(kinds, "heights")
	}
	if level {
		kinds = append(kinds, "level and plumb")
	}
	return kinds
}

// hasInstrument reports whether a visit names an instrument for a kind of reading.
func (b *bench) hasInstrument(visit *schema.Visit, reading string) bool {
	for _, name := range slices.Sorted(maps.Keys(visit.Instruments)) {
		if reads(b.rec.Planned.Instruments[name], reading) {
			return true
		}
	}
	return false
}

// afterParts puts subjects of the room as a whole behind its parts.
const afterParts = 1 << 20

func (b *bench) instrument(s Subject, in schema.Instrument, use schema.InstrumentUse, visit int, date schema.Date, at string) {
	r := Result{Subject: s, Visit: visit, Pointer: at}
	if t := use.TwoPeg; t != nil && in.Accuracy != nil {
		per := twoPegError(*t)
		stated := float64(*in.Accuracy) / float64(*in.Over)
		if math.Abs(per) > stated {
			r.Outcome = Fail
			r.Finding = fmt.Sprintf("Two-peg test shows an error of %s over %s, stated is %s",
				b.write(nearest(float64(math.Abs(per)*float64(*in.Over)))), b.write(*in.Over), b.write(*in.Accuracy))
			b.add(r)
			return
		}
		r.Finding = fmt.Sprintf("Two-peg test shows an error of %s over %s, within the stated %s",
			b.write(nearest(float64(math.Abs(per)*float64(*in.Over)))), b.write(*in.Over), b.write(*in.Accuracy))
	}
	if use.Checked == "" {
		if r.Finding != "" {
			r.Finding += "; "
		}
		b.unseen(s, at, capital(r.Finding+"date of its last check not observed"))
		return
	}
	days := daysBetween(use.Checked, date)
	r.Value, r.Outcome = Quantity{Days, int64(days)}, Pass
	checked := fmt.Sprintf("Checked on %s, %s before the visit", use.Checked, plural(days, "day", "days"))
	if r.Finding != "" {
		checked += ". " + r.Finding
	}
	r.Finding = checked
	if int64(days) > b.limit.N {
		r.Outcome = Fail
	}
	b.add(r)
}

// daysBetween counts the days from one date to another.
func daysBetween(from, to schema.Date) int {
	a, err1 := time.Parse(time.DateOnly, string(from))
	b, err2 := time.Parse(time.DateOnly, string(to))
	if err1 != nil || err2 != nil {
		return math.MaxInt32 // the schema lets no such date through
	}
	return int(b.Sub(a).Hours() / 24)
}

// twoPegError is the error of an instrument's line, height per distance. The
// midway readings give the true difference of the marks, since equal sights
// have equal errors; the second set-up shows the error over the difference of
// its distances.
func twoPegError(t schema.TwoPeg) float64 {
	difference := func(pair [2]length.Length) float64 { return float64(pair[0]) - float64(pair[1]) }
	return (difference(t.Unequal) - difference(t.Midway)) / difference(t.Distances)
}
