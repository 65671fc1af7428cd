package checks

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"setline.example/checks/say"
	"setline.example/schema"
)

var readingsPlausible = &Rule{
	ID:         "readings-plausible",
	Name:       "readings plausible",
	Family:     Instruments,
	Asks:       "Every reading is near what was read beside it, or near what the plan makes it.",
	Why:        "A unit forgotten or a digit dropped looks like any other number. It moves a set height, or hides in a median, until somebody sees that it cannot be.",
	LimitWords: "tops and marks within 3 in of their median, floor within 6 in; offsets, gaps and plumb no more than 2 in",
	Formula:    "|reading - median of the readings of one visit from one reference line|",
	Source:     CommonPractice,
	Needs:      "Read it again",
	Remedy:     "Read it again on the next visit; where it stands as read, say so there in a remark",
	Advises:    true,
	judge:      judgePlausible,
}

// Doubt is a reading so far from those beside it, or from what the plan makes
// it, that it is likely a slip.
type Doubt struct {
	Visit   int    // position in the record of the visit that wrote it down
	Pointer string // to it in the record (RFC 6901)
	Subject Subject
	Words   say.Text // which reading of the subject it is: "top, front-left"
	// Found is the value, Expected what it should be near and why, and Slip the
	// likely slip, nothing where none explains it.
	Found, Expected, Slip say.Text
}

// Doubts returns the readings of a visit, a position in the record, that are
// likely slips, in walking order.
func Doubts(rec *schema.Record, visit int) []Doubt {
	return newJob(rec, rec.Measured.VisitsInTime()).doubtsOf(visit)
}

// Doubts returns what [Doubts] does of the record that was judged.
func (f *Findings) Doubts(visit int) []Doubt { return f.job.doubtsOf(visit) }

func (f *facts) doubtsOf(visit int) []Doubt {
	all := f.visitDoubts(visit)
	when := slices.Index(f.visits, visit)
	for i := range f.rec.Planned.Rooms {
		r := f.room(i)
		for _, e := range r.elevations {
			doubts, _ := f.doubts(r, e, when)
			all = append(all, doubts...)
		}
	}
	return all
}

// doubted are the doubts about the readings of an elevation on a visit, and how
// many readings there are.
type doubted struct {
	doubts   []Doubt
	readings int
}

// doubts are those of the readings of one elevation on the visit at a place in
// time, of which there are so many. They are looked for once: the rule asks, and
// whoever shows them.
func (f *facts) doubts(r *room, e *elevation, when int) (all []Doubt, readings int) {
	d, ok := e.doubted[when]
	if !ok {
		d.doubts, d.readings = f.lookForDoubts(r, e, when)
		if e.doubted == nil {
			e.doubted = map[int]doubted{}
		}
		e.doubted[when] = d
	}
	return d.doubts, d.readings
}

func (f *facts) lookForDoubts(r *room, e *elevation, when int) (all []Doubt, readings int) {
	near := newNeighbours(r, e, when)
	visit := f.visits[when]
	for i := range near.readings {
		x := &near.readings[i]
		if b := near.bounds(x); x.value < b.least || x.value > b.most {
			all = append(all, f.doubt(visit, x, b, near))
		}
	}
	if x, b, apart := near.apart(); apart && len(all) == 0 {
		all = append(all, f.doubt(visit, x, b, near))
	}
	return all, len(near.readings)
}

func (f *facts) doubt(visit int, x *read, b bounds, near *neighbours) Doubt {
	return Doubt{
		Visit: visit, Pointer: x.pointer(), Subject: x.whose.subject(), Words: x.words(),
		Found:    say.That("%[1]s", x.value),
		Expected: b.text(),
		Slip:     near.slip(x, b, f.sys),
	}
}

// Mend says what to do about a doubted reading, the likely slip first.
func (d Doubt) Mend() say.Text {
	if d.Slip.Empty() {
		return say.That("read it again, and correct it")
	}
	return say.That("%[1]s; correct it if that is meant, or read it again", d.Slip)
}

