// Package jobs makes long jobs as they are entered into a record, for tests that
// hold something of what a record says of its past: deliveries, visits that are
// often wrong, some of them late, some taken back, values corrected, plans changed.
package jobs

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Of says what happens in a job.
type Of struct {
	Entries int // after the packing lists
	// Replans is how many further entries, for each ten others, change the plan.
	Replans int
	// Short has lists counted short at first, and what is missing come later; and
	// corners of the floor lie low, to be packed.
	Short bool
	// Also is called for the record after each entry, and may agree something.
	Also func(*schema.Record)
}

// job is a job that goes on.
type job struct {
	t      testing.TB
	rng    *rand.Rand
	of     Of
	whole  *schema.Record // as it ends if all goes well
	now    schema.Record
	states []*schema.Record
}

// Entered is a job as it was entered: the record after each entry. whole is a
// record of which the first visit saw everything, all of it right; its packing
// lists come first. The same rng gives the same job.
func Entered(t testing.TB, rng *rand.Rand, whole *schema.Record, of Of) []*schema.Record {
	j := &job{t: t, rng: rng, of: of, whole: whole, now: *whole}
	j.now.Measured.Visits = nil
	j.now.Arrived = schema.Arrived{PackingLists: map[string]schema.PackingList{}}
	for _, list := range sorted(whole.Arrived.PackingLists) {
		j.enter(func(r *schema.Record, n int) {
			l := whole.Arrived.PackingLists[list]
			l.Entered = n
			if r.Arrived.PackingLists == nil {
				r.Arrived.PackingLists = map[string]schema.PackingList{}
			}
			r.Arrived.PackingLists[list] = l
		})
	}
	for range of.Entries {
		j.enter(j.next())
	}
	return j.states
}

func (j *job) enter(change func(*schema.Record, int)) {
	next := Copy(&j.now)
	change(next, len(j.states)+1)
	if j.of.Also != nil {
		j.of.Also(next)
	}
	j.now = *next
	j.states = append(j.states, Copy(next))
}

// next is what is entered next.
func (j *job) next() func(*schema.Record, int) {
	switch k := j.rng.IntN(10 + j.of.Replans); {
	case k >= 10:
		return func(r *schema.Record, n int) {
			Replan(j.t, r, n, func(p *schema.Planned) { ChangePlan(j.rng, p) })
		}
	case k < 6 || len(j.now.Measured.Visits) == 0:
		return j.visit
	case k < 7:
		return j.count
	case k < 9:
		return func(r *schema.Record, n int) { Correct(j.rng, j.any(r), n) }
	}
	return func(r *schema.Record, n int) { takeBack(j.any(r), n) }
}

// any is any visit of a record.
func (j *job) any(r *schema.Record) *schema.Visit {
	return &r.Measured.Visits[j.rng.IntN(len(r.Measured.Visits))]
}

// visit is of any day, late ones too.
func (j *job) visit(r *schema.Record, n int) {
	v := CopyVisit(j.whole.Measured.Visits[0])
	if j.of.Replans > 0 {
		v = LookedAt(&r.Planned, v)
	}
	v.Date = schema.Date(fmt.Sprintf("2026-10-%02d", 1+j.rng.IntN(28)))
	v.Entered = n
	Spoil(j.rng, &v)
	if j.of.Short {
		sink(j.rng, &v)
	}
	r.Measured.Visits = append(r.Measured.Visits, v)
}

// count counts all lists, and where they were counted short, what came later.
func (j *job) count(r *schema.Record, n int) {
	for _, c := range Copy(j.whole).Arrived.Receipts {
		again := slices.ContainsFunc(r.Arrived.Receipts, func(o schema.Receipt) bool { return o.PackingList == c.PackingList })
		if again && !j.of.Short {
			continue
		}
		c.Entered = n
		if again {
			c.Date = "2026-11-03"
		}
		for _, line := range sorted(c.Lines) {
			if j.of.Short && j.rng.IntN(3) == 0 {
				c.Lines[line] = schema.Received{Good: c.Lines[line].Good - 1, Damaged: j.rng.IntN(2)}
			}
		}
		r.Arrived.Receipts = append(r.Arrived.Receipts, c)
	}
}

