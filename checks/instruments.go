package checks

import (
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

var instrumentChecked = &Rule{
	ID:      "instrument-checked",
	Name:    "instrument checked",
	Family:  Instruments,
	Asks:    "Every laser and level used on a visit is named, was checked no longer before it than the limit or by a two-peg test on the visit, was not dropped since, and shows no two-peg test beyond its stated accuracy.",
	Why:     "A laser that was dropped still draws a straight line. Every height of the visit rests on it.",
	Limit:   Quantity{Days, 30},
	Formula: "days = visit - check, 0 for a two-peg test that is good; error per length = ((a2 - b2) - (a1 - b1)) / (da - db), against stated accuracy / distance",
	Source:  "common practice, no source; the two-peg test as surveying textbooks have it",
	Needs:   "Name the instrument, and write down when it was last checked and whether it was dropped since, or do a two-peg test and write down its readings",
	Remedy:  "Check the instrument now; where it is out, have it adjusted and read again what was read with it since its last good check",
	observe: (*asker).askInstruments,
	judge:   judgeInstruments,
}

func judgeInstruments(b *bench) {
	for _, r := range b.rooms {
		place := 0
		for when := b.since; when < len(b.visits); when++ {
			v, day := b.visits[when], b.day(when)
			visit := &b.rec.Measured.Visits[v]
			seen, here := visit.Rooms[r.plan.Name]
			if !here {
				continue
			}
			for _, reading := range readFrom(seen) {
				if !b.hasInstrument(visit, reading) {
					s := Subject{Room: r.plan.Name, Kind: SubjectReadings, Item: reading + " on " + day, First: reading, Last: day, room: r.index, elevation: -1, unit: afterParts + place}
					place++
					b.notObserved(s, schema.Pointer("/measured/visits", v), say.That("instrument that read %[1]s", AnswerWords(reading)))
				}
			}
			for _, name := range slices.Sorted(maps.Keys(visit.Instruments)) {
				in := b.rec.Planned.Instruments[name]
				if in.Kind != "laser" && in.Kind != "level" {
					continue
				}
				s := Subject{Room: r.plan.Name, Kind: SubjectInstrument, Item: name + " on " + day, First: name, Last: day, room: r.index, elevation: -1, unit: afterParts + place}
				place++
				b.instrument(s, in, visit.Instruments[name], v, visit.Date, schema.Pointer("/measured/visits", v, "instruments", name))
			}
		}
	}
}

// day names a visit by its date, the second of a day with its number: two
// visits of one day may have used the same instrument.
func (f *facts) day(when int) string {
	date := f.rec.Measured.Visits[f.visits[when]].Date
	if n := when - f.morning(when); n > 0 {
		return fmt.Sprintf("%s (%d)", date, n+1)
	}
	return string(date)
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

// instrument judges one instrument of one visit. A check is dated, or made on
// the visit as a two-peg test: a bad test fails whatever the date, and a good
// one passes with none. Either is worth nothing once the instrument was dropped, and
// a date no more once it is known from an earlier day that it was since.
func (b *bench) instrument(s Subject, in schema.Instrument, use schema.InstrumentUse, visit int, date schema.Date, at string) {
	r := Result{Subject: s, Visit: visit, Pointer: at}
	test := twoPegTest(in, use.TwoPeg)
	dropped := use.Dropped != nil && *use.Dropped
	var says []say.Text
	dated := use.Checked != ""
	if dated {
		days := daysBetween(use.Checked, date)
		r.Value = Quantity{Days, int64(days)}
		if test.outcome != Fail {
			says = append(says, say.That("Checked on %[1]s, %[2]s before the visit", use.Checked, daysWords(days)))
		}
	}
	if !test.says.Empty() {
		says = append(says, test.says)
	}
	old := dated && r.Value.N > b.limit.N
	switch {
	case test.outcome == Fail:
		r.faults = append(r.faults, fault{of: faultOf{"two-peg test", "", ""}, value: test.error, limit: test.stated})
	case old && test.outcome != Pass:
		r.faults = append(r.faults, fault{of: faultOf{"days since its check", "", ""}, value: r.Value.N, limit: b.limit.N})
	}
	fell := say.That("Dropped since its check")
	if before, is := b.outBefore(s.First, use.Checked, date); is && dated && test.outcome == "" && !dropped {
		dropped, fell = before.dropped, before.words()
		if !dropped {
			says = append(says, fell)
			r.faults = append(r.faults, not("known to be out", ""))
		}
	}
	if dropped {
		says = append(says, fell)
		r.faults = append(r.faults, fault{of: faultOf{"dropped", "", ""}})
		r.Remedy = say.That("Check it again, by a two-peg test or by whoever adjusts it, and read again what was read with it since it fell")
	}
	switch {
	case len(r.faults) > 0:
		r.Outcome = Fail
	case test.outcome == Pass, dated:
		r.Outcome = Pass
	default:
		says = append(says, say.That("Date of its last check not observed"))
		b.unseen(s, at, say.Sentences(says...))
		return
	}
	if test.outcome == Fail || test.outcome == Pass && (old || !dated) {
		r.Value = Quantity{Days, 0} // the test was made on the visit
	}
	r.Finding = say.Sentences(says...)
	b.add(r)
}

// pegTest is what a two-peg test shows: "" where there is none, or nothing to
// hold it against.
type pegTest struct {
	outcome       Outcome
	says          say.Text
	error, stated int64 // over the same distance, in nanometres
}

// twoPegTest holds a two-peg test against the stated accuracy, exactly: an
// error at the accuracy passes.
func twoPegTest(in schema.Instrument, t *schema.TwoPeg) pegTest {
	if t == nil {
		return pegTest{}
	}
	off, over := twoPegError(*t)
	switch {
	case over.Sign() == 0: // the schema lets no such test through
		return pegTest{says: say.That("Two-peg test with two equal distances shows nothing")}
	case in.Accuracy == nil:
		distance := length.Length(min(new(big.Int).Abs(over).Uint64(), math.MaxInt64))
		return pegTest{says: say.That("Two-peg test shows an error of %[1]s over %[2]s, and no stated accuracy is planned to hold it against",
			errorOver(off, over, distance), distance)}
	}
	show := errorOver(off, over, *in.Over)
	test := pegTest{outcome: Pass, error: int64(show), stated: int64(*in.Accuracy)}
	size := func(a *big.Int, l length.Length) *big.Int {
		return new(big.Int).Mul(new(big.Int).Abs(a), big.NewInt(int64(l)))
	}
	words := "Two-peg test shows an error of %[1]s over %[2]s, within the stated %[3]s"
	if size(off, *in.Over).Cmp(size(over, *in.Accuracy)) > 0 {
		test.outcome, words = Fail, "Two-peg test shows an error of %[1]s over %[2]s, stated is %[3]s"
	}
	test.says = say.That(words, show, *in.Over, *in.Accuracy)
	return test
}

// daysBetween counts the days from one date to another.
func daysBetween(from, to schema.Date) int {
	a, ok := from.Day()
	b, both := to.Day()
	if !ok || !both {
		return math.MaxInt32 // the schema lets no such date through
	}
	return int(b.Sub(a).Hours() / 24)
}

// twoPegError is the error of an instrument's line as a height and the distance
// over which it has it. The midway readings give the true difference of the
// marks, since equal sights have equal errors; the second set-up shows the error
// over the difference of its distances.
func twoPegError(t schema.TwoPeg) (off, over *big.Int) {
	difference := func(pair [2]length.Length) *big.Int {
		return new(big.Int).Sub(big.NewInt(int64(pair[0])), big.NewInt(int64(pair[1])))
	}
	return new(big.Int).Sub(difference(t.Unequal), difference(t.Midway)), difference(t.Distances)
}

// errorOver is the size of the error off/over in a distance.
func errorOver(off, over *big.Int, distance length.Length) length.Length {
	e, _ := new(big.Rat).SetFrac(new(big.Int).Mul(off, big.NewInt(int64(distance))), over).Float64()
	return nearest(math.Abs(e))
}

func (a *asker) askInstruments() {
	for i, name := range sortedNames(a.rec.Planned.Instruments) {
		in := a.rec.Planned.Instruments[name]
		x := a.want(theInstrumentUse, name, ofVisit(SubjectInstrument, name, i), nil, []string{theInstrumentUse.Field, name}).of(
			Blank{Kind: Used, Words: say.That("used"), Required: true},
			Blank{Steps: []string{"checked"}, Kind: DateKind, Words: say.That("checked on")},
		)
		x.Words = say.Sentence(say.That("%[1]s %[2]s", AnswerWords(in.Kind), say.Name(name)))
		if in.Kind == "laser" || in.Kind == "level" {
			x.Blanks = append(x.Blanks, Blank{Steps: []string{"dropped"}, Kind: YesNo, Words: say.That("dropped since")})
			x.held(say.That("checked %[1]s before, not dropped since", a.atMost()))
		}
	}
}