// sentence is a doubt as the rule tells it.
func (d Doubt) sentence() say.Text {
	if d.Slip.Empty() {
		return say.That("%[1]s, %[2]s: %[3]s, expected %[4]s", d.Subject.ItemWords(), d.Words, d.Found, d.Expected)
	}
	return say.That("%[1]s, %[2]s: %[3]s, expected %[4]s (%[5]s)", d.Subject.ItemWords(), d.Words, d.Found, d.Expected, d.Slip)
}

func judgePlausible(b *bench) {
	for _, r := range b.rooms {
		for i, v := range b.visits {
			if _, here := b.rec.Measured.Visits[v].Rooms[r.plan.Name]; here {
				b.visitPlausible(r, v, i)
			}
		}
		for _, e := range r.elevations {
			b.plausible(r, e)
		}
	}
}

// visitPlausible tells what is doubtful of the visit itself, to each room that it was to.
func (b *bench) visitPlausible(r *room, v, place int) {
	doubts := b.visitDoubts(v)
	if len(doubts) == 0 {
		return
	}
	s := Subject{Room: r.plan.Name, Kind: SubjectVisit, Item: "visit " + strconv.Itoa(place+1), First: strconv.Itoa(place + 1), room: r.index, elevation: -1, unit: 2*afterParts + place}
	b.doubtful(s, doubts)
}

// plausible tells what is doubtful of the readings of an elevation. A reading
// that was made again later is not told.
func (b *bench) plausible(r *room, e *elevation) {
	var doubts []Doubt
	readings, last := 0, -1
	for when, v := range b.visits {
		found, n := b.doubts(r, e, when)
		if n > 0 {
			readings, last = readings+n, v
		}
		doubts = append(doubts, found...)
	}
	doubts = b.notReadAgain(e, doubts)
	alongTheElevation(doubts)
	switch {
	case readings == 0:
	case len(doubts) > 0:
		b.doubtful(e.subject, doubts)
	default:
		b.add(Result{Subject: e.subject, Outcome: Pass, Visit: last, Pointer: e.at, Finding: say.That("Every reading is near those beside it")})
	}
}

// alongTheElevation sorts doubts by what they are of, whichever of two visits
// wrote them down.
func alongTheElevation(doubts []Doubt) {
	slices.SortStableFunc(doubts, func(x, y Doubt) int {
		return cmp.Or(cmp.Compare(x.Subject.unit, y.Subject.unit), cmp.Compare(x.place(), y.place()))
	})
}

// place leads to the reading within its visit.
func (d Doubt) place() string {
	return strings.TrimPrefix(d.Pointer, schema.Pointer("/measured/visits", d.Visit))
}

// notReadAgain leaves out of doubts, those of an earlier visit first, what a later
// visit read again.
func (b *bench) notReadAgain(e *elevation, doubts []Doubt) []Doubt {
	if len(doubts) == 0 {
		return nil
	}
	lastRead := map[string]int{} // at which place in time
	for when := slices.Index(b.visits, doubts[0].Visit) + 1; when < len(b.visits); when++ {
		before := schema.Pointer("/measured/visits", b.visits[when])
		e.reads(when, func(x *read) { lastRead[strings.TrimPrefix(x.pointer(), before)] = when })
	}
	return slices.DeleteFunc(doubts, func(d Doubt) bool { return lastRead[d.place()] > slices.Index(b.visits, d.Visit) })
}

// doubtful adds the notice of doubtful readings of a subject.
func (b *bench) doubtful(s Subject, doubts []Doubt) {
	var words []say.Text
	faults := make([]fault, len(doubts))
	for i, d := range doubts {
		words = append(words, d.sentence())
		faults[i] = not("reading", d.Pointer)
	}
	const most = 3
	if more := len(words) - most; more > 0 {
		words = append(words[:most], say.That("and %[1]s more", more))
	}
	last := doubts[len(doubts)-1]
	b.add(Result{Subject: s, Outcome: Notice, Visit: last.Visit, Pointer: last.Pointer, faults: faults, Remedy: b.rule.Remedy.Text(),
		Finding: say.That("Not plausible: %[1]s", say.Semicolons(words...))})
}