// takeBack withdraws a visit, or has it count again.
func takeBack(v *schema.Visit, n int) {
	if w := v.Withdrawn; w != nil {
		v.Undone = append(v.Undone, schema.Undone{Withdrawn: *w, By: w.By, Date: "2026-11-21", Reason: "it was this room", Entered: n})
		v.Withdrawn = nil
		return
	}
	v.Withdrawn = &schema.Withdrawn{By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "another room", Entered: n}
}

// Copy is a record as its file would be read again.
func Copy(rec *schema.Record) *schema.Record {
	again := new(schema.Record)
	if err := json.Unmarshal(text(rec), again); err != nil {
		panic(err)
	}
	return again
}

// CopyVisit is a visit as its file would be read again.
func CopyVisit(v schema.Visit) schema.Visit {
	return Copy(&schema.Record{Measured: schema.Measured{Visits: []schema.Visit{v}}}).Measured.Visits[0]
}

// Spoil makes some offsets and levelers of a visit wrong.
func Spoil(rng *rand.Rand, v *schema.Visit) {
	for _, name := range sorted(v.Rooms) {
		room := v.Rooms[name]
		for _, name := range sorted(room.Joints) {
			if rng.IntN(3) == 0 {
				wrong := length.Inch / 4
				alter(room.Joints, name, func(j *schema.JointSeen) { j.FrontOffset = &wrong })
			}
		}
		for _, tag := range sorted(room.Cabinets) {
			if rng.IntN(4) == 0 {
				alter(room.Cabinets, tag, func(c *schema.CabinetSeen) { no := false; c.Bearing.FL = &no })
			}
		}
	}
}

// sink has some corner of a floor lie low, or packed.
func sink(rng *rand.Rand, v *schema.Visit) {
	for _, room := range sorted(v.Rooms) {
		seen := v.Rooms[room]
		for _, name := range sorted(seen.Elevations) {
			line := seen.Elevations[name].Floor.Front
			switch k := rng.IntN(8); {
			case k < 2 && len(line) > 1:
				line[1][1] += 3 * length.Inch
			case k < 4:
				for _, tag := range sorted(seen.Cabinets)[:1] {
					plate := 3 * length.Inch
					alter(seen.Cabinets, tag, func(c *schema.CabinetSeen) { c.Packing.FL = &plate })
				}
			}
		}
	}
}

// Correct corrects one joint's offset of a visit, to right or to wrong.
func Correct(rng *rand.Rand, v *schema.Visit, n int) {
	for _, room := range sorted(v.Rooms) {
		seen := v.Rooms[room]
		names := sorted(seen.Joints)
		if len(names) == 0 {
			return
		}
		name := names[rng.IntN(len(names))]
		var was json.RawMessage
		alter(seen.Joints, name, func(j *schema.JointSeen) {
			if j.FrontOffset != nil {
				was, _ = json.Marshal(j.FrontOffset)
			}
			right := []length.Length{0, 3 * length.Inch / 16}[rng.IntN(2)]
			j.FrontOffset = &right
		})
		if now, _ := json.Marshal(seen.Joints[name].FrontOffset); string(now) == string(was) {
			return
		}
		v.Corrections = append(v.Corrections, schema.Correction{
			At: schema.Pointer("/rooms", room, "joints", name, "front_offset"), Was: was,
			By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "misread", Entered: n,
		})
	}
}

func text(v any) []byte {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return text
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

func alter[T any](seen map[string]T, key string, edit func(*T)) {
	v := seen[key]
	edit(&v)
	seen[key] = v
}
