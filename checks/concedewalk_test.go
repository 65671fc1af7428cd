package checks

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// conceding is a job in which one joint is looked at, sheets are taken back and come
// in late, and what fails is conceded; beside the record stands all that is needed
// to say by hand what becomes of the joint.
type conceding struct {
	rec   *schema.Record
	seen  []seenOnce // beside the record's visits but the first, which did not look
	given []int      // days of the concessions
	day   int
	did   []string
}

type seenOnce struct {
	day       int
	off       length.Length // in 1/64 in
	withdrawn bool
}

func newConceding() *conceding {
	c := &conceding{rec: fixture(), day: 1}
	c.rec.Measured.Visits[0].Entered = 1
	alter(seen(c.rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = nil })
	return c
}

func dayOfOctober(day int) schema.Date {
	return schema.Date(fmt.Sprintf("2026-10-%02d", day))
}

// known is what was seen last up to a day, by the sheets that count.
func (c *conceding) known(day int) (off length.Length, ok bool) {
	when := 0
	for _, s := range c.seen {
		if !s.withdrawn && s.day <= day && s.day >= when {
			off, ok, when = s.off, true, s.day
		}
	}
	return off, ok
}

// want is what becomes of the joint: more than 4/64 in fails, and is permitted
// where on the day of a concession it failed too, and by no less.
func (c *conceding) want() Outcome {
	now, ok := c.known(99)
	switch {
	case !ok:
		return NotObserved
	case now.Abs() <= 4:
		return Pass
	}
	for _, day := range c.given {
		if then, ok := c.known(day); ok && then.Abs() > 4 && then.Abs() >= now.Abs() {
			return Conceded
		}
	}
	return Fail
}

// step does one thing at random.
func (c *conceding) step(t *testing.T, rng *rand.Rand) {
	c.day += rng.IntN(2)
	by, on := schema.Party{Name: "A. Lead"}, dayOfOctober(c.day)
	visits := c.rec.Measured.Visits
	k := rng.IntN(len(visits)) - 1 // which sheet is taken back, or counts again
	switch what := rng.IntN(6); {
	case what < 2:
		s := seenOnce{day: max(1, c.day-rng.IntN(6)/5*rng.IntN(4)), off: length.Length(rng.IntN(19) - 9)}
		off := s.off * length.Inch / 64
		v := schema.Visit{Date: dayOfOctober(s.day), People: []schema.Party{by}, Entered: c.rec.NextEntry(),
			Rooms: map[string]schema.RoomSeen{"R1": {Joints: map[string]schema.JointSeen{"C1+C2": {FrontOffset: &off}}}}}
		c.rec.Measured.Visits = append(visits, v)
		c.seen = append(c.seen, s)
		c.did = append(c.did, fmt.Sprintf("%s: seen on the %d: %d", on, s.day, s.off))
	case what < 3 && k >= 0 && !c.seen[k].withdrawn:
		visits[k+1].Withdrawn = &schema.Withdrawn{By: by, Date: on, Reason: "another room", Entered: c.rec.NextEntry()}
		c.seen[k].withdrawn = true
		c.did = append(c.did, fmt.Sprintf("%s: sheet %d withdrawn", on, k))
	case what < 4 && k >= 0 && c.seen[k].withdrawn:
		v := &visits[k+1]
		v.Undone = append(v.Undone, schema.Undone{Withdrawn: *v.Withdrawn, By: by, Date: on, Reason: "the right room", Entered: c.rec.NextEntry()})
		v.Withdrawn, c.seen[k].withdrawn = nil, false
		c.did = append(c.did, fmt.Sprintf("%s: sheet %d counts again", on, k))
	case what >= 4:
		c.concede(t, by)
	}
}

// concede writes down a concession where there are grounds for it.
func (c *conceding) concede(t *testing.T, by schema.Party) {
	given := schema.Concession{Rule: "fronts flush", Subject: "R1/C1+C2", Reason: "no " + strconv.Itoa(len(c.given)), By: by, Date: dayOfOctober(c.day)}
	rec, src := source(t, c.rec)
	found, conceded, err := Grounds(rec, src, given)
	then, ok := c.known(c.day)
	if fails := ok && then.Abs() > 4; err != nil || found != fails || conceded != (c.want() == Conceded) {
		t.Fatalf("%q: grounds for a concession: found %v, %v, %v, expected %v, %v", c.did, found, conceded, err, fails, c.want() == Conceded)
	}
	if found && !conceded {
		c.rec.Agreed.Concessions = append(c.rec.Agreed.Concessions, given)
		c.given = append(c.given, c.day)
		c.did = append(c.did, fmt.Sprintf("%s: conceded", given.Date))
	}
}

// TestNothingEnteredUndoesARecordWithConcessions: whatever is seen, taken back, undone
// or comes in late after concessions were written down on grounds, the record can be
// used, and permission holds for what was found when it was given, by sheets that
// count, and is no worse. Two concessions of one joint do not contradict each other.
func TestNothingEnteredUndoesARecordWithConcessions(t *testing.T) {
	rng := chance.Source(t)
	met := map[Outcome]int{}
	twice := 0
	for range fewer(40, 10) {
		c := newConceding()
		for range 12 {
			c.step(t, rng)
			found, err := Run(source(t, c.rec))
			if err != nil {
				t.Fatalf("%q: %v", c.did, err)
			}
			r := result(t, found, "fronts flush", "C1+C2")
			if r.Outcome != c.want() {
				t.Fatalf("%q: found %s (%s), expected %s", c.did, r.Outcome, r.Finding, c.want())
			}
			met[r.Outcome]++
		}
		if len(c.given) > 1 {
			twice++
		}
	}
	for _, o := range []Outcome{Pass, Fail, NotObserved, Conceded} {
		if met[o] == 0 {
			t.Errorf("found no joint that is %q, expected some of each", o)
		}
	}
	if twice == 0 {
		t.Error("found no record with two concessions of the joint, expected some")
	}
}

// TestAskedAgainOnce: where several concessions do not cover what is found now, what
// to do is said once.
func TestAskedAgainOnce(t *testing.T) {
	c := newConceding()
	by := schema.Party{Name: "A. Lead"}
	for i, off := range []length.Length{5, 6, 7} {
		c.day = 2*i + 1
		off := off * length.Inch / 64
		c.rec.Measured.Visits = append(c.rec.Measured.Visits, schema.Visit{Date: dayOfOctober(c.day), People: []schema.Party{by}, Entered: c.rec.NextEntry(),
			Rooms: map[string]schema.RoomSeen{"R1": {Joints: map[string]schema.JointSeen{"C1+C2": {FrontOffset: &off}}}}})
		if i < 2 {
			c.rec.Agreed.Concessions = append(c.rec.Agreed.Concessions, schema.Concession{Rule: "fronts flush", Subject: "R1/C1+C2", Reason: "not in view", By: by, Date: dayOfOctober(c.day + 1)})
		}
	}
	one := fixture()
	off := 7 * length.Inch / 64
	alter(seen(one).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = &off })
	plain := result(t, judge(t, one), "fronts flush", "C1+C2").Remedy.String()
	r := result(t, judge(t, c.rec), "fronts flush", "C1+C2")
	if want := "Put it right, or ask for permission again for what is found now. " + plain; r.Outcome != Fail || r.Remedy.String() != want {
		t.Errorf("found %s, %q; expected fail, %q", r.Outcome, r.Remedy, want)
	}
}
